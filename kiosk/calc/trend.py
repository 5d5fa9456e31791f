"""When readings over running hours will meet a limit, with both bounds, and on which day.

A forecast is given only where the slope can be told from zero; otherwise the answer says 'no trend' and why. A series
starts anew at every adjustment and replacement. Beside least squares stands a robust slope, from `trend_robust`; two
that differ show a bad point. Source: Fieller's bounds for the time to the limit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from kiosk.calc import guards
from kiosk.calc.due import date_after_hours
from kiosk.calc.line_fit import Line, fit_line, student_quantile
from kiosk.calc.trend_robust import robust_slope
from kiosk.errors import OutOfRange
from kiosk.language import tr

NO_SLOPE = "slope not distinguishable from zero (g >= 1)"
NO_DEGREES = "none (n − 2 = 0 degrees of freedom)"
BAD_POINT_PERCENT = 20.0
"""Slopes that differ by more show a bad point; common rule of thumb."""


@dataclass(frozen=True)
class Forecast:
    """When a trend meets its limit.

    Args:
        established: False where no forecast with bounds can be given.
        reason: Plain sentence: why not, or what to know; '' for nothing.
        slope: Gain per running hour by least squares.
        robust_slope: The same as the median of all pairs of readings.
        slopes_differ: True when the two differ by more than 20 %: look for a bad reading.
        hours_at_limit: Hour meter at which the line meets the limit, None where it never does.
        line_early_hours: Early bound for the line; plan by this one.
        line_late_hours: Late bound for the line.
        reading_early_hours: Early bound for a reading, when a measurement could show it.
        reading_late_hours: Late bound for a reading.
        g: Share of the slope that is uncertain, squared; 1 and more is no trend. None with two readings.
        ahead: True when the limit lies ahead of the last reading.
        beyond_span: True when it lies further ahead than the readings reach back.
        confidence: Of both pairs of bounds.
    """

    established: bool
    reason: str
    slope: float
    robust_slope: float
    slopes_differ: bool
    hours_at_limit: float | None
    line_early_hours: float | None
    line_late_hours: float | None
    reading_early_hours: float | None
    reading_late_hours: float | None
    g: float | None
    ahead: bool
    beyond_span: bool
    confidence: float


@dataclass(frozen=True)
class DateAtLimit:
    """Day on which a value meets its limit at the unit's own rate.

    Args:
        hours_left: Running hours left; negative when the limit is passed or the value goes away from it; None where it
            does not change.
        due: The day, rounded down; None where there is none.
        reason: Why there is no day, '' when there is one.
    """

    hours_left: float | None
    due: date | None
    reason: str


@dataclass(frozen=True)
class ClearanceRate:
    """Quick advice from two readings, before a trend exists; no bounds.

    Args:
        rate_mm_per_100_hours: Gain in 100 running hours.
        hours_to_limit: Running hours left; negative when the limit is passed or the gap shrinks; None where it does
            not change.
    """

    rate_mm_per_100_hours: float
    hours_to_limit: float | None


def forecast(hours: Sequence[float], values: Sequence[float], limit: float, confidence: float = 0.95,
             least_deviation: float = 0.0) -> Forecast:
    """Return when readings over running hours will meet a limit, with both bounds, or why there is no forecast.

    Args:
        hours: Hour meter of each reading since the last adjustment or replacement, see `since_restart`. [h]
        values: The readings, as many, two or more.
        limit: Value that they are not to pass.
        confidence: Of the bounds. [-] 0.5 to 0.9999
        least_deviation: Standard uncertainty of one reading, the least scatter that is believed. 0 or more

    Returns:
        The forecast; `established` is False for two readings and for a slope that cannot be told from zero. Line
        bounds say when the average wear gets there, reading bounds when a measurement could show it.

    Raises:
        OutOfRange: fewer than two readings or unequal counts.
        CalcError: all readings at one hour.

    Source:
        Bounds are where the limit cuts the curves of `predict` (Fieller); there are none for
        g = t² s² / (b1² S_xx) of 1 and more.
    """
    line = fit_line(hours, values, least_deviation)
    target = guards.number("limit", limit)
    at_limit = None if line.slope == 0 else line.mean_x + (target - line.mean_value) / line.slope
    g = _uncertain_share(line, confidence)
    established = g is not None and g < 1
    last = max(hours)
    ahead = at_limit is not None and at_limit > last
    beyond = ahead and at_limit is not None and at_limit - last > last - min(hours)
    slope, differ = _robust(hours, values, line.slope)
    early, late = _bounds(line, target, confidence, 0.0) if established else (None, None)
    reading_early, reading_late = _bounds(line, target, confidence, 1.0) if established else (None, None)
    return Forecast(established, _why(line, established, ahead, beyond), line.slope, slope, differ, at_limit, early,
                    late, reading_early, reading_late, g, ahead, beyond, confidence)


def _uncertain_share(line: Line, confidence: float) -> float | None:
    """Return Fieller's g, None with two readings, infinity for a level line."""
    if line.slope_error is None:
        guards.number("confidence", confidence, "", 0.5, 0.9999)
        return None
    if line.slope == 0:
        return math.inf
    return (student_quantile(confidence, line.count - 2) * line.slope_error / line.slope) ** 2


