"""Sheets of many labels for laser printers, with marks to cut by and a ruler that shows a scaled print. Pure.

Labels stand apart, so that each is cut on its own marks; marks stay outside the labels and their quiet zones.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from labels.errors import LabelError
from labels.fonts import REGULAR, text_width_pt
from labels.layout import LabelLayout, TextItem
from labels.page import Mark, Note, Page, Placed, same_stock
from labels.stock import MM_PER_INCH, POINTS_PER_INCH, LabelStock

# Width and height. Source: ISO 216 for A4, ANSI/ASME Y14.1 for Letter. [mm]
PAPERS: dict[str, tuple[float, float]] = {"Letter": (215.9, 279.4), "A4": (210.0, 297.0)}
# Laser printers leave about 5 mm of paper's edge blank (common practice, no source); the marks need the rest.
MARGIN_MM = 10.0
GAP_MM = 4.0
MARK_MM = 1.5
MARK_OFF_MM = 0.3
RULER_MM = 50.0
RULER_BASELINE_MM = 5.0
NOTE_PT = 7.0


class UnknownPaper(LabelError, ValueError):
    """The paper is neither Letter nor A4, or the labels do not fit on it."""


@dataclass(frozen=True)
class SheetGrid:
    """How labels stand on a sheet. Lengths in dots from the lower left corner."""

    paper: str
    stock: LabelStock
    columns: int
    rows: int
    left: int
    bottom: int
    step_x: int
    step_y: int

    @property
    def places(self) -> int:
        """How many labels a sheet holds."""
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[int, int]:
        """Return the lower left corner of a place; place 0 is at the top left, then along the row."""
        row, column = divmod(place, self.columns)
        return self.left + column * self.step_x, self.bottom + (self.rows - 1 - row) * self.step_y


def grid(paper: str, stock: LabelStock) -> SheetGrid:
    """Return how labels of a stock stand on a paper, centred, as many as fit.

    Args:
        paper: 'Letter' or 'A4'.
        stock: Size and resolution. [mm, dots per inch]

    Raises:
        UnknownPaper: another paper, or not one label fits.
    """
    if paper not in PAPERS:
        raise UnknownPaper(f"There is no paper '{paper}' here. Choose {' or '.join(PAPERS)}.")
    width_mm, height_mm = PAPERS[paper]
    columns = int((width_mm - 2 * MARGIN_MM + GAP_MM) // (stock.width_mm + GAP_MM))
    rows = int((height_mm - 2 * MARGIN_MM + GAP_MM) // (stock.height_mm + GAP_MM))
    if columns < 1 or rows < 1:
        raise UnknownPaper(f"A label of {stock.width_mm:g} x {stock.height_mm:g} mm does not fit on {paper}.")
    gap = stock.whole_dots(GAP_MM)
    step_x, step_y = stock.width_dots + gap, stock.height_dots + gap
    left = (stock.whole_dots(width_mm) - columns * step_x + gap) // 2
    bottom = (stock.whole_dots(height_mm) - rows * step_y + gap) // 2
    return SheetGrid(paper, stock, columns, rows, left, bottom, step_x, step_y)


def sheets(layouts: Sequence[LabelLayout], paper: str, used_places: int = 0) -> list[Page]:
    """Return sheets with the labels in order, top left first.

    Args:
        layouts: Labels on one stock.
        paper: 'Letter' or 'A4'.
        used_places: How many places of the first sheet were used up before.

    Raises:
        UnknownPaper: another paper, or labels that do not fit on it.
        LabelsDiffer: labels of several sizes.
    """
    if not layouts:
        return []
    places = grid(paper, same_stock(layouts))
    if not 0 <= used_places < places.places:
        raise UnknownPaper(f"A sheet of {paper} holds {places.places} such labels; {used_places} cannot be used up.")
    at = [*[None] * used_places, *layouts]
    return [_sheet(places, at[first : first + places.places]) for first in range(0, len(at), places.places)]


def _sheet(places: SheetGrid, layouts: Sequence[LabelLayout | None]) -> Page:
    placed = tuple(Placed(layout, *places.corner(place)) for place, layout in enumerate(layouts) if layout is not None)
    stock = places.stock
    width_mm, height_mm = PAPERS[places.paper]
    marks = (*(mark for label in placed for mark in _cut_marks(label, stock)), *_ruler(stock, width_mm))
    return Page(width_mm, height_mm, stock.whole_dots(width_mm), stock.whole_dots(height_mm), stock.dots_per_inch,
                placed, marks, (_ruler_note(width_mm),))


def _cut_marks(label: Placed, stock: LabelStock) -> Iterator[Mark]:
    """Give two short strokes at each corner, outside the label, along its edges."""
    off, long, thick = stock.whole_dots(MARK_OFF_MM), stock.whole_dots(MARK_MM), _stroke(stock)
    for x in (label.x, label.x + stock.width_dots - thick):
        for y in (label.y - off - long, label.y + stock.height_dots + off):
            yield Mark(x, y, thick, long)
    for y in (label.y, label.y + stock.height_dots - thick):
        for x in (label.x - off - long, label.x + stock.width_dots + off):
            yield Mark(x, y, long, thick)


def _stroke(stock: LabelStock) -> int:
    return max(1, stock.dots_per_inch // 200)


def _ruler(stock: LabelStock, width_mm: float) -> Iterator[Mark]:
    """Give a line of 50 mm with ends, under the labels: outer edge to outer edge."""
    thick, length = _stroke(stock), stock.whole_dots(RULER_MM)
    left = stock.whole_dots(width_mm / 2 - RULER_MM)
    bottom, end = stock.whole_dots(RULER_BASELINE_MM), stock.whole_dots(2.0)
    yield Mark(left, bottom + end // 2, length, thick)
    yield Mark(left, bottom, thick, end)
    yield Mark(left + length - thick, bottom, thick, end)


def _ruler_note(width_mm: float) -> Note:
    text = "The line is 50 mm when printed at 100 %, not fitted to the page."
    text_mm = text_width_pt(text, REGULAR, NOTE_PT) / POINTS_PER_INCH * MM_PER_INCH
    return Note(TextItem(text, REGULAR, NOTE_PT, RULER_BASELINE_MM), width_mm / 2 + GAP_MM + text_mm / 2)
