"""How often a bearing is greased: by formula, by the grease's life, by dirt, water and calendar; the shortest decides.

At the speeds of an elevator or a conveyor the two formulas saturate at tens of thousands of hours and mean nothing:
there the calendar schedule decides, and the answer says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.tables import load
from kiosk.errors import CalcError, NoTableRow, OutOfRange
from kiosk.language import N_, number, tr

LONGEST_HOURS = 30_000.0
"""Longer intervals are not reliable; a bearing maker's handbook of rolling bearings."""
REGREASE_SHARES = (1 / 4, 1 / 3)
"""Regrease at a quarter to a third of the grease's life; mounted-unit catalogue."""
HOURS_PER_DAY_FULL, HOURS_PER_DAY_HALVED = 10.0, 20.0
"""The schedule is printed for 8 to 10 h a day and halved for 16 to 20 h; in between we halve, to be safe."""

_LIFE_SOURCE = N_("mounted-unit catalogue, formula of grease life of a sealed insert")
_TABLE = "grease_intervals"
_ENVIRONMENTS = {"clean": "clean", "dust": "dust", "dust+wet": "dust_and_wet"}


@dataclass(frozen=True)
class FormulaInterval:
    """Interval by the classical formula.

    Args:
        raw_hours: What the formula gives; zero or less means the bearing is outside it.
        hours: Usable interval, at most 30 000; None outside the formula.
        capped: True when the formula gave more than is reliable.
        source: Whose formula.
    """

    raw_hours: float
    hours: float | None
    capped: bool
    source: str


@dataclass(frozen=True)
class GreaseLife:
    """Life of the grease in a sealed insert.

    Args:
        log10_hours: Logarithm that the formula gives.
        hours: Grease life L.
        regrease_from_hours: A quarter of it.
        regrease_to_hours: A third of it.
        floors: Names of the inputs that were lifted to the formula's floor.
        source: Whose formula.
    """

    log10_hours: float
    hours: float
    regrease_from_hours: float
    regrease_to_hours: float
    floors: tuple[str, ...]
    source: str


@dataclass(frozen=True)
class Schedule:
    """Interval by temperature, dirt, water and calendar.

    Args:
        printed: As the table prints it: '4 months', 'not needed'.
        days: Our count of it, halved for long days; None when not needed.
        halved: True when the unit runs longer days than the table is printed for.
        source: Whose table.
    """

    printed: str
    days: float | None
    halved: bool
    source: str


@dataclass(frozen=True)
class Interval:
    """One reason to grease again.

    Args:
        name: 'formula', 'grease life', 'calendar' or the sheet's own word.
        hours: After so many running hours, None where it counts days only.
        days: After so many days, None where it counts hours only.
        source: Where it comes from.
    """

    name: str
    hours: float | None
    days: float | None
    source: str


@dataclass(frozen=True)
class DecidingInterval:
    """The interval that comes first.

    Args:
        deciding: The interval that decides.
        days: Days until then at the unit's own rate.
        others: The rest, soonest first.
        reason: One sentence that names what decides.
    """

    deciding: Interval
    days: float
    others: tuple[Interval, ...]
    reason: str


def formula_interval(speed_rpm: float, bore_mm: float, bearing_factor: float = 10) -> FormulaInterval:
    """Return the regreasing interval by the classical formula, for 70 °C, clean, horizontal shaft.

    Args:
        speed_rpm: Rotational speed n. [r/min] above 0
        bore_mm: Bore d. [mm] above 0
        bearing_factor: K, 10 ball, 5 cylindrical or needle, 1 spherical, taper or thrust. [-]

    Raises:
        OutOfRange: an argument is not possible.
        NoTableRow: K is none of the three.

    Source:
        Classical formula: t = K * (14e6 / (n * sqrt(d)) - 4 * d); capped at 30 000 h by a maker's handbook. Below
        500 r/min it says little and `deciding_interval` turns to the calendar.
    """
    speed = guards.positive("speed_rpm", speed_rpm, "r/min", 100_000)
    bore = guards.positive("bore_mm", bore_mm, "mm", 2000)
    factors = load(_TABLE)["formula_factor"]
    if bearing_factor not in factors.values():
        raise NoTableRow("factor K of the interval formula", bearing_factor,
                         tuple(f"{value} {kind}" for kind, value in factors.items()))
    raw = bearing_factor * (14e6 / (speed * math.sqrt(bore)) - 4 * bore)
    usable = min(raw, LONGEST_HOURS) if raw > 0 else None
    return FormulaInterval(raw, usable, raw > LONGEST_HOURS, load(_TABLE)["source"]["formula"])


