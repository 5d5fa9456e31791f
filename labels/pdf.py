"""Draw label layouts as vector PDF, a page a label of the label's size, and look at such a page as a picture.

Each bar's edges are drawn a quarter of a dot inside its dots: a bar on exact dot edges grows by one dot in some
printer drivers, because coordinates are rounded on the way; inset, it comes out exact in every renderer tried.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from reportlab.pdfgen.canvas import Canvas

from labels.errors import LabelError
from labels.fonts import register_fonts
from labels.layout import MM_PER_INCH, POINTS_PER_INCH, LabelLayout

BAR_INSET_DOTS = 0.25


class LabelNotWritten(LabelError):
    """The label's file cannot be written or read."""


def write_labels(layouts: Iterable[LabelLayout], path: Path) -> None:
    """Write the labels to one PDF, a page each.

    Raises:
        LabelNotWritten: the file cannot be written.
    """
    register_fonts()
    canvas = Canvas(str(path), invariant=1, pageCompression=1)
    canvas.setTitle("Labels")
    for layout in layouts:
        canvas.setPageSize(_page_size_pt(layout))
        draw_label(canvas, layout)
        canvas.showPage()
    try:
        canvas.save()
    except OSError as error:
        raise LabelNotWritten(f"The label cannot be written to {path}: {error.strerror}.", repr(error)) from error


def draw_label(canvas: Canvas, layout: LabelLayout, left_pt: float = 0.0, bottom_pt: float = 0.0) -> None:
    """Draw one label with its lower left corner at a place on the page. [pt]"""
    dot_pt = POINTS_PER_INCH / layout.stock.dots_per_inch
    canvas.setFillGray(0)
    for bar in layout.bars:
        canvas.rect(
            left_pt + (bar.x + BAR_INSET_DOTS) * dot_pt,
            bottom_pt + (bar.y + BAR_INSET_DOTS) * dot_pt,
            (bar.width - 2 * BAR_INSET_DOTS) * dot_pt,
            (bar.height - 2 * BAR_INSET_DOTS) * dot_pt,
            stroke=0,
            fill=1,
        )
    for text in layout.texts:
        canvas.setFont(text.font, text.size_pt)
        canvas.drawCentredString(
            left_pt + _pt(layout.stock.width_mm) / 2, bottom_pt + _pt(text.baseline_mm), text.text
        )


def picture_of(path: Path, page: int = 0, dots_per_inch: float = 203.0) -> NDArray[np.uint8]:
    """Return a page of a PDF as a printer at this resolution would print it.

    Returns:
        uint8, shape (height, width), grey, 0 black. [-]

    Raises:
        LabelNotWritten: the file is missing or no PDF.
    """
    try:
        document = pypdfium2.PdfDocument(str(path))
        try:
            bitmap = document[page].render(scale=dots_per_inch / POINTS_PER_INCH, grayscale=True)
            pixels = bitmap.to_numpy()
            return np.array(pixels.reshape(pixels.shape[0], pixels.shape[1], -1)[:, :, 0])
        finally:
            document.close()
    except (OSError, IndexError, pypdfium2.PdfiumError) as error:
        raise LabelNotWritten(f"The label's page {path.name} cannot be read back.", repr(error)) from error


def _page_size_pt(layout: LabelLayout) -> tuple[float, float]:
    # Whole dots: a page with a part of a dot left over is stretched by some renderers, and its bars with it. A hair
    # less, since page sizes are written rounded and a rounding up would be a dot more.
    dot_pt = POINTS_PER_INCH / layout.stock.dots_per_inch
    return layout.stock.width_dots * dot_pt - 0.002, layout.stock.height_dots * dot_pt - 0.002


def _pt(mm: float) -> float:
    return mm / MM_PER_INCH * POINTS_PER_INCH
