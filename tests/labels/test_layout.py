"""A label set out on the printer's dots: bars, quiet zones, type, arrows, and what is refused."""

import pytest

from labels.errors import NotALabelNumber
from labels.layout import LEAST_TEXT_PT, LabelDoesNotFit, LabelStock, lay_out
from labels.number import Kind, compose
from labels.stock import PRESETS, RESOLUTIONS, UnknownStock, stock_named

NUMBER = compose(Kind.COMPONENT, kiosk=1, serial=42).digits
LINES = ["Upper shaft bearing, left", "Sweeper 7 · shaft bearing", "2026-03-14"]
EVERY_STOCK = [stock_named(name, dpi) for name in PRESETS for dpi in RESOLUTIONS]


@pytest.mark.parametrize("stock", EVERY_STOCK, ids=str)
def test_quiet_zones_are_ten_modules_iso_15417(stock: LabelStock) -> None:
    """ISO/IEC 15417 asks for 10 X of light on each side of the symbol."""
    layout = lay_out(NUMBER, LINES, stock)
    last = layout.bars[-1]
    assert layout.bars[0].x >= 10 * layout.module_dots
    assert stock.width_dots - last.x - last.width >= 10 * layout.module_dots


@pytest.mark.parametrize("stock", EVERY_STOCK, ids=str)
def test_symbol_is_ninety_modules_wide_iso_15417(stock: LabelStock) -> None:
    """Five digit pairs in code set C: start, five, check, stop = 11 x 7 + 13 modules."""
    layout = lay_out(NUMBER, stock=stock)
    last = layout.bars[-1]
    assert last.x + last.width - layout.bars[0].x == 90 * layout.module_dots


@pytest.mark.parametrize("stock", EVERY_STOCK, ids=str)
def test_bars_are_5_mm_or_15_percent_high_whatever_the_text(stock: LabelStock) -> None:
    """With three lines and arrows the bars keep the height of the rule (from memory)."""
    layout = lay_out(NUMBER, LINES, stock, this_way_up=True)
    height_mm = stock.mm(layout.bars[0].height)
    assert height_mm >= max(5.0, 0.15 * stock.mm(90 * layout.module_dots))


@pytest.mark.parametrize("stock", EVERY_STOCK, ids=str)
def test_type_and_bars_do_not_touch(stock: LabelStock) -> None:
    """Lines stand over the bars, the number under them, all inside the label."""
    layout = lay_out(NUMBER, LINES, stock)
    number, *lines = layout.texts
    top_mm, bottom_mm = stock.mm(layout.bars[0].y + layout.bars[0].height), stock.mm(layout.bars[0].y)
    assert 0 < number.baseline_mm < number.baseline_mm + 0.73 * number.size_pt * 25.4 / 72 < bottom_mm
    assert all(line.baseline_mm - 0.2 * line.size_pt * 25.4 / 72 > top_mm - 0.2 for line in lines)
    assert max(line.baseline_mm + 0.76 * line.size_pt * 25.4 / 72 for line in lines) < stock.height_mm


def test_no_type_is_smaller_than_can_be_read() -> None:
    """The smallest stock with three lines still has type of 5.5 points or more."""
    layout = lay_out(NUMBER, LINES, stock_named("38x19"))
    assert min(text.size_pt for text in layout.texts) >= LEAST_TEXT_PT


def test_bar_reduction_takes_whole_dots_off_every_bar() -> None:
    """Bars that spread in print are drawn narrower; where they stand does not move by more than half of it."""
    plain = lay_out(NUMBER, stock=LabelStock(dots_per_inch=600))
    reduced = lay_out(NUMBER, stock=LabelStock(dots_per_inch=600, bar_reduction_dots=2))
    assert [(bar.x + 1, bar.width - 2) for bar in plain.bars] == [(bar.x, bar.width) for bar in reduced.bars]


@pytest.mark.parametrize("dots", [-1, 2])
def test_bar_reduction_beyond_half_a_module_is_refused(dots: int) -> None:
    """A setting that would starve the thinnest bar of 3 dots says how much may be taken off."""
    with pytest.raises(LabelDoesNotFit, match="at most 1 can be taken off"):
        lay_out(NUMBER, stock=LabelStock(bar_reduction_dots=dots))


def test_arrows_point_up_beside_the_number_and_clear_of_the_bars() -> None:
    """'This way up' stands at both ends of the number's line, under the bars, inside the label."""
    layout = lay_out(NUMBER, LINES, this_way_up=True)
    bars_bottom_mm = layout.stock.mm(layout.bars[0].y)
    for arrow in layout.arrows:
        tip, *others = arrow.outline_mm
        assert all(tip[1] > y for _, y in others) and tip[1] < bars_bottom_mm
        assert all(0 < x < layout.stock.width_mm for x, _ in arrow.outline_mm)


def test_empty_lines_are_left_out() -> None:
    """A part without a description makes no gap on its label."""
    assert lay_out(NUMBER, ["", "  "]).texts == lay_out(NUMBER).texts


def test_too_narrow_label_is_refused_with_the_reason() -> None:
    """A label on which the bars would be too thin says so instead of printing it."""
    with pytest.raises(LabelDoesNotFit, match="too narrow at 203 dots per inch"):
        lay_out(NUMBER, [], LabelStock(25, 25))


def test_too_many_lines_are_refused_with_the_reason() -> None:
    """Text never eats the bars."""
    with pytest.raises(LabelDoesNotFit, match="Use fewer lines"):
        lay_out(NUMBER, ["one", "two", "three", "four", "five"], LabelStock(38, 19))


def test_long_text_is_refused_rather_than_made_unreadable() -> None:
    """Type never becomes smaller than can be read at arm's length."""
    with pytest.raises(LabelDoesNotFit, match="Shorten it"):
        lay_out(NUMBER, ["a very long name for a position that nobody would ever read on a label of this size"])


def test_character_that_the_type_has_not_is_refused() -> None:
    """A label never shows an empty box for a letter."""
    with pytest.raises(LabelDoesNotFit, match="has no 'Ж'"):
        lay_out(NUMBER, ["Ж 7"])


def test_wrong_check_digit_is_refused_before_drawing() -> None:
    """A slip of the finger never becomes a good label for another part."""
    wrong = NUMBER[:-1] + str((int(NUMBER[-1]) + 1) % 10)
    with pytest.raises(NotALabelNumber):
        lay_out(wrong)


def test_own_size_is_taken() -> None:
    """A yard's own roll is named by its width and height."""
    assert stock_named("60.5x40", 300) == LabelStock(60.5, 40.0, 300)


@pytest.mark.parametrize("name", ["", "big", "51", "51x", "0x25", "51x999", "-51x25", "nanxnan", "51x25x3"])
def test_rubbish_is_no_stock(name: str) -> None:
    """A size that no label has is refused with a sentence."""
    with pytest.raises(UnknownStock, match=r"no size of label|cannot be printed"):
        stock_named(name)


@pytest.mark.parametrize("dots_per_inch", [0, -203, 99, 100_000])
def test_rubbish_is_no_resolution(dots_per_inch: int) -> None:
    """A resolution that no printer has is refused with a sentence."""
    with pytest.raises(UnknownStock, match="dots per inch is not known"):
        stock_named("51x25", dots_per_inch)
