"""Facts of the trade about belts; common practice, no source."""

from __future__ import annotations

import pytest

from kiosk.calc import belt, sequence, tracking

GEOMETRY = tracking.TrackGeometry(bearing_spacing_mm=900.0, roller_diameter_mm=150.0, takeup_thread_pitch_mm=2.5)


def test_settling__common_practice__150_revolutions_take_15_minutes_at_1500_rpm() -> None:
    """150 belt revolutions take 15 minutes at 1500 engine r/min."""
    assert belt.settling_time_minutes(1500.0, 150.0) == 15.0


def test_settling__common_practice__ten_revolutions_a_minute() -> None:
    """So the belt makes ten revolutions a minute."""
    assert belt.settling_time_minutes(1500.0, 10.0) == 1.0


def test_run_in__common_practice__same_time_from_roller_and_ratio() -> None:
    """A 200 mm roller at 60 r/min on a loop of 6 girths turns the belt ten times a minute: 150 take 15 minutes."""
    run = belt.run_in(150, 6 * 3.141592653589793 * 200.0, 200.0, belt.roller_speed_rpm(1500.0, 25.0))
    assert run.duration_minutes == pytest.approx(15.0)
    assert run.belt_rpm == pytest.approx(10.0)


@pytest.mark.parametrize("bolts", range(1, 60))
def test_joint_bolts__common_practice__centre_outward(bolts: int) -> None:
    """For any count each bolt comes once, and none before one that lies nearer the centre."""
    order = sequence.centre_out_order(bolts)
    from_centre = [abs(2 * bolt - bolts - 1) for bolt in order]
    assert sorted(order) == list(range(1, bolts + 1))
    assert from_centre == sorted(from_centre)


def test_joint_bolts__common_practice__no_two_in_a_row_on_one_side() -> None:
    """After the middle the sides alternate, so that neither end is drawn in first."""
    order = sequence.centre_out_order(11)
    sides = [bolt > 6 for bolt in order[1:]]
    assert all(a != b for a, b in zip(sides[::2], sides[1::2], strict=True))


@pytest.mark.parametrize("height, direction", [(0.0, 1), (80.0, -1)])
def test_cleat_height__common_practice__both_take_ups_evenly(height: float, direction: int) -> None:
    """A cleat that touches the pan asks for both take-ups up, one too high for both down."""
    answer = belt.takeup_travel_for_cleat_height(height, height, 63.5, 2.5)
    assert answer.travel_mm * direction > 0
    assert answer.side_difference_mm == 0.0


@pytest.mark.parametrize("edge, side", [(0.5, "left"), (20.0, "right")])
def test_tracking__common_practice__raise_the_side_it_runs_to(edge: float, side: str) -> None:
    """Nothing logged yet: the take-up of the side that the belt runs to goes up, then 150 revolutions."""
    advice = tracking.advise((), tracking.BeltTrack(edge), tracking.TrackLimits(), GEOMETRY)
    assert (advice.action, advice.side, advice.direction) == (tracking.TURN, side, "raise")
    assert advice.run_revolutions == 150


def test_tracking__common_practice__lower_roller_an_inch_lower() -> None:
    """Where the top cannot come within half an inch without the bottom touching, the lower roller's left end goes
    an inch lower."""
    now = tracking.BeltTrack(edge_top_mm=25.0, edge_bottom_mm=5.0)
    advice = tracking.advise((), now, tracking.TrackLimits(), GEOMETRY)
    assert advice.action == tracking.LOWER_ROLLER
    assert "25 mm lower" in advice.reasons[0]
