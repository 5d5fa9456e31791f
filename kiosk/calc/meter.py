"""Hour-meter readings: are they possible, what was probably meant, and how to count on over a roll-over or a new meter.

Nothing is corrected silently: a doubtful reading is refused or called out, and what was probably meant is offered.
Standard library only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from kiosk.calc import guards
from kiosk.errors import CalcError, OutOfRange
from kiosk.language import tr

UNCHANGED_DAYS = 30
"""A meter that stood still for so long is called out. Our rule, no source."""
SHORTEST_RATE_DAYS, LONGEST_RATE_DAYS = 30, 90
"""Days over which running hours per day are averaged. Our rule, no source."""


@dataclass(frozen=True)
class MeterCheck:
    """What to make of an hour-meter reading.

    Args:
        verdict: 'ok', 'warn' or 'reject'.
        reason: Why, '' when ok.
        alternatives: Readings that would be possible and may have been meant. [h]
    """

    verdict: str
    reason: str
    alternatives: tuple[float, ...] = ()


@dataclass(frozen=True)
class UsageRate:
    """How much a unit runs.

    Args:
        hours_per_day: Average running hours per calendar day, days of rest included.
        hours: Running hours of the stretch.
        days: Calendar days of the stretch.
        note: What to know about it, '' for nothing.
    """

    hours_per_day: float
    hours: float
    days: int
    note: str


def check(previous_hours: float, previous_date: date, hours: float, date: date,
          max_hours_per_day: float = 24.0) -> MeterCheck:
    """Return whether an hour-meter reading is possible after the one before it.

    Args:
        previous_hours: Reading before. [h] 0 or more
        previous_date: Its day.
        hours: Reading now. [h] 0 or more
        date: Its day.
        max_hours_per_day: Most that the unit can run. [h] above 0, at most 24

    Raises:
        OutOfRange: an argument is not an ordinary number.

    Source:
        0 <= gain <= most a day * (days + 1), derived; the day itself counts, as readings have no clock time.
    """
    before = guards.number("previous_hours", previous_hours, "h", 0)
    now = guards.number("hours", hours, "h", 0)
    most = guards.positive("max_hours_per_day", max_hours_per_day, "h", 24)
    days = (date - previous_date).days
    if days < 0:
        return MeterCheck("reject", "dated before the reading before")
    most_gain = most * (days + 1)
    if now < before:
        return MeterCheck("reject", "went backwards", _alternatives(now, before, most_gain))
    if now - before > most_gain:
        return MeterCheck("reject", f"more than {most:g} h/day", _alternatives(now, before, most_gain))
    if now == before and days >= UNCHANGED_DAYS:
        return MeterCheck("warn", f"no change in {days} days")
    return MeterCheck("ok", "")


def _alternatives(hours: float, previous_hours: float, most_gain: float) -> tuple[float, ...]:
    """Return what a slipped decimal point or two swapped digits would make of the reading, if possible."""
    meant = {round(hours * slip, 3) for slip in (10, 0.1, 100, 0.01)} | set(_swapped(hours))
    possible = {value for value in meant if value != hours and 0 <= value - previous_hours <= most_gain}
    return tuple(sorted(possible))


def _swapped(hours: float) -> list[float]:
    """Return the readings with two neighbouring digits swapped, the decimal point staying where it is."""
    text = f"{hours:.10g}"
    places = [place for place, sign in enumerate(text) if sign.isdigit()]
    swapped = []
    for left, right in pairwise(places):
        signs = list(text)
        signs[left], signs[right] = signs[right], signs[left]
        swapped.append(float("".join(signs)))
    return swapped


def gain_over_rollover(previous_hours: float, hours: float, modulus_hours: float, confirmed: bool) -> float:
    """Return the hours run between two readings of a meter that may have rolled over to zero.

    Args:
        previous_hours: Reading before. [h] 0 to below the modulus
        hours: Reading now. [h] 0 to below the modulus
        modulus_hours: Where the meter starts again, 10 000 or 100 000. [h] above 0
        confirmed: True when a person has confirmed the roll-over; without it no meter goes backwards.

    Returns:
        Hours run. [h]

    Raises:
        OutOfRange: a reading is not one of this meter, or it went backwards unconfirmed.

    Source:
        Plain arithmetic.

    Example, by hand: 9 990 to 10 000 and on to 5
        >>> gain_over_rollover(9990, 5, 10000, confirmed=True)
        15.0
    """
    modulus = guards.positive("modulus_hours", modulus_hours, "h")
    before = guards.number("previous_hours", previous_hours, "h", 0, modulus)
    now = guards.number("hours", hours, "h", 0, modulus)
    if now >= before:
        return now - before
    if not confirmed:
        raise OutOfRange("hours", hours, "h", before, None, "a roll-over must be confirmed by a person")
    return modulus - before + now


def total_hours(old_final_hours: float, new_start_hours: float, new_now_hours: float) -> float:
    """Return a unit's total hours after its meter was replaced.

    Args:
        old_final_hours: Last total on the old meter. [h] 0 or more
        new_start_hours: What the new meter showed when it was fitted. [h] 0 or more
        new_now_hours: What it shows now. [h] at least `new_start_hours`

    Returns:
        Total hours of the unit. [h]

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        Plain arithmetic.

    Example, by hand:
        >>> total_hours(980, 12.5, 40)
        1007.5
    """
    start = guards.number("new_start_hours", new_start_hours, "h", 0)
    run = guards.number("new_now_hours", new_now_hours, "h", start) - start
    return guards.number("old_final_hours", old_final_hours, "h", 0) + run


def usage_rate(readings: Sequence[tuple[date, float]], today: date,
               window_days: int = LONGEST_RATE_DAYS) -> UsageRate:
    """Return how many hours a day a unit runs, over the last one to three months, days of rest included.

    Args:
        readings: Day and total hours, in any order. [h]
        today: The present day.
        window_days: How far back. [d] 1 to 366

    Returns:
        The rate up to the last reading, from the last one before the window (or the first inside it). Days between
        readings count as they are, run or not; days since the last reading tell nothing and do not count.

    Raises:
        OutOfRange: fewer than two readings.
        CalcError: all readings are of one day, or the hours go backwards.

    Source:
        Plain arithmetic.
    """
    window = guards.count("window_days", window_days, 1, 366)
    known = sorted((day, guards.number("hours", hours, "h", 0)) for day, hours in readings if day <= today)
    if len(known) < 2:
        raise OutOfRange("number of readings", len(known), "", 2)
    last_day, last_hours = known[-1]
    early = [reading for reading in known if reading[0] <= last_day - timedelta(days=window)]
    start_day, start_hours = early[-1] if early else known[0]
    days, hours = (last_day - start_day).days, last_hours - start_hours
    if days == 0:
        raise CalcError(tr("All readings are of one day; running hours per day need readings some days apart."))
    if hours < 0:
        raise CalcError(tr("The hours went backwards; enter the new meter or correct the readings first."))
    return UsageRate(min(hours / days, 24.0), hours, days, _rate_note(hours, days))


def _rate_note(hours: float, days: int) -> str:
    if hours == 0:
        return tr("The unit has not run in {days} days.").format(days=days)
    return tr("From {days} days only.").format(days=days) if days < SHORTEST_RATE_DAYS else ""
