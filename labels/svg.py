"""Draw a page as SVG in millimetres, one user unit a printer dot. Bars are inset as in PDF.

Text stays text; its width is pinned, so that another face than ours never runs over the label's edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.sax.saxutils import escape

from labels.fonts import BOLD, text_width_pt
from labels.layout import Arrow, Bar, TextItem
from labels.page import Mark, Page
from labels.pdf import BAR_INSET_DOTS, write_file
from labels.stock import MM_PER_INCH, POINTS_PER_INCH

_FAMILIES = "Bitstream Vera Sans, DejaVu Sans, sans-serif"


def svg_text(page: Page) -> str:
    """Return the page as an SVG document."""
    mm_per_dot = MM_PER_INCH / page.dots_per_inch
    head = (f'<svg xmlns="http://www.w3.org/2000/svg" width="{page.width_dots * mm_per_dot:.4f}mm" '
            f'height="{page.height_dots * mm_per_dot:.4f}mm" viewBox="0 0 {page.width_dots} {page.height_dots}">')
    paper = f'<rect width="{page.width_dots}" height="{page.height_dots}" fill="#fff"/>'
    return "\n".join([head, paper, *_drawn(page), "</svg>", ""])


def write_svg(page: Page, path: Path) -> None:
    """Write the page as SVG.

    Raises:
        LabelNotWritten: the file cannot be written.
    """
    write_file(path, svg_text(page).encode())


def _drawn(page: Page) -> Iterator[str]:
    per_mm = page.dots_per_inch / MM_PER_INCH
    for mark in page.marks:
        yield _box(mark, 0, 0, page)
    for label in page.placed:
        for bar in label.layout.bars:
            yield _box(bar, label.x, label.y, page)
        for arrow in label.layout.arrows:
            yield _arrow(arrow, label.x, label.y, page)
        for text in label.layout.texts:
            yield _text(text, label.x + label.layout.stock.width_mm * per_mm / 2, label.y, page)
    for note in page.notes:
        yield _text(note.item, note.centre_mm * per_mm, 0, page)


def _box(box: Bar | Mark, left: int, bottom: int, page: Page) -> str:
    x, top = left + box.x + BAR_INSET_DOTS, page.height_dots - bottom - box.y - box.height + BAR_INSET_DOTS
    return (f'<rect x="{x:g}" y="{top:g}" width="{box.width - 2 * BAR_INSET_DOTS:g}" '
            f'height="{box.height - 2 * BAR_INSET_DOTS:g}"/>')


def _arrow(arrow: Arrow, left: int, bottom: int, page: Page) -> str:
    per_mm = page.dots_per_inch / MM_PER_INCH
    corners = [(left + x * per_mm, page.height_dots - bottom - y * per_mm) for x, y in arrow.outline_mm]
    return f'<polygon points="{" ".join(f"{x:.2f},{y:.2f}" for x, y in corners)}"/>'


def _text(text: TextItem, centre: float, bottom: int, page: Page) -> str:
    dots_per_pt = page.dots_per_inch / POINTS_PER_INCH
    baseline = page.height_dots - bottom - text.baseline_mm * page.dots_per_inch / MM_PER_INCH
    weight = "bold" if text.font == BOLD else "normal"
    width = text_width_pt(text.text, text.font, text.size_pt) * dots_per_pt
    return (f'<text x="{centre:.2f}" y="{baseline:.2f}" font-family="{_FAMILIES}" font-weight="{weight}" '
            f'font-size="{text.size_pt * dots_per_pt:.2f}" text-anchor="middle" textLength="{width:.2f}" '
            f'lengthAdjust="spacingAndGlyphs">{escape(text.text)}</text>')
