"""Strands and take-ups: inverse pairs return their input, and more slack never hangs less deep."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.calc import slack, span, takeup

SPANS = st.floats(200.0, 6000.0)
RATIOS = st.floats(1e-4, 0.15)
ANGLES = st.floats(0.0, 80.0)
STRANDS = st.sampled_from([1, 2])


@given(SPANS, st.floats(1e-6, 1.0))
def test_excess_and_sag_are_inverse(length: float, ratio: float) -> None:
    """Excess from a sag, and the sag from that excess, return the sag."""
    sag = length * ratio
    excess = span.excess_from_sag_mm(length, sag)
    if excess <= length:
        assert span.slack_from_excess(length, excess).sag_mm == pytest.approx(sag, rel=1e-9)


@given(SPANS, RATIOS)
def test_hand_movement_and_hanging_sag_are_inverse(length: float, ratio: float) -> None:
    """A slack told as movement or as sag is the same slack."""
    hanging = span.slack_from_measurement(length, length * ratio, span.HANGING)
    moved = span.slack_from_measurement(length, hanging.movement_mm, span.MOVEMENT)
    assert moved.sag_mm == pytest.approx(hanging.sag_mm, rel=1e-9)
    assert moved.excess_mm == pytest.approx(hanging.excess_mm, rel=1e-9)


@given(SPANS, st.floats(1e-5, 1e-3))
def test_movement_over_sag_nears_its_limit(length: float, ratio: float) -> None:
    """For a shallow strand the movement is 4/sqrt(3) times the sag."""
    got = span.slack_from_measurement(length, length * ratio, span.HANGING)
    assert got.movement_mm / got.sag_mm == pytest.approx(span.movement_over_sag(), rel=1e-5)


@given(SPANS, RATIOS, st.floats(1.0, 100.0))
def test_level_strand_keeps_its_balance(length: float, ratio: float, weight: float) -> None:
    """The supports carry the strand's weight: T squared is H squared plus half the weight squared."""
    got = span.level_span(length, length * ratio, weight)
    half = weight * got.arc_mm / 2000.0
    assert got.support_newton == pytest.approx(math.hypot(got.horizontal_newton, half), rel=1e-9)


@given(SPANS, RATIOS, st.floats(1.0, 100.0))
def test_parabola_is_low_by_what_is_printed(length: float, ratio: float, weight: float) -> None:
    """The parabola's tension is below the catenary's, at 10 % sag by 1.3 %."""
    got = span.level_span(length, length * ratio, weight)
    assert 0.0 <= 1.0 - got.horizontal_parabola_newton / got.horizontal_newton <= 1.4 * ratio**2 + 1e-9


@given(SPANS, RATIOS, st.floats(1.01, 2.0))
def test_deeper_sag_pulls_less(length: float, ratio: float, deeper: float) -> None:
    """More sag, less tension, more strand."""
    shallow, deep = (span.level_span(length, length * ratio * times, 14.6) for times in (1.0, deeper))
    assert deep.horizontal_newton < shallow.horizontal_newton
    assert deep.arc_mm > shallow.arc_mm


@given(SPANS, st.floats(1e-6, 0.05), st.floats(1.0, 100.0))
def test_level_inclined_strand_is_the_level_strand(length: float, ratio: float, weight: float) -> None:
    """At no incline both formulas give the same."""
    inclined = span.inclined_span(length, 0.0, length * ratio, weight)
    level = span.slack_from_excess(length, length * ratio)
    assert inclined.sag_mm == pytest.approx(level.sag_mm, rel=1e-9)
    assert inclined.low_end_newton == pytest.approx(inclined.high_end_newton, rel=1e-9)


@given(SPANS, ANGLES, st.floats(1e-5, 0.05), st.floats(1.0, 100.0))
def test_ends_differ_by_the_weight_of_the_height(length: float, angle: float, ratio: float, weight: float) -> None:
    """The upper end carries w c sin(angle) more than the lower."""
    got = span.inclined_span(length, angle, length * ratio, weight)
    rise = weight * length / 1000.0 * math.sin(math.radians(angle))
    assert got.high_end_newton - got.low_end_newton == pytest.approx(rise, rel=1e-6, abs=1e-6)