def _bounds(line: Line, limit: float, confidence: float, reading: float) -> tuple[float, float]:
    """Return where the limit cuts the bounds of the line (reading 0) or of one reading (reading 1).

    With d = x - mean_x and D = limit - mean_value the cut is at (D - b1 d)² = t² s² (reading + 1/n + d² / S_xx),
    a quadratic in d that has two roots for g < 1.
    """
    assert line.residual_deviation is not None
    reach = (student_quantile(confidence, line.count - 2) * line.residual_deviation) ** 2
    away = limit - line.mean_value
    leading = line.slope**2 - reach / line.spread_x
    constant = reach * (reading + 1 / line.count)
    half_width = math.sqrt(reach / line.spread_x * away**2 + leading * constant) / leading
    centre = line.slope * away / leading
    return line.mean_x + centre - half_width, line.mean_x + centre + half_width


def _robust(hours: Sequence[float], values: Sequence[float], slope: float) -> tuple[float, bool]:
    robust = robust_slope(hours, values)
    scale = max(abs(slope), abs(robust))
    return robust, abs(slope - robust) > BAD_POINT_PERCENT / 100 * scale


def _why(line: Line, established: bool, ahead: bool, beyond: bool) -> str:
    if line.count == 2:
        return tr("Two readings give a first guess only, with no bounds; measure at least once more.")
    if not established:
        return tr("Trend not established: the readings scatter too much, or change too little, to tell a slope from "
                  "none.")
    if not ahead:
        return tr("The line meets the limit before the last reading: it is past the limit, or goes away from it.")
    if not beyond:
        return ""
    return tr("The limit lies further ahead than the readings reach back; measure again before planning.")


def since_restart(hours: Sequence[float], values: Sequence[float],
                  restart_hours: Sequence[float]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the hours and readings since the last adjustment or replacement.

    Args:
        hours: Hour meter of each reading, in the order in which they were entered. [h]
        values: The readings, as many.
        restart_hours: Hour meter at each adjustment or replacement. [h]

    Returns:
        Hours and readings after the last restart. Of those taken at the very hour of the restart only the last one
        entered counts: it was left, the ones before it were found.

    Raises:
        OutOfRange: unequal counts or a value that is no number.
    """
    places = guards.numbers("hours", hours, "h", at_least=0)
    readings = guards.numbers("values", values, at_least=0)
    if len(places) != len(readings):
        raise OutOfRange("number of values", len(readings), "", len(places), len(places))
    restarts = guards.numbers("restart_hours", restart_hours, "h", at_least=0)
    if not restarts:
        return places, readings
    start = max(restarts)
    left = [(place, value) for place, value in zip(places, readings, strict=True) if place == start][-1:]
    later = [(place, value) for place, value in zip(places, readings, strict=True) if place > start]
    kept = left + later
    return tuple(place for place, _ in kept), tuple(value for _, value in kept)


def date_at_limit(last_value: float, last_date: date, rate_per_hour: float, limit: float,
                  hours_per_day: float) -> DateAtLimit:
    """Return the day on which a value meets its limit at the unit's own rate.

    Args:
        last_value: Value now, from the line or the last reading.
        last_date: Its day.
        rate_per_hour: Gain per running hour, negative for a falling value.
        limit: Value that it is not to pass.
        hours_per_day: Average running hours per calendar day. [h] 0 to 24

    Raises:
        OutOfRange: an argument is not an ordinary number.

    Source:
        Plain arithmetic; whole days, rounded down.
    """
    to_go = guards.number("limit", limit) - guards.number("last_value", last_value)
    rate = guards.number("rate_per_hour", rate_per_hour)
    guards.number("hours_per_day", hours_per_day, "h", 0, 24)
    if rate == 0:
        return DateAtLimit(None, None, tr("It does not change; there is no date."))
    hours_left = to_go / rate
    due = date_after_hours(hours_left, last_date, hours_per_day) if abs(hours_left) <= guards.HUGE else None
    if due is not None:
        return DateAtLimit(hours_left, due, "")
    stands = tr("The unit has not run, so its hours give no date.")
    return DateAtLimit(hours_left, None, stands if hours_per_day == 0 else tr("More than a hundred years off."))


def clearance_rate(first_clearance_mm: float, last_clearance_mm: float, hours_between: float,
                   clearance_limit_mm: float) -> ClearanceRate:
    """Return how fast a clearance grows between two readings, and the hours to its limit.

    Args:
        first_clearance_mm: Earlier reading. [mm] 0 or more
        last_clearance_mm: Later reading. [mm] 0 or more
        hours_between: Running hours between them. [h] above 0
        clearance_limit_mm: Clearance that it is not to pass. [mm] 0 or more

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        Plain arithmetic, for quick advice before a trend exists.

    Example, by hand: 3 mm in 150 h, 6 mm to go
        >>> clearance_rate(6, 9, 150, 15).hours_to_limit
        300.0
    """
    first = guards.number("first_clearance_mm", first_clearance_mm, "mm", 0)
    last = guards.number("last_clearance_mm", last_clearance_mm, "mm", 0)
    hours = guards.positive("hours_between", hours_between, "h")
    to_go = guards.number("clearance_limit_mm", clearance_limit_mm, "mm", 0) - last
    gain = last - first
    return ClearanceRate(100 * gain / hours, hours * to_go / gain if gain else None)
