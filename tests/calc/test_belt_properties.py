"""Belts: inverse pairs, what rises with what, and what is refused."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kiosk.calc import belt, splice, tracking
from kiosk.errors import NoTableRow, OutOfRange

DIAMETERS = st.floats(20.0, 800.0)
THICKNESSES = st.floats(0.0, 25.0)
GAPS = st.floats(1.0, 8000.0)


@given(DIAMETERS, DIAMETERS, THICKNESSES, GAPS)
def test_centre_distance_inverts_loop_length(upper: float, lower: float, thickness: float, gap: float) -> None:
    """The centre distance found from a loop's length is the one it was laid out with."""
    centre = (upper + lower) / 2 + gap
    length = belt.belt_loop(centre, upper, lower, thickness).length_mm
    assert belt.centre_distance_from_length_mm(length, upper, lower, thickness) == pytest.approx(centre, rel=1e-9)


@given(DIAMETERS, DIAMETERS, GAPS, GAPS)
def test_loop_length_rises_with_centre_distance(upper: float, lower: float, gap: float, more: float) -> None:
    """Rollers farther apart need a longer belt, by at most twice as much."""
    centre = (upper + lower) / 2 + gap
    short, long = (belt.belt_loop(c, upper, lower).length_mm for c in (centre, centre + more))
    assert short < long <= short + 2 * more * (1 + 1e-12)


@given(DIAMETERS, DIAMETERS, GAPS)
def test_loop_length_does_not_mind_which_roller_is_up(upper: float, lower: float, gap: float) -> None:
    """The two rollers may be given in either order."""
    centre = (upper + lower) / 2 + gap
    assert belt.belt_loop(centre, upper, lower) == belt.belt_loop(centre, lower, upper)


@given(DIAMETERS, DIAMETERS, GAPS)
def test_approximate_length_is_never_long(upper: float, lower: float, gap: float) -> None:
    """The handbook approximation is never above the exact length."""
    loop = belt.belt_loop((upper + lower) / 2 + gap, upper, lower)
    assert loop.approximate_length_mm <= loop.length_mm * (1 + 1e-12)


@given(st.floats(0.0, 1e6))
def test_growth_and_travel_are_inverse(growth: float) -> None:
    """Travel for a growth, turned back, is that growth."""
    assert belt.growth_from_takeup_travel_mm(belt.takeup_travel_for_growth_mm(growth)) == pytest.approx(growth)


@given(st.floats(0.0, 2000.0), st.floats(1000.0, 20000.0), DIAMETERS, st.floats(1.0, 400.0), THICKNESSES)
def test_run_in_time_and_revolutions_are_inverse(turns: float, loop: float, roller: float, rpm: float,
                                                 thickness: float) -> None:
    """Running for the time that a number of revolutions takes makes that many."""
    minutes = belt.run_in(turns, loop, roller, rpm, thickness).duration_minutes
    assert belt.revolutions_run(minutes, loop, roller, rpm, thickness) == pytest.approx(turns)


@given(st.floats(0.05, 1.0), st.floats(10.0, 300.0), st.floats(1.0, 60.0))
def test_grip_rises_with_wrap_and_friction(friction: float, wrap: float, more: float) -> None:
    """More wrap or more friction holds a larger ratio of tensions, and never less than one."""
    ratio = belt.grip_ratio(friction, wrap)
    assert 1.0 < ratio < belt.grip_ratio(friction, wrap + more)
    assert ratio < belt.grip_ratio(friction + 0.1, wrap)


@given(st.floats(500.0, 5000.0), st.floats(200.0, 2000.0), st.floats(-50.0, 50.0))
def test_squareness_gives_back_a_parallelogram(length: float, width: float, offset: float) -> None:
    """The two diagonals of a frame whose one side leads by an offset give that offset back."""
    one, two = math.hypot(length + offset, width), math.hypot(length - offset, width)
    assert belt.squareness_by_diagonals(one, two, length).offset_mm == pytest.approx(offset, abs=1e-6)


@given(st.floats(1.0, 50.0), st.floats(100.0, 3000.0), st.floats(100.0, 5000.0))
def test_belt_sag_falls_as_tension_rises(mass: float, spacing: float, tension: float) -> None:
    """Twice the tension hangs half as deep."""
    sag = belt.sag_between_supports(mass, spacing, tension).sag_mm
    assert belt.sag_between_supports(mass, spacing, 2 * tension).sag_mm == pytest.approx(sag / 2)


@given(st.floats(0.0, 100.0), st.floats(1.0, 100.0), st.floats(10.0, 90.0))
def test_cleat_height_is_reached_by_the_travel(height: float, wanted: float, angle: float) -> None:
    """Raising both take-ups by the travel, at its angle, lifts the cleats to the height wanted."""
    answer = belt.takeup_travel_for_cleat_height(height, height, wanted, 2.5, angle)
    assert height + answer.travel_mm * math.sin(math.radians(angle)) == pytest.approx(wanted)
    assert answer.turns == pytest.approx(answer.travel_mm / 2.5)


@given(st.floats(-20.0, 20.0), st.floats(100.0, 2000.0), DIAMETERS, st.floats(1.0, 359.0))
def test_drift_is_odd_in_the_offset(offset: float, spacing: float, roller: float, wrap: float) -> None:
    """The same offset of the other bearing steers as far the other way."""
    one, other = (tracking.skew_drift(sign * offset, spacing, roller, wrap) for sign in (1, -1))
    assert one.drift_per_pass_mm == pytest.approx(-other.drift_per_pass_mm)