@given(SPANS, ANGLES, RATIOS)
def test_inclined_excess_and_sag_are_inverse(length: float, angle: float, ratio: float) -> None:
    """Excess from a sag square to the chord, and the sag from it, return the sag."""
    excess = span.inclined_excess_mm(length, angle, length * ratio)
    if excess <= length:
        assert span.inclined_sag_mm(length, angle, excess) == pytest.approx(length * ratio, rel=1e-9)


@given(SPANS, st.floats(0.001, 0.08), st.floats(0.001, 0.08), STRANDS, st.floats(0.0, 60.0))
def test_take_up_for_a_sag_leaves_that_sag(length: float, now: float, wanted: float, strands: int,
                                           angle: float) -> None:
    """Moving the shaft as advised leaves the wanted sag."""
    movement = takeup.takeup_for_sag(length, length * now, length * wanted, strands, angle).movement_mm
    left = takeup.sag_after_takeup_mm(length, length * now, movement, strands, angle)
    assert left == pytest.approx(length * wanted, rel=1e-6)


@given(SPANS, st.floats(0.0, 0.08), st.floats(0.001, 0.08), STRANDS)
def test_take_up_goes_out_for_less_sag(length: float, now: float, wanted: float, strands: int) -> None:
    """Less sag wanted is out, more is in; the parabola is within 2 % of it."""
    got = takeup.takeup_for_sag(length, length * now, length * wanted, strands)
    assert got.movement_mm * (now - wanted) >= 0.0
    assert got.movement_mm == pytest.approx(got.movement_parabola_mm, rel=0.02, abs=1e-9)


@given(SPANS, st.floats(0.001, 0.08), st.floats(0.001, 0.08))
def test_two_hanging_strands_take_twice_the_movement(length: float, now: float, wanted: float) -> None:
    """When no strand is tight, each keeps its length and the shaft goes about twice as far."""
    one, two = (takeup.takeup_for_sag(length, length * now, length * wanted, strands).movement_mm
                for strands in (1, 2))
    assert two == pytest.approx(2.0 * one, rel=0.02, abs=1e-9)


@given(st.floats(-100.0, 100.0), st.floats(0.5, 6.0))
def test_turns_and_flats_are_the_nearest(movement: float, pitch: float) -> None:
    """What is turned is within half a flat of what is wanted, in its direction."""
    got = takeup.turning(movement, pitch)
    assert abs(got.left_over_mm) <= pitch / 12.0 + 1e-9
    assert got.movement_mm + got.left_over_mm == pytest.approx(movement)
    assert abs(got.movement_mm) == pytest.approx((got.turns + got.flats / 6.0) * pitch)
    assert 0 <= got.flats < takeup.FLATS_PER_TURN


@given(st.floats(0.1, 100.0), st.floats(0.5, 6.0), st.floats(0.0, 200.0))
def test_take_up_without_travel_says_so(movement: float, pitch: float, travel: float) -> None:
    """Advice beyond the travel left is no advice."""
    got = takeup.turning(movement, pitch, travel)
    assert got.is_in_reach == (abs(got.movement_mm) <= travel)
    assert got.is_in_reach or got.direction == "leave" or "travel left" in got.words


@pytest.mark.parametrize("rule", slack.slack_rules(), ids=lambda rule: rule.name)
def test_slack_rule_says_measure_and_source(rule: slack.SlackRule) -> None:
    """Each printed rule says which slack it means and where it stands."""
    assert rule.measured in span.MEASURED
    assert rule.source and rule.provenance in ("published", "common practice")
    assert rule.high_percent is None or rule.high_percent >= rule.low_percent > 0.0


def test_page_explains_why_the_rules_differ() -> None:
    """The mechanic is told that the sources disagree, and what to do."""
    assert "hand" in slack.why_rules_differ()
