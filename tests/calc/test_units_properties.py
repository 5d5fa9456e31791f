"""Lengths typed and shown: round trips, rounding that keeps its bounds, refusals that keep the text."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kiosk import units
from kiosk.calc.conversion import UNITS
from kiosk.errors import UnreadableNumber

DENOMINATORS = st.sampled_from([2, 4, 8, 16, 32, 64])
LENGTHS = st.floats(-1e5, 1e5, allow_nan=False)


@given(st.integers(0, 400), DENOMINATORS, st.data())
def test_inch_fraction_typed_in_any_way_is_exact(whole: int, bottom: int, data: st.DataObject) -> None:
    """Space, hyphen, improper fraction and decimal say the same length."""
    top = data.draw(st.integers(1, bottom - 1))
    exact = float((whole + Fraction(top, bottom)) * Fraction("25.4"))
    texts = [f"{whole} {top}/{bottom}", f"{whole}-{top}/{bottom} in", f'{whole * bottom + top}/{bottom}"',
             f"{whole + top / bottom!r} inches"]
    assert {units.parse_length(text, "in").mm for text in texts} == {exact}


@given(st.integers(0, 90), st.integers(0, 11), DENOMINATORS, st.data())
def test_feet_and_inches_are_exact(feet: int, inches: int, bottom: int, data: st.DataObject) -> None:
    """Feet, inches and a fraction add up exactly."""
    top = data.draw(st.integers(1, bottom - 1))
    exact = float((12 * feet + inches + Fraction(top, bottom)) * Fraction("25.4"))
    assert units.parse_length(f"{feet}' {inches}-{top}/{bottom}\"", "mm").mm == exact


@given(st.integers(-100_000, 100_000), st.sampled_from(["mm", "cm", "in"]))
def test_sign_turns_the_length_round(thousandths: int, unit: str) -> None:
    """A leading minus gives the negative length."""
    size = f"{abs(thousandths) / 1000:.3f} {unit}"
    assert units.parse_length(f"-{size}", unit).mm == -units.parse_length(size, unit).mm


@given(LENGTHS, st.integers(1, 128))
def test_nearest_fraction_is_within_half_a_step(mm: float, denominator: int) -> None:
    """The rounding error is at most half a step, and the text says what was rounded to."""
    text, error_mm = units.nearest_fraction(mm, denominator)
    assert abs(error_mm) <= 25.4 / (2 * denominator) + 1e-9
    assert units.parse_length(text, "in").mm == pytest.approx(mm + error_mm, abs=1e-9)


@given(st.integers(-5000, 5000), DENOMINATORS)
def test_a_fraction_shown_is_read_back_exactly(count: int, denominator: int) -> None:
    """A length on a tape mark is shown as that mark and read back as the same number."""
    mm = float(Fraction(count, denominator) * Fraction("25.4"))
    assert units.parse_length(units.format_length(mm, "in", 64), "mm").mm == mm


@given(LENGTHS, st.sampled_from(["in", "mm", "cm", "m", "ft"]), st.lists(LENGTHS, max_size=3))
@example(76.19999999, "in", [76.2])
@example(76.2, "mm", [76.2])
@example(12.7 + 1e-9, "in", [12.7])
def test_shown_length_stays_on_its_side_of_every_limit(mm: float, unit: str, limits: list[float]) -> None:
    """What the screen shows, read again, is below or above each limit as the reading is; on it, it reads alike."""
    shown = units.format_length(mm, unit, keep_sides_of=limits)
    for limit in limits:
        if mm == limit and len(limits) == 1:
            assert shown == units.format_length(limit, unit)
        elif abs(mm - limit) > 1e-9:  # below the last place of a float in inches
            assert (units.parse_length(shown, unit).mm > limit) == (mm > limit)


@given(st.text(max_size=60))
def test_any_text_is_a_length_or_a_sentence(text: str) -> None:
    """No text gets past: it is a length within bounds, or a refusal that keeps it."""
    try:
        assert abs(units.parse_length(text, "in").mm) <= units.LONGEST_MM
    except UnreadableNumber as refusal:
        assert refusal.text == text
        assert refusal.operator_message.endswith((".", "?")) or "Then type" in refusal.operator_message


@given(st.text(alphabet="0123456789 /-.,'\"½⅝inmcft+", max_size=14))
def test_near_misses_are_a_length_or_a_sentence(text: str) -> None:
    """Texts made of a length's own characters never crash the reader."""
    try:
        units.parse_length(text, "mm")
    except UnreadableNumber as refusal:
        assert refusal.text == text


@pytest.mark.parametrize(("text", "words"), [
    ("1,5", "comma"), ("5//8", "two slashes"), ("1 5/8 5/8", "two fractions"), ("3/0", "below the line"),
    ("", "Nothing"), ("abc", "no number"), ("4 fathoms", "not a unit"), ("1 13/8", "one or more"),
    ("1' 15\"", "12 inches"), ("1' 3 mm", "inches only"), ("5/", "Half of the fraction"), ("3 4", "one clear"),
    ("1e3", "one clear"), ("9999999 m", "longer than"), ("7" * 41, "too long"),
])
def test_refusal_says_what_is_wrong(text: str, words: str) -> None:
    """Each kind of slip has its own sentence."""
    with pytest.raises(UnreadableNumber, match=words):
        units.parse_length(text, "in")


@pytest.mark.parametrize("text", ["4 to 3 in", "3 in", "to", "1 to 2 to 3", "a to b"])
def test_bad_range_is_refused(text: str) -> None:
    """A window needs two lengths, the smaller first."""
    with pytest.raises(UnreadableNumber):
        units.parse_range(text, "in")


PAIRS = [(one, other) for one, unit in UNITS.items() for other, too in UNITS.items() if unit.kind == too.kind]


@given(st.sampled_from(PAIRS), st.floats(0.0, 1e6))
def test_conversion_there_and_back_returns_the_value(pair: tuple[str, str], value: float) -> None:
    """Each pair of units of a kind is inverse."""
    one, other = pair
    there = units.convert(value, one, other)
    if abs(there) < 1e12 and (there == 0.0 or abs(there) > 1e-300):
        assert units.convert(there, other, one) == pytest.approx(value, rel=1e-9, abs=1e-9)


@given(st.floats(38.0, 76.0), st.sampled_from([25.4, 10.0, 100.0]))
def test_slip_by_a_known_factor_is_asked_about(mm: float, factor: float) -> None:
    """A reading 25.4, 10 or 100 times off brings a question; an ordinary one does not."""
    for slip in (units.suspect_unit_slip(mm * factor, 38.0, 76.0), units.suspect_unit_slip(mm / factor, 38.0, 76.0)):
        assert slip is not None and slip.question.endswith("?")
        assert slip.meant_mm == pytest.approx(units.parse_length(slip.text, "mm").mm, rel=1e-3)
    assert units.suspect_unit_slip(mm, 38.0, 76.0) is None


@given(st.floats(26.0, 114.0))
def test_a_reading_out_of_limits_is_no_slip(mm: float) -> None:
    """A reading less than three times beyond its limit is a finding, and no question is asked."""
    assert units.suspect_unit_slip(mm, 38.0, 76.0) is None
