"""Set one label out on the printer's dots: bars in whole dots, quiet zones, number and lines of text.

Pure but for the font's widths. A label that cannot be set legibly is refused with the reason. Symbology after
ISO/IEC 15417: quiet zones of 10 X on each side; bars at least 5 mm or 15 % of the symbol's width high (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from labels.errors import LabelError
from labels.fonts import BOLD, REGULAR, missing_characters, text_width_pt
from labels.number import LabelNumber, parse
from labels.stock import MM_PER_INCH, POINTS_PER_INCH, LabelStock
from labels.symbol import QUIET_MODULES, symbol_modules

__all__ = ["Arrow", "Bar", "LabelDoesNotFit", "LabelLayout", "LabelStock", "TextItem", "lay_out"]

# Ordinary thermal printers keep bars of 0.25 mm apart; thinner ones run together (common practice, no source).
LEAST_MODULE_MM = 0.25
LEAST_BAR_MM = 5.0
LEAST_BAR_SHARE = 0.15
# High bars still read when a label is scratched or torn: type gives way to them while it stays legible.
WANTED_BAR_SHARE_OF_LABEL = 0.4
# Readable at arm's length in bad light (common practice, no source).
LEAST_TEXT_PT = 5.5
LARGEST_TEXT_PT = 9.0
LEAST_NUMBER_PT = 8.0
LARGEST_NUMBER_PT = 14.0
MARGIN_MM = 1.0
LINE_SPACING = 1.2
BASELINE_SHARE = 0.25
ARROW_WIDTH_MM = 2.6
ARROW_HEIGHT_MM = 3.2
ARROW_GAP_MM = 1.0


class LabelDoesNotFit(LabelError):
    """The label cannot be set legibly on this stock."""


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
class Arrow:
    """An arrow that points to the label's upper edge: 'this way up'. Its box from the left and lower edge. [mm]"""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    @property
    def outline_mm(self) -> tuple[tuple[float, float], ...]:
        """Its seven corners, from the tip, as x and y. [mm]"""
        corners = ((0.5, 1.0), (1.0, 0.5), (0.68, 0.5), (0.68, 0.0), (0.32, 0.0), (0.32, 0.5), (0.0, 0.5))
        return tuple((self.x_mm + x * self.width_mm, self.y_mm + y * self.height_mm) for x, y in corners)


@dataclass(frozen=True)
class LabelLayout:
    """A label ready to draw. `module_dots` is X in printer dots."""

    number: LabelNumber
    stock: LabelStock
    module_dots: int
    bars: tuple[Bar, ...]
    texts: tuple[TextItem, ...]
    arrows: tuple[Arrow, ...] = ()


def lay_out(number: str, lines: Sequence[str] = (), stock: LabelStock | None = None, this_way_up: bool = False
            ) -> LabelLayout:
    """Set a label out.

    Args:
        number: A label number.
        lines: What stands over the bars: position, unit, kind and date. Empty ones are left out.
        stock: Size and resolution. [mm, dots per inch]
        this_way_up: Whether arrows beside the number show which way up the part goes on.

    Raises:
        NotALabelNumber: the number is none of ours.
        LabelDoesNotFit: bars or text would be too small on this stock, or the text cannot be printed.
    """
    stock = stock or LabelStock()
    parsed = parse(number)
    modules = symbol_modules(parsed)
    module_dots = _module_dots(len(modules), stock)
    _check_reduction(module_dots, stock)
    needed_mm = max(LEAST_BAR_MM, LEAST_BAR_SHARE * stock.mm(module_dots * len(modules)))
    texts = _set_type(parsed.grouped, [line for line in lines if line.strip()], stock, this_way_up, needed_mm)
    number_mm = _line_mm(texts[0])
    bars = _bars(modules, module_dots, stock, MARGIN_MM + number_mm, _bar_mm(texts, stock))
    return LabelLayout(parsed, stock, module_dots, bars, _placed(texts, stock),
                       _arrows(stock, number_mm) if this_way_up else ())


def _module_dots(modules: int, stock: LabelStock) -> int:
    dots = stock.width_dots // (modules + 2 * QUIET_MODULES)
    if stock.mm(dots) < LEAST_MODULE_MM - 0.005:  # two dots at 203 per inch are 0.2502 mm
        raise LabelDoesNotFit(
            f"A label of {stock.width_mm:g} mm is too narrow at {stock.dots_per_inch} dots per inch: its thinnest bar "
            f"would be {stock.mm(dots):.2f} mm, at least {LEAST_MODULE_MM} mm is needed. Use a wider label."
        )
    return dots


def _check_reduction(module_dots: int, stock: LabelStock) -> None:
    most = module_dots // 2
    if not 0 <= stock.bar_reduction_dots <= most:
        raise LabelDoesNotFit(
            f"Bars cannot be made {stock.bar_reduction_dots} dots narrower: the thinnest has {module_dots} dots, "
            f"at most {most} can be taken off. Set the bar-width reduction to 0 to {most}."
        )


