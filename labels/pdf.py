"""Draw pages of labels as vector PDF, and look at such a page as a picture.

Each bar's edges are drawn a quarter of a dot inside its dots: a bar on exact dot edges grows by one dot in some
printer drivers, because coordinates are rounded on the way; inset, it comes out exact in every renderer tried.
"""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from reportlab.pdfgen.canvas import Canvas

from labels.errors import LabelError
from labels.fonts import register_fonts
from labels.layout import Arrow, Bar, LabelLayout, TextItem
from labels.page import Mark, Page, single
from labels.stock import MM_PER_INCH, POINTS_PER_INCH

BAR_INSET_DOTS = 0.25


class LabelNotWritten(LabelError):
    """The label's file cannot be written or read."""


def write_labels(layouts: Iterable[LabelLayout], path: Path) -> None:
    """Write the labels to one PDF, a page each.

    Raises:
        LabelNotWritten: the file cannot be written.
    """
    write_pages([single(layout) for layout in layouts], path)


def write_pages(pages: Iterable[Page], path: Path) -> None:
    """Write the pages to one PDF.

    Raises:
        LabelNotWritten: the file cannot be written.
    """
    write_file(path, pdf_bytes(pages))


def write_file(path: Path, content: bytes) -> None:
    """Write a label's file.

    Raises:
        LabelNotWritten: it cannot be written.
    """
    try:
        path.write_bytes(content)
    except OSError as error:
        raise LabelNotWritten(f"The label cannot be written to {path}: {error.strerror}.", repr(error)) from error


def pdf_bytes(pages: Iterable[Page]) -> bytes:
    """Return the pages as a PDF file's content."""
    register_fonts()
    target = BytesIO()
    canvas = Canvas(target, invariant=1, pageCompression=1)
    canvas.setTitle("Labels")
    for page in pages:
        canvas.setPageSize(_page_size_pt(page))
        _draw_page(canvas, page)
        canvas.showPage()
    canvas.save()
    return target.getvalue()


def _draw_page(canvas: Canvas, page: Page) -> None:
    dot_pt = POINTS_PER_INCH / page.dots_per_inch
    canvas.setFillGray(0)
    for mark in page.marks:
        _draw_box(canvas, mark, 0, 0, dot_pt)
    for label in page.placed:
        for bar in label.layout.bars:
            _draw_box(canvas, bar, label.x, label.y, dot_pt)
        left_pt, bottom_pt = label.x * dot_pt, label.y * dot_pt
        for arrow in label.layout.arrows:
            _draw_arrow(canvas, arrow, left_pt, bottom_pt)
        for text in label.layout.texts:
            _draw_text(canvas, text, left_pt + _pt(label.layout.stock.width_mm) / 2, bottom_pt)
    for note in page.notes:
        _draw_text(canvas, note.item, _pt(note.centre_mm), 0.0)


def _draw_box(canvas: Canvas, box: Bar | Mark, left: int, bottom: int, dot_pt: float) -> None:
    canvas.rect(
        (left + box.x + BAR_INSET_DOTS) * dot_pt,
        (bottom + box.y + BAR_INSET_DOTS) * dot_pt,
        (box.width - 2 * BAR_INSET_DOTS) * dot_pt,
        (box.height - 2 * BAR_INSET_DOTS) * dot_pt,
        stroke=0,
        fill=1,
    )


def _draw_arrow(canvas: Canvas, arrow: Arrow, left_pt: float, bottom_pt: float) -> None:
    path = canvas.beginPath()
    first, *others = [(left_pt + _pt(x), bottom_pt + _pt(y)) for x, y in arrow.outline_mm]
    path.moveTo(*first)
    for corner in others:
        path.lineTo(*corner)
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)


def _draw_text(canvas: Canvas, text: TextItem, centre_pt: float, bottom_pt: float) -> None:
    canvas.setFont(text.font, text.size_pt)
    canvas.drawCentredString(centre_pt, bottom_pt + _pt(text.baseline_mm), text.text)


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


def _page_size_pt(page: Page) -> tuple[float, float]:
    # Whole dots: a page with a part of a dot left over is stretched by some renderers, and its bars with it. A hair
    # less, since page sizes are written rounded and a rounding up would be a dot more.
    dot_pt = POINTS_PER_INCH / page.dots_per_inch
    return page.width_dots * dot_pt - 0.002, page.height_dots * dot_pt - 0.002


def _pt(mm: float) -> float:
    return mm / MM_PER_INCH * POINTS_PER_INCH
