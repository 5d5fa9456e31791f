"""What is printed at once: one label, two side by side, or a sheet of many, all placed on the printer's dots. Pure.

Everything that draws (PDF, PNG, SVG, printer raster) draws a Page, so that a label is the same in each of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from labels.errors import LabelError
from labels.layout import LabelLayout, TextItem
from labels.stock import LabelStock

TWO_UP_GAP_MM = 3.0


class LabelsDiffer(LabelError, ValueError):
    """Labels of different sizes or resolutions cannot share a page."""


@dataclass(frozen=True)
class Placed:
    """A label with its lower left corner at a place on the page. [dots]"""

    layout: LabelLayout
    x: int = 0
    y: int = 0


@dataclass(frozen=True)
class Mark:
    """A filled box from the page's lower left corner: a cut mark or a ruler. [dots]"""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True)
class Note:
    """A line of text on the page outside the labels, centred on `centre_mm`."""

    item: TextItem
    centre_mm: float


@dataclass(frozen=True)
class Page:
    """A page ready to draw.

    Attributes:
        width_mm, height_mm: Its nominal size, which the printer is asked for.
        width_dots, height_dots: Its size in whole dots, which is what is drawn.
        dots_per_inch: The printer's resolution.
    """

    width_mm: float
    height_mm: float
    width_dots: int
    height_dots: int
    dots_per_inch: int
    placed: tuple[Placed, ...]
    marks: tuple[Mark, ...] = ()
    notes: tuple[Note, ...] = ()


def single(layout: LabelLayout) -> Page:
    """Return a page with one label."""
    stock = layout.stock
    return Page(stock.width_mm, stock.height_mm, stock.width_dots, stock.height_dots, stock.dots_per_inch,
                (Placed(layout),))


def two_up(part: LabelLayout, logbook: LabelLayout, gap_mm: float = TWO_UP_GAP_MM) -> Page:
    """Return a page with two labels side by side: one for the part, one for the machine's logbook.

    Args:
        part, logbook: Two labels on the same stock; usually with the same number.
        gap_mm: Between the two, where the roll is slit or cut.

    Raises:
        LabelsDiffer: they are set for different stocks, or the gap is below nothing.
    """
    stock = same_stock([part, logbook])
    if gap_mm < 0:
        raise LabelsDiffer("Two labels side by side cannot overlap: set a gap of 0 mm or more.")
    second = stock.width_dots + stock.whole_dots(gap_mm)
    width_mm = 2 * stock.width_mm + gap_mm
    return Page(width_mm, stock.height_mm, max(stock.whole_dots(width_mm), second + stock.width_dots),
                stock.height_dots, stock.dots_per_inch, (Placed(part), Placed(logbook, second)))


def same_stock(layouts: Sequence[LabelLayout]) -> LabelStock:
    """Return the stock that all labels are set for."""
    stocks = {layout.stock for layout in layouts}
    if len(stocks) != 1:
        raise LabelsDiffer("Labels on one page must all be of one size and resolution.")
    return stocks.pop()
