"""One page of a card: many small symbols, each under its words, to be laminated and scanned one at a time. Pure.

Every symbol stands in a box of its own with white all round it, so that a hand scanner held before one reads no other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from labels.errors import LabelError
from labels.fonts import BOLD, REGULAR, text_width_pt
from labels.layout import TextItem
from labels.number import parse
from labels.page import Mark, Note, Page
from labels.sheet import PAPERS, UnknownPaper
from labels.stock import MM_PER_INCH, POINTS_PER_INCH
from labels.symbol import QUIET_MODULES, symbol_modules

COLUMNS = 4
CARD_DPI = 300
# 4 dots at 300 dpi, 0.34 mm: well over what a hand scanner needs at arm's length (common practice, no source).
MODULE_DOTS = 4
MARGIN_MM = 8.0
TITLE_MM = 12.0
FOOT_MM = 7.0
BAR_SHARE = 0.45
LARGEST_WORDS_PT, LEAST_WORDS_PT = 15.0, 8.0
NUMBER_PT, TITLE_PT, FOOT_PT = 7.0, 16.0, 8.0
_FOOT = "Print at 100 % and laminate. Hold the scanner before one box at a time."


class CardTooFull(LabelError, ValueError):
    """More symbols than one page holds, or words too long for their box."""


def card_page(title: str, commands: Sequence[tuple[str, str]], paper: str) -> Page:
    """Return a page with a box for each command: its words, its bars, its number.

    Args:
        title: Stands on top.
        commands: (number, words) each, in reading order.
        paper: 'Letter' or 'A4'.

    Raises:
        UnknownPaper: another paper. CardTooFull: the boxes get too low, or words do not fit.
    """
    if paper not in PAPERS:
        raise UnknownPaper(f"There is no paper '{paper}' here. Choose {' or '.join(PAPERS)}.")
    width_mm, height_mm = PAPERS[paper]
    rows = max(1, -(-len(commands) // COLUMNS))
    box_mm = ((width_mm - 2 * MARGIN_MM) / COLUMNS, (height_mm - 2 * MARGIN_MM - TITLE_MM - FOOT_MM) / rows)
    if box_mm[1] < 20.0:
        raise CardTooFull(f"{len(commands)} commands are too many for one page; print them as labels.")
    marks: list[Mark] = []
    notes = [Note(TextItem(title, BOLD, TITLE_PT, height_mm - MARGIN_MM - 6.0), width_mm / 2),
             Note(TextItem(_FOOT, REGULAR, FOOT_PT, MARGIN_MM), width_mm / 2)]
    for place, (number, words) in enumerate(commands):
        row, column = divmod(place, COLUMNS)
        left = MARGIN_MM + column * box_mm[0]
        bottom = height_mm - MARGIN_MM - TITLE_MM - (row + 1) * box_mm[1]
        marks += _box(left, bottom, *box_mm)
        marks += _bars(number, left, bottom, *box_mm)
        notes += _texts(number, words, left, bottom, *box_mm)
    return Page(width_mm, height_mm, _dots(width_mm), _dots(height_mm), CARD_DPI, (), tuple(marks), tuple(notes))


def _dots(length_mm: float) -> int:
    return round(length_mm / MM_PER_INCH * CARD_DPI)


def _box(left: float, bottom: float, wide: float, high: float) -> Iterator[Mark]:
    """Yield a thin frame, well outside the quiet zones."""
    x, y, width, height = _dots(left), _dots(bottom), _dots(wide), _dots(high)
    yield from (Mark(x, y, width, 1), Mark(x, y + height, width, 1))
    yield from (Mark(x, y, 1, height), Mark(x + width, y, 1, height))


def _bars(number: str, left: float, bottom: float, wide: float, high: float) -> Iterator[Mark]:
    """Yield the bars, centred, in whole dots."""
    modules = symbol_modules(number)
    width = len(modules) * MODULE_DOTS
    if width + 2 * QUIET_MODULES * MODULE_DOTS > _dots(wide):
        raise CardTooFull("The boxes are too narrow for their bars.")
    x, y, height = _dots(left) + (_dots(wide) - width) // 2, _dots(bottom + 0.2 * high), _dots(BAR_SHARE * high)
    start = None
    for place, is_bar in enumerate((*modules, False)):
        if is_bar and start is None:
            start = place
        elif not is_bar and start is not None:
            yield Mark(x + start * MODULE_DOTS, y, (place - start) * MODULE_DOTS, height)
            start = None


def _texts(number: str, words: str, left: float, bottom: float, wide: float, high: float) -> Iterator[Note]:
    centre = left + wide / 2
    room_pt = (wide - 3.0) / MM_PER_INCH * POINTS_PER_INCH
    size = LARGEST_WORDS_PT
    while text_width_pt(words, BOLD, size) > room_pt:
        size -= 0.5
        if size < LEAST_WORDS_PT:
            raise CardTooFull(f"'{words}' is too long for its box.")
    yield Note(TextItem(words, BOLD, size, bottom + 0.76 * high), centre)
    yield Note(TextItem(parse(number).grouped, REGULAR, NUMBER_PT, bottom + 0.07 * high), centre)
