"""Strokes of the grease gun: what one stroke gives, how many a bearing needs, and how many it may take now.

A gun's output is weighed, never guessed: guns give from under 1 g to almost 3 g a stroke. What went into each bearing
is counted over the last day and the last month, and greasing stops before the seal lifts. Standard library only.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from kiosk.calc import guards
from kiosk.errors import CalcError
from kiosk.language import number, tr, trn

STROKES_PER_DAY_BY_HAND = 2
"""Two strokes a day by hand gun; more lifts the seal. Common practice, no source."""
HAND_GUN_SOURCE = ("common practice, no source: two strokes a day by hand gun, more lifts the seal")

USUAL_GRAMS = (0.5, 3.0)
"""About 0.86 g for a pistol grip, 1.28 g for a lever gun, 1 to 3 g in general; articles on grease guns."""
NEAR_ENOUGH_PERCENT = 25.0
"""A dose further off than this is called out. Our rule, no source."""

DAY, MONTH = timedelta(days=1), timedelta(days=30)


@dataclass(frozen=True)
class GunOutput:
    """What one stroke of one gun gives.

    Args:
        grams_per_stroke: Output of one stroke.
        usual: True when it lies where lever and pistol guns usually do.
        note: What to check, '' when it is usual.
    """

    grams_per_stroke: float
    usual: bool
    note: str


@dataclass(frozen=True)
class StrokeDose:
    """Whole strokes for an amount of grease.

    Args:
        exact: Strokes that would give the amount.
        whole: Nearest whole number, at least one; of two equally near the fewer.
        over_percent: How far `whole` is over the amount; negative is under.
        fewer_percent: How far one stroke fewer would be over or under, None at one stroke.
        more_percent: How far one stroke more would be over or under.
        near_enough: False when this gun cannot dose the amount.
        note: One sentence, '' when the dose is near enough.
    """

    exact: float
    whole: int
    over_percent: float
    fewer_percent: float | None
    more_percent: float
    near_enough: bool
    note: str


@dataclass(frozen=True)
class Stroke:
    """Strokes given to a bearing at one time.

    Args:
        at: When; all times with a zone or all without.
        strokes: How many, 0 or more.
    """

    at: datetime
    strokes: int


@dataclass(frozen=True)
class Allowance:
    """How many strokes a bearing may take now.

    Args:
        strokes_now: 0 or more.
        reason: One sentence for the mechanic.
        last_at: When it was last greased, None if never.
        done_last_day: Strokes in the last 24 hours.
        done_last_month: Strokes in the last 30 days.
        next_at: When the count frees the next stroke, None when one is free now or running hours decide.
        source: Where the limit comes from.
    """

    strokes_now: int
    reason: str
    last_at: datetime | None
    done_last_day: int
    done_last_month: int
    next_at: datetime | None
    source: str


def output_from_weighing(weighed_grams: float, strokes: int) -> GunOutput:
    """Return what one stroke gives, from the weight of several.

    Args:
        weighed_grams: Grease that the strokes gave. [g] above 0
        strokes: How many were weighed, ten are usual. 1 to 200

    Raises:
        OutOfRange: not a weight, or more than 10 g a stroke, which no hand gun gives.

    Source:
        Plain arithmetic; what is usual: articles on grease guns.

    Example, by hand:
        >>> output_from_weighing(12.8, 10).grams_per_stroke
        1.28
    """
    count = guards.count("strokes", strokes, 1, 200)
    output = guards.positive("weighed_grams", weighed_grams, "g", 10.0 * count, "no hand gun gives 10 g") / count
    low, high = USUAL_GRAMS
    usual = low <= output <= high
    note = "" if usual else tr("{output} g a stroke is unusual; guns give {low} to {high} g. Weigh again.").format(
                                output=number(output, ".2f"), low=number(low, "g"), high=number(high, "g"))
    return GunOutput(output, usual, note)


def stroke_dose(grams: float, grams_per_stroke: float) -> StrokeDose:
    """Return the whole strokes for an amount of grease, with the over- or under-dose.

    Args:
        grams: Amount wanted. [g] above 0
        grams_per_stroke: Output of this very gun, by weighing. [g] above 0

    Raises:
        OutOfRange: an argument is not an amount.

    Source:
        Plain arithmetic; nearest whole number, at least one.

    Example, by hand: a gun of 2.7 g cannot dose 1.8 g
        >>> stroke_dose(1.8, 2.7).near_enough
        False
    """
    wanted = guards.positive("grams", grams, "g", 10_000)
    output = guards.positive("grams_per_stroke", grams_per_stroke, "g", 10)
    exact = wanted / output
    whole = max(1, math.ceil(exact - 0.5))
    over = _over_percent(whole, output, wanted)
    near = abs(over) <= NEAR_ENOUGH_PERCENT
    note = "" if near else trn("{n} stroke of this gun is {over} % {what}; use a finer gun.",
                               "{n} strokes of this gun is {over} % {what}; use a finer gun.", whole).format(
        n=whole, over=number(abs(over), ".0f"), what=tr("over") if over > 0 else tr("under"))
    fewer = _over_percent(whole - 1, output, wanted) if whole > 1 else None
    return StrokeDose(exact, whole, over, fewer, _over_percent(whole + 1, output, wanted), near, note)


def _over_percent(strokes: int, grams_per_stroke: float, grams: float) -> float:
    return 100.0 * (strokes * grams_per_stroke - grams) / grams


def done_within(done: Sequence[Stroke], now: datetime, window: timedelta) -> int:
    """Return the strokes given in the time before `now`; one noted in the future counts, as a clock was set back.

    Args:
        done: Strokes given, in any order.
        now: The present.
        window: How far back.
    """
    return sum(stroke.strokes for stroke in done if stroke.at > now - window)


def allowance(done: Sequence[Stroke], now: datetime, per_day: int = STROKES_PER_DAY_BY_HAND,
              per_month: int | None = None, interval_days: float | None = None, interval_hours: float | None = None,
              hours_since: float | None = None, source: str = HAND_GUN_SOURCE) -> Allowance:
    """Return how many strokes a bearing may take now without lifting its seal.

    Args:
        done: Every stroke known of this bearing, at least those of the last 30 days, in any order.
        now: The present; with a zone if the strokes have one.
        per_day: Most strokes in 24 hours. 0 or more
        per_month: Most strokes in 30 days, None for no such limit. 0 or more
        interval_days: Days between two greasings, None where the sheet has none. [d] above 0
        interval_hours: Running hours between two greasings, None where the sheet has none. [h] above 0
        hours_since: Running hours since the last greasing, needed with `interval_hours`. [h] 0 or more
        source: Where the limits come from.

    Returns:
        The allowance. With intervals given it is 0 until the first of them has passed; a greasing that was begun
        in the last 24 hours may be finished up to the day's limit.

    Raises:
        OutOfRange: a limit or a count is not possible.
        CalcError: some times have a zone and some have none.

    Source:
        The sheet's own limits; two strokes a day by hand gun is common practice, no source.
    """
    guards.count("per_day", per_day)
    _refuse_mixed_zones(done, now)
    for stroke in done:
        guards.count("strokes", stroke.strokes)
    greased = [stroke for stroke in done if stroke.strokes]
    last_at = max((stroke.at for stroke in greased), default=None)
    day, month = done_within(greased, now, DAY), done_within(greased, now, MONTH)
    wait = _interval_left(last_at, now, interval_days, interval_hours, hours_since)
    if wait is not None and not day:  # what was begun today may be finished, up to the day's limit
        reason, next_at = wait
        return Allowance(0, reason, last_at, day, month, next_at, source)
    free_today = max(0, per_day - day)
    free_month = free_today if per_month is None else max(0, guards.count("per_month", per_month) - month)
    strokes_now = min(free_today, free_month)
    next_at = None if strokes_now else _next_free(greased, now, per_day, per_month)
    reason = _reason(strokes_now, free_today, day, month, per_day, per_month)
    return Allowance(strokes_now, reason, last_at, day, month, next_at, source)


def _refuse_mixed_zones(done: Sequence[Stroke], now: datetime) -> None:
    if len({moment.tzinfo is None for moment in (now, *(stroke.at for stroke in done))}) > 1:
        raise CalcError(tr("Some times of greasing have a time zone and some have none; they cannot be compared."))


def _interval_left(last_at: datetime | None, now: datetime, interval_days: float | None,
                   interval_hours: float | None, hours_since: float | None) -> tuple[str, datetime | None] | None:
    """Return why it is too early and when it no longer is, or None when an interval has passed or none is set."""
    days = None if interval_days is None else guards.positive("interval_days", interval_days, "days", 36_525)
    hours = None if interval_hours is None else guards.positive("interval_hours", interval_hours, "h")
    if last_at is None or (days is None and hours is None):
        return None
    left, until = [], None
    if days is not None:
        until = last_at + timedelta(days=days)
        if now >= until:
            return None
        left.append(_time_left(until - now))
    if hours is not None:
        since = guards.number("hours_since", hours_since, "h", 0)
        if since >= hours:
            return None
        left.append(tr("{hours} running hours").format(hours=number(hours - since, ".4g")))
    return tr("Not due for another {left}; more now lifts the seal.").format(left=tr(" or ").join(left)), until


def _time_left(left: timedelta) -> str:
    hours = left / timedelta(hours=1)
    return f"{math.ceil(hours)} h" if hours < 48 else tr("{ceil} days").format(ceil=math.ceil(hours / 24))


def _next_free(done: Sequence[Stroke], now: datetime, per_day: int, per_month: int | None) -> datetime | None:
    """Return the first moment at which both windows have room for a stroke; None when a limit is zero."""
    limits = [(DAY, per_day)] + ([] if per_month is None else [(MONTH, per_month)])
    if any(limit < 1 for _, limit in limits):
        return None
    moments = sorted(stroke.at + window for stroke in done for window, _ in limits if stroke.at + window > now)
    for moment in moments:
        if all(done_within(done, moment, window) < limit for window, limit in limits):
            return moment
    return None


def _reason(strokes_now: int, free_today: int, day: int, month: int, per_day: int, per_month: int | None) -> str:
    if strokes_now:
        return tr("{strokes_now} now: {day} of {per_day} went in during the last 24 hours.").format(
                   strokes_now=strokes_now, day=day, per_day=per_day)
    if free_today and per_month is not None:
        return tr(
            "No more this month: {month} of {per_month} went in during the last 30 days; more lifts the seal."
        ).format(month=month, per_month=per_month)
    return tr("No more today: {day} of {per_day} went in during the last 24 hours; more lifts the seal.").format(
               day=day, per_day=per_day)
