"""Hour meters and due dates: whichever comes first, and readings that cannot be."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.calc import due, meter
from kiosk.errors import CalcError, OutOfRange

DAY = date(2026, 5, 1)
hours = st.floats(0, 5000)
days = st.integers(1, 400)


@given(hours, st.floats(1, 1000), hours, days, st.integers(0, 400), st.floats(0, 24))
def test_due_is_the_earlier_and_its_driver_is_named(last: float, interval: float, run: float, interval_days: int,
                                                    since: int, rate: float) -> None:
    """The due day is the earlier of the two, and the driver is the one that gave it."""
    found = due.next_due(last, DAY - timedelta(days=since), interval, interval_days, last + run, DAY, rate)
    assert found.by_days == DAY + timedelta(days=interval_days - since)
    named = found.by_hours if found.driver == "hours" else found.by_days
    assert found.due == named == min(day for day in (found.by_hours, found.by_days) if day is not None)
    assert found.days_left == (found.due - DAY).days


@given(hours, st.floats(1, 1000), st.floats(0, 2000), st.floats(0.1, 24))
def test_hours_run_over_are_overdue(last: float, interval: float, run: float, rate: float) -> None:
    """By hours alone a job is overdue exactly when its hours are run over."""
    found = due.next_due(last, None, interval, None, last + run, DAY, rate)
    assert found.hours_left is not None
    assert found.overdue == (found.hours_left < 0)


def test_a_day_that_is_past_is_overdue() -> None:
    """By days a job is overdue the day after, not on the day."""
    assert not due.next_due(None, DAY - timedelta(days=30), None, 30, None, DAY, 4).overdue
    assert due.next_due(None, DAY - timedelta(days=31), None, 30, None, DAY, 4).overdue


def test_a_standing_unit_has_no_day_by_hours() -> None:
    """A unit that has not run gives no date by hours, says so, and still has its day by the calendar."""
    found = due.next_due(100, DAY, 50, 90, 120, DAY, 0)
    assert found.by_hours is None and found.driver == "days" and "not run" in found.note
    alone = due.next_due(100, DAY, 50, None, 120, DAY, 0)
    assert alone.due is None and alone.driver == "hours" and not alone.overdue


def test_a_job_without_interval_is_refused() -> None:
    """A sheet must say hours or days."""
    with pytest.raises(CalcError, match="no interval"):
        due.next_due(0, DAY, None, None, 0, DAY, 4)


def test_a_meter_below_the_last_job_is_refused() -> None:
    """A meter that stands below the last job's reading was replaced or misread."""
    with pytest.raises(OutOfRange, match="hours now"):
        due.next_due(1000, DAY, 50, None, 900, DAY, 4)


def test_a_job_of_tomorrow_is_refused() -> None:
    """A last job dated after today points at the kiosk's clock."""
    with pytest.raises(CalcError, match="clock"):
        due.next_due(None, DAY + timedelta(days=1), None, 30, None, DAY, 4)


def test_a_date_without_end_is_none() -> None:
    """A hundred years off is no date."""
    assert due.date_after_hours(1e9, DAY, 0.1) is None
    assert due.date_after_hours(10, date.max, 1) is None


@pytest.mark.parametrize(("typed", "meant"), [
    pytest.param(12305.0, 1230.5, id="decimal_point_left_out"),
    pytest.param(123.05, 1230.5, id="decimal_point_too_early"),
    pytest.param(2130.5, 1230.5, id="first_digits_swapped"),
    pytest.param(1203.5, 1230.5, id="middle_digits_swapped_backwards")])
def test_what_was_meant_is_offered(typed: float, meant: float) -> None:
    """A slipped decimal point or two swapped digits are offered, never put in."""
    found = meter.check(1210, DAY, typed, DAY + timedelta(days=4))
    assert found.verdict == "reject" and meant in found.alternatives


@given(hours, st.floats(0, 1e6), st.integers(0, 400), st.floats(1, 24))
def test_every_alternative_is_possible(before: float, now: float, later: int, most: float) -> None:
    """What is offered would itself be accepted, and is not what was typed."""
    day = DAY + timedelta(days=later)
    for value in meter.check(before, DAY, now, day, most).alternatives:
        assert value != now
        assert meter.check(before, DAY, value, day, most).verdict != "reject"


@pytest.mark.parametrize(("later", "verdict"), [(0, "ok"), (29, "ok"), (30, "warn"), (200, "warn")])
def test_a_meter_that_stands_still_is_called_out(later: int, verdict: str) -> None:
    """A meter that has not moved for a month is called out, and accepted."""
    assert meter.check(500, DAY, 500, DAY + timedelta(days=later)).verdict == verdict


def test_a_reading_before_the_last_one_is_rejected() -> None:
    """A reading dated before the one before it is no reading after it."""
    assert meter.check(500, DAY, 510, DAY - timedelta(days=1)).verdict == "reject"


@given(st.floats(0, 9999), st.floats(0, 5000))
def test_rolling_over_keeps_the_gain(before: float, gain: float) -> None:
    """Whatever the meter shows after a gain, the gain comes back once the roll-over is confirmed."""
    shown = (before + gain) % 10_000
    assert meter.gain_over_rollover(before, shown, 10_000, confirmed=True) == pytest.approx(gain, abs=1e-6)


def test_a_roll_over_is_not_assumed() -> None:
    """Unconfirmed, a meter that went backwards is refused."""
    with pytest.raises(OutOfRange, match="hours"):
        meter.gain_over_rollover(9988, 12, 10_000, confirmed=False)


@given(hours, hours, hours)
def test_a_new_meter_counts_on(old: float, start: float, run: float) -> None:
    """The total grows by what the new meter has run."""
    assert meter.total_hours(old, start, start + run) == pytest.approx(old + run, abs=1e-6)


def test_a_rate_counts_days_of_rest() -> None:
    """60 h in 30 days are 2 h a day, however they were spread."""
    readings = [(DAY, 100.0), (DAY + timedelta(days=3), 160.0), (DAY + timedelta(days=30), 160.0)]
    rate = meter.usage_rate(readings, DAY + timedelta(days=30))
    assert (rate.hours_per_day, rate.days, rate.note) == (2.0, 30, "")


def test_a_rate_looks_back_three_months() -> None:
    """Readings from before the window do not count, but the last of them starts it."""
    today = DAY + timedelta(days=200)
    readings = [(DAY, 0.0), (DAY + timedelta(days=100), 1000.0), (today, 1100.0)]
    assert meter.usage_rate(readings, today).hours_per_day == 1.0


def test_a_rate_of_too_few_days_says_so() -> None:
    """A rate from a few days is given with that note; from one day it is refused."""
    few = meter.usage_rate([(DAY, 0.0), (DAY + timedelta(days=5), 20.0)], DAY + timedelta(days=5))
    assert few.hours_per_day == 4 and "5 days" in few.note
    with pytest.raises(CalcError, match="one day"):
        meter.usage_rate([(DAY, 0.0), (DAY, 5.0)], DAY)


def test_a_unit_that_stood_says_so() -> None:
    """No hours in the window are a rate of zero with a note, not a division by zero."""
    rate = meter.usage_rate([(DAY, 50.0), (DAY + timedelta(days=40), 50.0)], DAY + timedelta(days=40))
    assert rate.hours_per_day == 0 and "not run" in rate.note
