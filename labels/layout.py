"""Set one label out on the printer's dots: bars in whole dots, quiet zones, number and lines of text.

Pure but for the font's widths. A label that cannot be set legibly is refused with the reason. Symbology after
ISO/IEC 15417: quiet zones of 10 X on each side; bars at least 5 mm or 15 % of the symbol's width high (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from labels.errors import LabelError
from labels.fonts import BOLD, REGULAR, text_width_pt
from labels.number import LabelNumber, parse
from labels.symbol import symbol_modules

MM_PER_INCH = 25.4
POINTS_PER_INCH = 72.0
QUIET_MODULES = 10
# Ordinary thermal printers keep bars of 0.25 mm apart; thinner ones run together (common practice, no source).
LEAST_MODULE_MM = 0.25
LEAST_BAR_MM = 5.0
LEAST_BAR_SHARE = 0.15
# Readable at arm's length in bad light (common practice, no source).
LEAST_TEXT_PT = 5.5
LARGEST_TEXT_PT = 9.0
LARGEST_NUMBER_PT = 14.0
MARGIN_MM = 1.0
LINE_SPACING = 1.2


class LabelDoesNotFit(LabelError):
    """The label cannot be set legibly on this stock."""


@dataclass(frozen=True)
class LabelStock:
    """A size of label and the printer's resolution. Default: the yard's ordinary label."""

    width_mm: float = 51.0
    height_mm: float = 25.0
    dots_per_inch: int = 203

    @property
    def width_dots(self) -> int:
        """Whole dots across."""
        return math.floor(self.width_mm * self.dots_per_inch / MM_PER_INCH)

    @property
    def height_dots(self) -> int:
        """Whole dots down."""
        return math.floor(self.height_mm * self.dots_per_inch / MM_PER_INCH)

    def mm(self, dots: float) -> float:
        """Return dots as mm."""
        return dots * MM_PER_INCH / self.dots_per_inch


@dataclass(frozen=True)
class Bar:
    """One bar in dots from the label's left and lower edge."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True)
class TextItem:
    """One line of text, centred. `baseline_mm` from the lower edge."""

    text: str
    font: str
    size_pt: float
    baseline_mm: float


@dataclass(frozen=True)
class LabelLayout:
    """A label ready to draw. `module_dots` is X in printer dots."""

    number: LabelNumber
    stock: LabelStock
    module_dots: int
    bars: tuple[Bar, ...]
    texts: tuple[TextItem, ...]


def lay_out(number: str, lines: Sequence[str] = (), stock: LabelStock | None = None) -> LabelLayout:
    """Set a label out.

    Args:
        number: A label number.
        lines: Up to three lines over the bars: position, unit, kind and date.
        stock: Size and resolution. [mm, dots per inch]

    Raises:
        NotALabelNumber: the number is none of ours.
        LabelDoesNotFit: bars or text would be too small on this stock.
    """
    stock = stock or LabelStock()
    parsed = parse(number)
    modules = symbol_modules(parsed)
    module_dots = _module_dots(len(modules), stock)
    number_text = _fitted(parsed.grouped, BOLD, LARGEST_NUMBER_PT, stock)
    texts_above = [_fitted(line, REGULAR, LARGEST_TEXT_PT, stock) for line in lines]
    number_mm = _line_mm(number_text.size_pt)
    above_mm = sum(_line_mm(item.size_pt) for item in texts_above)
    bar_mm = stock.height_mm - 2 * MARGIN_MM - number_mm - above_mm
    _check_bar_height(bar_mm, stock.mm(module_dots * len(modules)))
    bottom_mm = MARGIN_MM + number_mm
    bars = _bars(modules, module_dots, stock, bottom_mm, bar_mm)
    placed = [_at(number_text, MARGIN_MM + 0.25 * number_mm)]
    top_mm = stock.height_mm - MARGIN_MM
    for item in texts_above:
        top_mm -= _line_mm(item.size_pt)
        placed.append(_at(item, top_mm + 0.25 * _line_mm(item.size_pt)))
    return LabelLayout(parsed, stock, module_dots, bars, tuple(placed))


def _module_dots(modules: int, stock: LabelStock) -> int:
    dots = stock.width_dots // (modules + 2 * QUIET_MODULES)
    if stock.mm(dots) < LEAST_MODULE_MM - 0.005:  # two dots at 203 per inch are 0.2502 mm
        raise LabelDoesNotFit(
            f"A label of {stock.width_mm:g} mm is too narrow at {stock.dots_per_inch} dots per inch: its thinnest bar "
            f"would be {stock.mm(dots):.2f} mm, at least {LEAST_MODULE_MM} mm is needed. Use a wider label."
        )
    return dots


def _check_bar_height(bar_mm: float, symbol_mm: float) -> None:
    needed_mm = max(LEAST_BAR_MM, LEAST_BAR_SHARE * symbol_mm)
    if bar_mm < needed_mm:
        raise LabelDoesNotFit(
            f"With this text the bars would be {bar_mm:.1f} mm high, at least {needed_mm:.1f} mm are needed. "
            "Use fewer lines or a higher label."
        )


def _bars(modules: Sequence[bool], module_dots: int, stock: LabelStock, bottom_mm: float, bar_mm: float
          ) -> tuple[Bar, ...]:
    per_mm = stock.dots_per_inch / MM_PER_INCH
    bottom, height = math.ceil(bottom_mm * per_mm), math.floor(bar_mm * per_mm)
    left = (stock.width_dots - len(modules) * module_dots) // 2
    bars: list[Bar] = []
    start: int | None = None
    for place, is_bar in enumerate([*modules, False]):
        if is_bar and start is None:
            start = place
        elif not is_bar and start is not None:
            bars.append(Bar(left + start * module_dots, bottom, (place - start) * module_dots, height))
            start = None
    return tuple(bars)


def _fitted(text: str, font: str, largest_pt: float, stock: LabelStock) -> TextItem:
    """Return the text at the largest size that fits the label's width."""
    room_pt = (stock.width_mm - 2 * MARGIN_MM) / MM_PER_INCH * POINTS_PER_INCH
    size_pt = min(largest_pt, largest_pt * room_pt / max(text_width_pt(text, font, largest_pt), 0.1))
    if size_pt < LEAST_TEXT_PT:
        raise LabelDoesNotFit(f"'{text}' is too long to be read on a label of {stock.width_mm:g} mm. Shorten it.")
    return TextItem(text, font, math.floor(size_pt * 10) / 10, 0.0)


def _line_mm(size_pt: float) -> float:
    return LINE_SPACING * size_pt / POINTS_PER_INCH * MM_PER_INCH


def _at(item: TextItem, baseline_mm: float) -> TextItem:
    return TextItem(item.text, item.font, item.size_pt, baseline_mm)