def _set_type(number: str, lines: Sequence[str], stock: LabelStock, has_arrows: bool, needed_mm: float
              ) -> list[TextItem]:
    """Return the number and the lines at the largest sizes that leave the bars their height."""
    wanted_mm = max(needed_mm, WANTED_BAR_SHARE_OF_LABEL * stock.height_mm)
    for tenths in range(round(10 * LARGEST_TEXT_PT), round(10 * LEAST_TEXT_PT) - 1, -1):
        texts = _type_of_size(tenths / 10, number, lines, stock, has_arrows)
        if _bar_mm(texts, stock) >= wanted_mm:
            return texts
    bar_mm = _bar_mm(texts, stock)
    if bar_mm < needed_mm:
        raise LabelDoesNotFit(
            f"With this text the bars would be {max(0.0, bar_mm):.1f} mm high, at least {needed_mm:.1f} mm are needed. "
            "Use fewer lines or a higher label."
        )
    return texts


def _type_of_size(size_pt: float, number: str, lines: Sequence[str], stock: LabelStock, has_arrows: bool
                  ) -> list[TextItem]:
    room_mm = stock.width_mm - 2 * MARGIN_MM
    number_room_mm = room_mm - 2 * (ARROW_WIDTH_MM + ARROW_GAP_MM) if has_arrows else room_mm
    number_pt = max(LEAST_NUMBER_PT, LARGEST_NUMBER_PT * size_pt / LARGEST_TEXT_PT)
    return [_fitted(number, BOLD, number_pt, LEAST_NUMBER_PT, number_room_mm, stock),
            *(_fitted(line, REGULAR, size_pt, LEAST_TEXT_PT, room_mm, stock) for line in lines)]


def _fitted(text: str, font: str, largest_pt: float, least_pt: float, room_mm: float, stock: LabelStock) -> TextItem:
    """Return the text at the largest size that fits the room across."""
    if missing := missing_characters(text, font):
        raise LabelDoesNotFit(f"The label's type has no '{missing[0]}', which stands in '{text}'. Write it otherwise.")
    room_pt = room_mm / MM_PER_INCH * POINTS_PER_INCH
    size_pt = min(largest_pt, largest_pt * room_pt / max(text_width_pt(text, font, largest_pt), 0.1))
    size_pt = math.floor(size_pt * 10 + 1e-6) / 10
    if size_pt < least_pt:
        raise LabelDoesNotFit(f"'{text}' is too long to be read on a label of {stock.width_mm:g} mm. Shorten it.")
    return TextItem(text, font, size_pt, 0.0)


def _bar_mm(texts: Sequence[TextItem], stock: LabelStock) -> float:
    """Return the height that the text leaves for the bars, in whole dots."""
    return stock.mm(stock.whole_dots(stock.height_mm - 2 * MARGIN_MM - sum(map(_line_mm, texts))))


def _line_mm(item: TextItem) -> float:
    return LINE_SPACING * item.size_pt / POINTS_PER_INCH * MM_PER_INCH


def _placed(texts: Sequence[TextItem], stock: LabelStock) -> tuple[TextItem, ...]:
    """Return the number under the bars and the lines from the top down."""
    number, *lines = texts
    placed = [_at(number, MARGIN_MM)]
    bottom_mm = stock.height_mm - MARGIN_MM
    for line in lines:
        bottom_mm -= _line_mm(line)
        placed.append(_at(line, bottom_mm))
    return tuple(placed)


def _at(item: TextItem, line_bottom_mm: float) -> TextItem:
    return replace(item, baseline_mm=line_bottom_mm + BASELINE_SHARE * _line_mm(item))


def _arrows(stock: LabelStock, number_mm: float) -> tuple[Arrow, ...]:
    bottom_mm = MARGIN_MM + max(0.0, (number_mm - ARROW_HEIGHT_MM) / 2)
    lefts_mm = (MARGIN_MM, stock.width_mm - MARGIN_MM - ARROW_WIDTH_MM)
    return tuple(Arrow(left_mm, bottom_mm, ARROW_WIDTH_MM, ARROW_HEIGHT_MM) for left_mm in lefts_mm)


def _bars(modules: Sequence[bool], module_dots: int, stock: LabelStock, bottom_mm: float, bar_mm: float
          ) -> tuple[Bar, ...]:
    per_mm = stock.dots_per_inch / MM_PER_INCH
    bottom, height = math.ceil(bottom_mm * per_mm), stock.whole_dots(bar_mm)
    left = (stock.width_dots - len(modules) * module_dots) // 2
    off = stock.bar_reduction_dots
    return tuple(
        Bar(left + first * module_dots + off // 2, bottom, (end - first) * module_dots - off, height)
        for first, end in _runs_of_bars(modules)
    )


def _runs_of_bars(modules: Sequence[bool]) -> list[tuple[int, int]]:
    """Return first module and the one after the last of every bar."""
    runs: list[tuple[int, int]] = []
    start: int | None = None
    for place, is_bar in enumerate([*modules, False]):
        if is_bar and start is None:
            start = place
        elif not is_bar and start is not None:
            runs.append((start, place))
            start = None
    return runs
