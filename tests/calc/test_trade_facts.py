"""Facts of the trade as check values. All: common practice, no source.

3 to 4 in of clearance under the sag, 2 to 3 in from cleat to pan, 1/2 in from belt edge to frame, 1 in lower at the
roller's left end, height stops from 1 5/8 to 3 in: read, judged and shown in both units, and no rounding on the way
changes a verdict.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from kiosk import units
from kiosk.calc import takeup, tolerance

# Window as a manual says it, and its ends in millimetres, by hand: inches times 25.4.
WINDOWS = [
    pytest.param("3 to 4 in", 76.2, 101.6, id="sag_clearance-common_practice"),
    pytest.param("2 to 3 in", 50.8, 76.2, id="cleat_to_pan-common_practice"),
    pytest.param("1 5/8 to 3 in", 41.275, 76.2, id="height_stop-common_practice"),
]
SINGLES = [
    pytest.param("1/2 in", 12.7, id="belt_edge_to_frame-common_practice"),
    pytest.param("1 in", 25.4, id="roller_end_lower-common_practice"),
    pytest.param("1 5/8 in", 41.275, id="height_stop_sand-common_practice"),
    pytest.param("3 in", 76.2, id="height_stop_leaves-common_practice"),
]
TAPE_MM = float(Fraction(1, 32) * Fraction("25.4"))
"""A tape with marks each 1/32 in. [mm]"""


def _u() -> float:
    return tolerance.standard_uncertainty("resolution", TAPE_MM)


@pytest.mark.parametrize(("text", "lower", "upper"), WINDOWS)
def test_window_is_read_exactly(text: str, lower: float, upper: float) -> None:
    """A window typed as the trade says it means exactly its millimetres."""
    low, high = units.parse_range(text, "mm")
    assert (low.mm, high.mm) == (lower, upper)


@pytest.mark.parametrize(("text", "mm"), SINGLES)
def test_length_is_read_exactly_and_shown_in_both_units(text: str, mm: float) -> None:
    """A length typed in inches is shown as typed, with its millimetres in brackets."""
    assert units.parse_length(text, "mm").mm == mm
    assert units.format_both(mm, "in").startswith(f"{text} (")


@pytest.mark.parametrize(("text", "lower", "upper"), WINDOWS)
def test_reading_typed_on_a_limit_is_within_by_simple_acceptance(text: str, lower: float, upper: float) -> None:
    """The limit itself, typed as a fraction, is within: no conversion pushes it over."""
    for end in units.parse_range(text, "mm"):
        assert tolerance.judge(end.mm, lower, upper, _u(), "simple acceptance").verdict == tolerance.WITHIN


@pytest.mark.parametrize(("text", "lower", "upper"), WINDOWS)
def test_reading_typed_on_a_limit_is_too_close_by_the_guarded_rule(text: str, lower: float, upper: float) -> None:
    """On the limit itself it is even chances, which no tape can call."""
    for end in units.parse_range(text, "mm"):
        judged = tolerance.judge(end.mm, lower, upper, _u())
        assert judged.verdict == tolerance.TOO_CLOSE
        assert judged.probability_within == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize(("text", "lower", "upper"), WINDOWS)
def test_middle_of_the_window_is_within(text: str, lower: float, upper: float) -> None:
    """A tape of 1/32 in is fine enough for each of these windows."""
    judged = tolerance.judge((lower + upper) / 2, lower, upper, _u())
    assert judged.verdict == tolerance.WITHIN and judged.gauge_capable


@pytest.mark.parametrize(("text", "lower", "upper"), WINDOWS)
@pytest.mark.parametrize("rule", sorted(tolerance.RULES))
def test_no_shown_rounding_changes_a_verdict(text: str, lower: float, upper: float, rule: str) -> None:
    """Whatever reading around the window, what is shown in inches and in mm, read again, has its verdict."""
    guard = tolerance.judge(lower, lower, upper, _u(), rule).guard_band
    edges = [lower - guard, lower, lower + guard, upper - guard, upper, upper + guard]
    for step in range(-60, 61):
        for edge in edges:
            reading = edge + step * 0.037
            verdict = tolerance.judge(reading, lower, upper, _u(), rule).verdict
            for unit in ("in", "mm"):
                shown = units.format_length(reading, unit, keep_sides_of=edges)
                again = units.parse_length(shown, unit).mm
                if step:
                    assert tolerance.judge(again, lower, upper, _u(), rule).verdict == verdict, shown


@pytest.mark.parametrize(("text", "lower", "upper"), WINDOWS)
def test_typed_in_inches_or_millimetres_has_one_verdict(text: str, lower: float, upper: float) -> None:
    """Each 1/32 in around the window, typed as a fraction, a decimal or in millimetres, is judged alike."""
    for count in range(int(lower / TAPE_MM) - 8, int(upper / TAPE_MM) + 9):
        mm = float(count * Fraction("25.4") / 32)
        typed = [units.nearest_fraction(mm, 32).text + " in", f"{count / 32!r} in", f"{mm!r} mm"]
        verdicts = {tolerance.judge(units.parse_length(one, "in").mm, lower, upper, _u(), rule).verdict
                    for one in typed for rule in ("simple acceptance",)}
        assert len(verdicts) == 1


def test_edge_to_frame_within_half_an_inch_never_touching() -> None:
    """Belt edge within 1/2 in of the frame and never touching: 0 is outside, 1/4 in is within, 5/8 in is outside."""
    touching, quarter, wide = (
        tolerance.judge(units.parse_length(text, "in").mm, units.parse_length("1/16", "in").mm, 12.7, _u()).verdict
        for text in ("0", "1/4", "5/8"))
    assert (touching, quarter, wide) == (tolerance.OUTSIDE, tolerance.WITHIN, tolerance.OUTSIDE)


def test_a_reading_in_the_wrong_unit_is_asked_about() -> None:
    """41 typed on a form in inches, at a stop of 1 5/8 to 3 in, brings the question whether mm were meant."""
    reading = units.parse_length("41", "in").mm
    slip = units.suspect_unit_slip(reading, 41.275, 76.2)
    assert slip is not None
    assert (slip.meant_mm, slip.text) == (pytest.approx(41.0), "41 mm")


def test_one_inch_lower_is_a_whole_number_of_turns_on_a_tenth_inch_thread() -> None:
    """1 in on a thread of ten to the inch is ten turns, no flat over."""
    got = takeup.turning(-25.4, 2.54)
    assert (got.direction, got.turns, got.flats) == ("in", 10, 0)


def test_sixteenth_rule_cannot_judge_a_thirty_second() -> None:
    """A rule good to 1/16 in cannot judge limits of 1/32 in to either side; one good to 1/64 in can."""
    half = units.parse_length("1/32", "in").mm
    for scale, capable in (("1/16", False), ("1/64", True)):
        u = tolerance.standard_uncertainty("resolution", units.parse_length(scale, "in").mm)
        assert tolerance.judge(0.0, -half, half, u, "guarded k=2").gauge_capable is capable