def temperature_factor(temperature_celsius: float, vertical_shaft: bool = False) -> float:
    """Return what the formula's interval is multiplied by for temperature and shaft.

    Args:
        temperature_celsius: Of the bearing's outer ring. [°C] -40 to 150
        vertical_shaft: Halves the interval.

    Returns:
        1 between 55 and 70 °C, 2 at 55 °C and below, halved for every 15 °C above 70. [-]

    Raises:
        OutOfRange: temperature beyond what greases take.

    Source:
        Rolling-bearing handbook; that it falls steadily between the printed steps is our reading.
    """
    temperature = guards.number("temperature_celsius", temperature_celsius, "°C", -40, 150)
    if temperature > 70:
        factor: float = 0.5 ** ((temperature - 70) / 15)
    else:
        factor = 2.0 if temperature <= 55 else 1.0
    return factor / 2 if vertical_shaft else factor


def grease_life(bore_mm: float, outside_diameter_mm: float, speed_rpm: float, equivalent_load_newton: float,
                dynamic_rating_newton: float, temperature_celsius: float) -> GreaseLife:
    """Return the life of the grease in a sealed insert bearing, and when to regrease.

    Args:
        bore_mm: Bore d. [mm] above 0
        outside_diameter_mm: Outside diameter D. [mm] above the bore
        speed_rpm: Rotational speed n. [r/min] above 0, d_m * n at most 300 000
        equivalent_load_newton: Equivalent dynamic load P. [N] 0 to 0.2 C
        dynamic_rating_newton: Basic dynamic load rating C. [N] above 0
        temperature_celsius: Of the bearing. [°C] at most 100

    Raises:
        OutOfRange: outside what the formula is printed for.

    Source:
        Mounted-unit catalogue: log10 L = 6.10 - 4.40e-6 d_m n - 2.50 (P/C - 0.05) - (0.021 - 1.80e-8 d_m n) T,
        d_m = (d + D) / 2; floors T = 50, d_m n = 125 000, P/C = 0.05.
    """
    outside = guards.positive("outside_diameter_mm", outside_diameter_mm, "mm", 2000)
    mean_diameter = (guards.positive("bore_mm", bore_mm, "mm", outside) + outside) / 2
    speed = guards.positive("speed_rpm", speed_rpm, "r/min", 3e5 / mean_diameter, _LIFE_SOURCE)
    rating = guards.positive("dynamic_rating_newton", dynamic_rating_newton, "N")
    guards.number("equivalent_load_newton", equivalent_load_newton, "N", 0)
    load_newton = guards.number("equivalent_load_newton", equivalent_load_newton, "N", 0, 0.2 * rating, _LIFE_SOURCE)
    temperature = guards.number("temperature_celsius", temperature_celsius, "°C", -40, 100, _LIFE_SOURCE)
    asked = {"speed": mean_diameter * speed, "load": load_newton / rating, "temperature": temperature}
    floor = {"speed": 1.25e5, "load": 0.05, "temperature": 50.0}
    used = {name: max(value, floor[name]) for name, value in asked.items()}
    log10 = (6.10 - 4.40e-6 * used["speed"] - 2.50 * (used["load"] - 0.05)
             - (0.021 - 1.80e-8 * used["speed"]) * used["temperature"])
    hours = 10.0**log10
    quarter, third = (share * hours for share in REGREASE_SHARES)
    floors = tuple(name for name, value in asked.items() if value < floor[name])
    return GreaseLife(log10, hours, quarter, third, floors, _LIFE_SOURCE)


def schedule(temperature_celsius: float, environment: str, hours_per_day: float = 8.0) -> Schedule:
    """Return the regreasing interval by temperature and surroundings, which decides on slow, dirty machines.

    Args:
        temperature_celsius: Of the bearing. [°C] -40 to 100
        environment: 'clean', 'dust' or 'dust+wet'.
        hours_per_day: Running hours of a working day. [h] 0 to 24

    Raises:
        OutOfRange: warmer than the table, or no possible day.
        NoTableRow: surroundings are not in the table.

    Source:
        Mounted-unit catalogue, table 'grease schedule', 8 to 10 h a day, halved for 16 to 20 h.
    """
    temperature = guards.number("temperature_celsius", temperature_celsius, "°C", -40, 100, "grease schedule")
    halved = guards.number("hours_per_day", hours_per_day, "h", 0, 24) > HOURS_PER_DAY_FULL
    if environment not in _ENVIRONMENTS:
        raise NoTableRow("grease schedule", environment, tuple(_ENVIRONMENTS))
    table = load(_TABLE)
    row = next(row for row in table["schedule"] if temperature <= row["temperature_to_celsius"])
    printed = row[_ENVIRONMENTS[environment]]
    days = table["days"].get(printed)
    return Schedule(printed, days / 2 if days and halved else days, halved, table["source"]["schedule"])