@given(st.floats(2000.0, 20000.0), st.integers(2, 60), st.floats(0.01, 0.9))
def test_whole_pitch_cut_takes_enough_and_not_a_pitch_too_much(loop: float, cleats: int, share: float) -> None:
    """What comes out covers the damage, leaves whole pitches, and is less than a pitch more than needed."""
    pitch = loop / cleats
    damage = share * (loop - pitch)
    assume(damage > 1.0)
    cut = splice.whole_pitch_cut(loop, pitch, damage)
    assert damage - 1e-6 <= cut.removed_mm < damage + pitch + 1e-6
    assert cut.loop_length_mm == pytest.approx(cut.pitches_after * pitch)


# Each function with arguments it answers.
ANSWERED: list[tuple[Callable[..., Any], tuple[float, ...]]] = [
    (belt.belt_loop, (1500.0, 200.0, 200.0, 6.0)),
    (belt.shop_rule_belt_length_mm, (600.0, 250.0, 50.0)),
    (belt.centre_distance_from_length_mm, (4000.0, 206.0, 206.0, 0.0)),
    (belt.takeup_travel_for_growth_mm, (18.0,)),
    (belt.growth_from_takeup_travel_mm, (9.0,)),
    (belt.growth_reserve, (18.0, 40.0)),
    (belt.roller_speed_rpm, (1500.0, 25.0)),
    (belt.run_in, (150.0, 4000.0, 200.0, 60.0, 6.0)),
    (belt.revolutions_run, (15.0, 4000.0, 200.0, 60.0, 6.0)),
    (belt.settling_time_minutes, (1500.0, 150.0)),
    (belt.grip_ratio, (0.3, 180.0)),
    (belt.squareness_by_diagonals, (1932.0, 1928.0, 1500.0, 0.5)),
    (belt.sag_between_supports, (6.0, 1000.0, 900.0)),
    (belt.takeup_travel_for_cleat_height, (30.0, 32.0, 60.0, 2.5, 90.0)),
    (tracking.skew_drift, (2.0, 600.0, 200.0, 180.0)),
    (splice.whole_pitch_cut, (4800.0, 300.0, 50.0)),
    (splice.insert_piece, (220.0, 300.0, 1000.0)),
]
MAY_BE_NEGATIVE = {"bearing_offset_mm"}


def _each_argument() -> list[Any]:
    return [pytest.param(function, given_values, place, name, id=f"{function.__name__}-{name}")
            for function, given_values in ANSWERED
            for place, name in enumerate(inspect.signature(function).parameters)]


@pytest.mark.parametrize("function, values, place, name", _each_argument())
def test_rubbish_is_refused_by_name(function: Callable[..., Any], values: tuple[float, ...], place: int,
                                    name: str) -> None:
    """NaN, infinity, a text, a yes and a number beyond reason are refused with the argument's name and range."""
    for rubbish in (math.nan, math.inf, -math.inf, "ten", True, 1e13, None):
        with pytest.raises(OutOfRange) as refused:
            function(*values[:place], rubbish, *values[place + 1:])
        assert refused.value.name == name
        assert "it must be" in refused.value.operator_message


@pytest.mark.parametrize("function, values, place, name", _each_argument())
def test_negative_is_refused_by_name(function: Callable[..., Any], values: tuple[float, ...], place: int,
                                     name: str) -> None:
    """A negative size is refused with the argument's name and lowest value; an offset keeps its sign."""
    if name in MAY_BE_NEGATIVE:
        function(*values[:place], -values[place], *values[place + 1:])
        return
    with pytest.raises(OutOfRange) as refused:
        function(*values[:place], -values[place] - 1.0, *values[place + 1:])
    assert (refused.value.name, refused.value.low is not None) == (name, True)


def test_belt_too_short_for_its_roller_is_refused() -> None:
    """A belt shorter than the larger roller's girth cannot be on it; the refusal names the girth."""
    with pytest.raises(OutOfRange) as refused:
        belt.centre_distance_from_length_mm(900.0, 300.0, 80.0)
    assert refused.value.low == pytest.approx(math.pi * 300.0)


def test_unknown_carcass_is_refused_with_those_known() -> None:
    """A carcass without a published window is refused; the known ones are named."""
    with pytest.raises(NoTableRow, match="polyester, polyamide"):
        belt.belt_strain(1000.0, 1003.0, "cotton")


def test_strain_uncertainty_says_that_short_marks_tell_little() -> None:
    """Reading 100 mm marks to half a millimetre leaves 0.7 % unknown; 1 m marks a tenth of it."""
    short, long = (belt.belt_strain(gap, gap * 1.003, "polyester") for gap in (100.0, 1000.0))
    assert short.strain_uncertainty_percent == pytest.approx(10 * long.strain_uncertainty_percent)
    assert long.strain_uncertainty_percent == pytest.approx(0.0708, abs=1e-3)


def test_growth_beyond_the_travel_is_not_enough() -> None:
    """18 mm of growth need 9 mm of travel: 9.5 mm are enough, 8 mm are 1 mm short."""
    assert belt.growth_reserve(18.0, 9.5).is_enough
    assert belt.growth_reserve(18.0, 8.0) == belt.GrowthReserve(9.0, -1.0, False)
