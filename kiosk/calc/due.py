"""When a job is due: by running hours or by days, whichever comes first. Standard library only."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from kiosk.calc import guards
from kiosk.errors import CalcError, OutOfRange
from kiosk.language import tr

LONGEST_DAYS = 36_525
"""A hundred years; a date further off than this is no date for a yard."""


@dataclass(frozen=True)
class Due:
    """When a job is due.

    Args:
        by_hours: Day on which the hours will be run, None without such an interval or while the unit stands.
        by_days: Day by the calendar, None without such an interval.
        due: The earlier of the two, None while only hours count and the unit stands.
        driver: 'hours' or 'days', whichever comes first.
        overdue: True when the hours are run over or the day is past.
        hours_left: Running hours left, negative when run over; None without such an interval.
        days_left: Days left to `due`, negative when past; None without a date.
        note: What to know about the answer, '' for nothing.
    """

    by_hours: date | None
    by_days: date | None
    due: date | None
    driver: str
    overdue: bool
    hours_left: float | None
    days_left: int | None
    note: str


def date_after_hours(hours_left: float, today: date, hours_per_day: float) -> date | None:
    """Return the day on which so many running hours are used up, rounded down to whole days.

    Args:
        hours_left: Running hours to go, negative for hours already run over. [h]
        today: The day to count from.
        hours_per_day: Average running hours per calendar day, days of rest included. [h] 0 to 24

    Returns:
        The day; None when the unit does not run, or more than a hundred years off.

    Raises:
        OutOfRange: an argument is not an ordinary number.

    Source:
        Plain arithmetic; rounding down is the early side.

    Example, by hand: 38 h at 4 h a day are 9 whole days
        >>> date_after_hours(38, date(2025, 2, 20), 4)
        datetime.date(2025, 3, 1)
    """
    left = guards.number("hours_left", hours_left, "h")
    return _day_of_hours(left, today, guards.number("hours_per_day", hours_per_day, "h", 0, 24))


def _day_of_hours(hours_left: float, today: date, hours_per_day: float) -> date | None:
    """Both numbers were looked at before."""
    if hours_per_day == 0 or abs(hours_left / hours_per_day) > LONGEST_DAYS:
        return None
    return _shifted(today, math.floor(hours_left / hours_per_day))


def next_due(last_done_hours: float | None, last_done_date: date | None, interval_hours: float | None,
             interval_days: float | None, hours_now: float | None, today: date, hours_per_day: float) -> Due:
    """Return when a job is due again, by hours or by days, whichever comes first.

    Args:
        last_done_hours: Hour meter when it was last done, needed with `interval_hours`. [h] 0 or more
        last_done_date: Day it was last done, needed with `interval_days`.
        interval_hours: Running hours between two jobs, None where the sheet has none. [h] above 0
        interval_days: Days between two jobs, None where the sheet has none. [d] above 0
        hours_now: Hour meter now, needed with `interval_hours`. [h] at least `last_done_hours`
        today: The present day.
        hours_per_day: Average running hours per calendar day. [h] 0 to 24

    Raises:
        OutOfRange: an argument is missing or not possible; a meter below the last job's was replaced or misread.
        CalcError: neither interval is given.

    Source:
        Plain arithmetic; whichever comes first is common practice, no source.
    """
    if interval_hours is None and interval_days is None:
        raise CalcError(tr("This job has no interval, neither in hours nor in days; correct its service sheet."))
    rate = guards.number("hours_per_day", hours_per_day, "h", 0, 24)
    hours_left = _hours_left(last_done_hours, interval_hours, hours_now)
    by_hours = None if hours_left is None else _day_by_hours(hours_left, today, rate)
    by_days = _day_by_days(last_done_date, interval_days, today)
    return _whichever_first(by_hours, by_days, hours_left, today, rate)


def _hours_left(last_done_hours: float | None, interval_hours: float | None, hours_now: float | None) -> float | None:
    if interval_hours is None:
        return None
    interval = guards.positive("interval_hours", interval_hours, "h")
    last = guards.number("last_done_hours", last_done_hours, "h", 0)
    return last + interval - guards.number("hours_now", hours_now, "h", last)


def _day_by_hours(hours_left: float, today: date, hours_per_day: float) -> date | None:
    """A unit that stands has no day by hours, unless its hours are used up already."""
    if hours_per_day == 0:
        return today if hours_left <= 0 else None
    return _day_of_hours(hours_left, today, hours_per_day)


def _day_by_days(last_done_date: date | None, interval_days: float | None, today: date) -> date | None:
    if interval_days is None:
        return None
    interval = guards.positive("interval_days", interval_days, "days", LONGEST_DAYS)
    if last_done_date is None:
        raise OutOfRange("last_done_date", None, "")
    if last_done_date > today:
        raise CalcError(
            tr("The last job is dated {last_done_date}, after today, {today}; check the kiosk's clock.").format(
                last_done_date=last_done_date, today=today
            )
        )
    return _shifted(last_done_date, math.floor(interval))


def _shifted(day: date, days: int) -> date | None:
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return None


def _whichever_first(by_hours: date | None, by_days: date | None, hours_left: float | None, today: date,
                     hours_per_day: float) -> Due:
    by_hours_first = by_days is None or (by_hours is not None and by_hours <= by_days)
    due = by_hours if by_hours_first else by_days
    run_over = hours_left is not None and hours_left < 0
    return Due(
        by_hours=by_hours,
        by_days=by_days,
        due=due,
        driver="hours" if by_hours_first else "days",
        overdue=run_over or (due is not None and due < today),
        hours_left=hours_left,
        days_left=None if due is None else (due - today).days,
        note=tr("The unit has not run; its hours give no date.")
        if hours_left is not None and hours_per_day == 0
        else "",
    )