def deciding_interval(intervals: Sequence[Interval], hours_per_day: float) -> DecidingInterval:
    """Return which of several intervals comes first at the unit's own rate.

    Args:
        intervals: At least one, each with hours or days above 0 or both.
        hours_per_day: Average running hours per calendar day, 0 for a unit that stands. [h] 0 to 24

    Raises:
        OutOfRange: an interval or the rate is not possible.
        CalcError: none of the intervals ends, as the unit stands and none counts days.

    Source:
        Plain arithmetic; whichever comes first is common practice, no source.
    """
    rate = guards.number("hours_per_day", hours_per_day, "h", 0, 24)
    ranked = sorted(intervals, key=lambda interval: _days_until(interval, rate))
    if not ranked or math.isinf(_days_until(ranked[0], rate)):
        raise CalcError(tr("No interval ends: the unit stands and no interval counts days. Give one in days."))
    first = ranked[0]
    return DecidingInterval(first, _days_until(first, rate), tuple(ranked[1:]), _decides(first, rate))


def _days_until(interval: Interval, hours_per_day: float) -> float:
    if interval.hours is None and interval.days is None:
        raise OutOfRange(f"interval {interval.name}", None, "h or days", 0)
    ends = []
    if interval.days is not None:
        ends.append(guards.positive(f"{interval.name} days", interval.days, "days"))
    if interval.hours is not None:
        hours = guards.positive(f"{interval.name} hours", interval.hours, "h")
        ends.append(hours / hours_per_day if hours_per_day > 0 else math.inf)
    return min(ends)


def _decides(interval: Interval, hours_per_day: float) -> str:
    days = _days_until(interval, hours_per_day)
    return tr("The {interval} decides: about {days} days at {hours_per_day} h a day.").format(
               interval=tr(interval.name), days=number(days, ".0f"), hours_per_day=number(hours_per_day, "g"))


def insert_intervals(bore_mm: float, outside_diameter_mm: float, speed_rpm: float, equivalent_load_newton: float,
                     dynamic_rating_newton: float, temperature_celsius: float, environment: str,
                     hours_per_day: float = 8.0, vertical_shaft: bool = False,
                     dirt_factor: float = 1.0) -> tuple[Interval, ...]:
    """Return every interval that can be given for an insert ball bearing, ready for `deciding_interval`.

    Args:
        bore_mm: Bore d. [mm] above 0
        outside_diameter_mm: Outside diameter D. [mm] above the bore
        speed_rpm: Rotational speed n. [r/min] above 0
        equivalent_load_newton: Equivalent dynamic load P. [N] 0 or more
        dynamic_rating_newton: Basic dynamic load rating C. [N] above 0
        temperature_celsius: Of the bearing. [°C] -40 to 100
        environment: 'clean', 'dust' or 'dust+wet'.
        hours_per_day: Running hours of a working day. [h] 0 to 24
        vertical_shaft: Halves the formula's interval.
        dirt_factor: Shortens the formula's interval; general pages quote 0.5 to 0.7 for ordinary industry and 0.2 to
            0.5 for wet and dirty work. [-] 0.1 to 1

    Returns:
        Intervals by formula, grease life and calendar; one that a formula cannot give is left out.

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        As the three functions called.
    """
    dirt = guards.number("dirt_factor", dirt_factor, "", 0.1, 1.0)
    found = []
    by_formula = formula_interval(speed_rpm, bore_mm)
    if by_formula.hours is not None:
        hours = by_formula.hours * temperature_factor(temperature_celsius, vertical_shaft) * dirt
        found.append(Interval("formula", min(hours, LONGEST_HOURS), None, by_formula.source))
    try:
        life = grease_life(bore_mm, outside_diameter_mm, speed_rpm, equivalent_load_newton, dynamic_rating_newton,
                           temperature_celsius)
        found.append(Interval(N_("grease life"), life.regrease_from_hours, None, life.source))
    except OutOfRange as refusal:
        if refusal.source != _LIFE_SOURCE:
            raise
    by_calendar = schedule(temperature_celsius, environment, hours_per_day)
    if by_calendar.days is not None:
        found.append(Interval("calendar", None, by_calendar.days, by_calendar.source))
    return tuple(found)
