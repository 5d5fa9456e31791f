"""Grease gun: dose, and how many strokes a bearing may take now."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.calc.grease_gun import HAND_GUN_SOURCE, Stroke, allowance, output_from_weighing, stroke_dose
from kiosk.errors import CalcError, OutOfRange

NOW = datetime(2026, 6, 15, 9, 0, tzinfo=UTC)


def given_ago(*pairs: tuple[float, int]) -> list[Stroke]:
    """Strokes given so many hours before NOW."""
    return [Stroke(NOW - timedelta(hours=hours), strokes) for hours, strokes in pairs]


@given(st.floats(0.2, 50), st.floats(0.3, 5))
def test_no_other_whole_number_is_nearer(grams: float, output: float) -> None:
    """The whole number of strokes is the nearest to the dose, at least one."""
    dose = stroke_dose(grams, output)
    assert dose.whole >= 1
    if dose.exact > 1:
        assert abs(dose.whole - dose.exact) <= 0.5 + 1e-9
    assert dose.more_percent > dose.over_percent
    assert dose.fewer_percent is None or dose.fewer_percent < dose.over_percent


@given(st.floats(0.3, 5), st.integers(1, 40))
def test_weighing_gives_the_strokes_back(output: float, strokes: int) -> None:
    """The grease of so many weighed strokes asks for as many strokes."""
    weighed = output_from_weighing(output * strokes, strokes)
    assert stroke_dose(output * strokes, weighed.grams_per_stroke).whole == strokes


def test_of_two_equally_near_the_fewer() -> None:
    """Half way between two whole numbers the fewer is taken, as more lifts the seal."""
    assert stroke_dose(3.5, 1.0).whole == 3


def test_a_coarse_gun_is_called_out() -> None:
    """One stroke of a 2.7 g gun is half as much again as a UC205 takes, and the note says so."""
    dose = stroke_dose(1.8, 2.7)
    assert not dose.near_enough and "50 % over" in dose.note


def test_an_unusual_output_is_called_out() -> None:
    """An output that no lever gun has asks to be weighed again; 10 g a stroke is refused."""
    assert not output_from_weighing(3, 10).usual
    with pytest.raises(OutOfRange, match="weighed grams"):
        output_from_weighing(128, 10)


def test_two_strokes_a_day__common_practice_no_source() -> None:
    """By hand gun a bearing takes two strokes a day; the source says that it is common practice."""
    first = allowance([], NOW)
    assert first.strokes_now == 2 and first.source == HAND_GUN_SOURCE
    assert allowance(given_ago((1, 2)), NOW).strokes_now == 0


def test_one_given_leaves_one() -> None:
    """What is left of the day is the limit less what went in."""
    found = allowance(given_ago((3, 1), (30, 2)), NOW)
    assert (found.strokes_now, found.done_last_day, found.done_last_month) == (1, 1, 3)
    assert found.last_at == NOW - timedelta(hours=3)


def test_a_day_later_it_is_free_again() -> None:
    """The moment named is the first at which a stroke is free."""
    blocked = allowance(given_ago((5, 2)), NOW)
    assert blocked.next_at == NOW + timedelta(hours=19)
    assert allowance(given_ago((5, 2)), blocked.next_at).strokes_now == 2


def test_the_month_stops_before_the_day() -> None:
    """A month's limit that is reached leaves nothing, whatever the day allows, and the reason says month."""
    found = allowance(given_ago((48, 4), (72, 4)), NOW, per_day=2, per_month=8)
    assert found.strokes_now == 0 and "this month" in found.reason
    assert allowance(given_ago((48, 4), (72, 3)), NOW, per_day=2, per_month=8).strokes_now == 1


def test_not_due_by_days_and_hours_leaves_nothing() -> None:
    """Before either interval has passed nothing may go in."""
    found = allowance(given_ago((48, 2)), NOW, 2, None, interval_days=7, interval_hours=50, hours_since=10)
    assert found.strokes_now == 0 and "40 running hours" in found.reason


@pytest.mark.parametrize(("interval_days", "hours_since"), [(2, 10), (7, 50)])
def test_whichever_interval_passes_first(interval_days: float, hours_since: float) -> None:
    """One interval that has passed is enough."""
    found = allowance(given_ago((48, 2)), NOW, 2, None, interval_days, 50, hours_since)
    assert found.strokes_now == 2


def test_a_greasing_begun_today_may_be_finished() -> None:
    """The second stroke of today's two is not stopped by the interval that the first began."""
    assert allowance(given_ago((0.1, 1)), NOW, 2, None, interval_days=1).strokes_now == 1


def test_a_clock_set_back_counts() -> None:
    """Strokes noted in the future were given; a clock that was set back must not free more."""
    assert allowance(given_ago((-5, 2)), NOW).strokes_now == 0


def test_times_with_and_without_zone_are_not_mixed() -> None:
    """Times that cannot be compared are refused with a sentence."""
    with pytest.raises(CalcError, match="time zone"):
        allowance([Stroke(datetime(2026, 6, 14), 1)], NOW)


def test_an_interval_in_hours_needs_the_hours() -> None:
    """An interval in running hours without the hours run is refused by name."""
    with pytest.raises(OutOfRange, match="hours since"):
        allowance(given_ago((48, 1)), NOW, interval_hours=100)


@given(st.lists(st.tuples(st.floats(0, 800), st.integers(0, 4)), max_size=12), st.integers(0, 4),
       st.none() | st.integers(0, 20))
def test_no_window_is_ever_exceeded(pairs: list[tuple[float, int]], per_day: int, per_month: int | None) -> None:
    """What is allowed keeps the day and the month within their limits, or is nothing."""
    found = allowance(given_ago(*pairs), NOW, per_day, per_month)
    assert found.strokes_now >= 0
    if found.strokes_now:
        assert found.done_last_day + found.strokes_now <= per_day
        assert per_month is None or found.done_last_month + found.strokes_now <= per_month
    elif found.next_at is not None:
        assert allowance(given_ago(*pairs), found.next_at, per_day, per_month).strokes_now > 0
