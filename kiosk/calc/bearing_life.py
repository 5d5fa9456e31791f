"""The rating life of rolling bearings, at 90 % reliability and at others, alone and together on a machine.

In dirty, slow machines fatigue is rarely what ends a bearing: these lives are a ceiling, and greasing, dirt and water
decide. The factor a_ISO is left out, because the contamination class that rules it is guesswork on a vehicle.
Sources: ISO 281:2007, a mounted-unit makers' catalogue, a mechanical engineering design textbook.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.tables import load
from kiosk.errors import NoTableRow
from kiosk.language import N_, tr

ISO_281_2007 = "ISO 281:2007"
OLDER_TABLES = "older tables (1990)"

# Three-parameter form; some editions print 4.459 for theta, which is the same with x0 = 0.02.
_X0, _THETA_LESS_X0, _SLOPE = 0.02, 4.439, 1.483
BALL_SLOPE, ROLLER_SLOPE = 10 / 9, 9 / 8
"""Weibull slopes of classical load-life theory; from memory."""

CEILING = N_("A ceiling: dirt, water and greasing usually end a bearing here before fatigue does.")


@dataclass(frozen=True)
class LifeFactor:
    """Factor a1 for a reliability other than 90 %.

    Args:
        factor: a1.
        edition: The table it is from; two are in print.
        source: Where the table was seen.
    """

    factor: float
    edition: str
    source: str


@dataclass(frozen=True)
class RatingLife:
    """Life of a bearing with what it is worth.

    Args:
        hours: Rating life at the reliability asked for.
        basic_hours: L10h, the life that nine of ten reach.
        reliability_percent: What `hours` is for.
        edition: Of the factor a1.
        caution: What to mind, always at least that it is a ceiling.
        source: Whose formula.
    """

    hours: float
    basic_hours: float
    reliability_percent: float
    edition: str
    caution: str
    source: str


def basic_rating_life_hours(dynamic_rating_newton: float, equivalent_load_newton: float, speed_rpm: float,
                            life_exponent: float = 3.0) -> float:
    """Return the basic rating life L10h of a rolling bearing (90 % reliability).

    Args:
        dynamic_rating_newton: Basic dynamic load rating C. [N] above 0
        equivalent_load_newton: Equivalent dynamic load P. [N] above 0
        speed_rpm: Rotational speed n. [r/min] above 0
        life_exponent: p, 3 for ball and 10/3 for roller bearings. [-] 1 to 5

    Returns:
        L10h. [h]

    Raises:
        OutOfRange: an argument is zero, negative or not a number.

    Source:
        ISO 281:2007, basic rating life: L10h = 1e6 / (60 n) * (C / P)**p

    Example, by hand: C/P = 6, 6**3 = 216 million revolutions, 1500 r/min:
        >>> basic_rating_life_hours(30_000, 5_000, 1_500)
        2400.0
    """
    rating = guards.positive("dynamic_rating_newton", dynamic_rating_newton, "N")
    equivalent = guards.positive("equivalent_load_newton", equivalent_load_newton, "N")
    speed = guards.positive("speed_rpm", speed_rpm, "r/min", 100_000)
    exponent = guards.number("life_exponent", life_exponent, "", 1, 5)
    return float(1e6 / (60 * speed) * (rating / equivalent) ** exponent)


def required_rating_newton(equivalent_load_newton: float, life_hours: float, speed_rpm: float,
                           life_exponent: float = 3.0) -> float:
    """Return the basic dynamic load rating that a wanted life asks for.

    Args:
        equivalent_load_newton: Equivalent dynamic load P. [N] above 0
        life_hours: Wanted basic rating life. [h] above 0
        speed_rpm: Rotational speed n. [r/min] above 0
        life_exponent: p, 3 for ball and 10/3 for roller bearings. [-] 1 to 5

    Returns:
        C = P * (60 n L / 1e6)**(1/p). [N]

    Raises:
        OutOfRange: an argument is zero, negative or not a number.

    Source:
        ISO 281:2007, turned round. Design lives: see `design_life_hours`.
    """
    equivalent = guards.positive("equivalent_load_newton", equivalent_load_newton, "N")
    hours = guards.positive("life_hours", life_hours, "h")
    speed = guards.positive("speed_rpm", speed_rpm, "r/min", 100_000)
    exponent = guards.number("life_exponent", life_exponent, "", 1, 5)
    return float(equivalent * (60 * speed * hours / 1e6) ** (1 / exponent))


def design_life_hours(service: str) -> tuple[float, float]:
    """Return the usual least and largest design life of a kind of service.

    Args:
        service: 'farm machinery', 'intermittent' or '8 h a day'.

    Raises:
        NoTableRow: the service is not in the table.

    Source:
        Mounted-unit makers' catalogue, recommended design lives.
    """
    table = load("bearing_factors")["design_life_hours"]
    if service not in table:
        raise NoTableRow("design lives", service, tuple(table))
    low, high = table[service]
    return float(low), float(high)


def life_factor(reliability_percent: float, edition: str = ISO_281_2007) -> LifeFactor:
    """Return the life factor a1 for a reliability, from the edition named.

    Args:
        reliability_percent: 90, 95, 96, 97, 98 or 99. [%]
        edition: 'ISO 281:2007' or 'older tables (1990)'; both are in print.

    Raises:
        NoTableRow: reliability or edition is not in the tables; nothing is interpolated.

    Source:
        Rolling-bearing handbook, table of a1; the older table beside it.
    """
    tables = load("bearing_factors")
    if edition not in tables["life_factor"]:
        raise NoTableRow("editions of the life factor a1", edition, tuple(tables["life_factor"]))
    percent = guards.number("reliability_percent", reliability_percent, "%", 0, 100)
    rows = tables["life_factor"][edition]
    if f"{percent:g}" not in rows:
        raise NoTableRow("life factor a1", reliability_percent, tuple(rows))
    source = "life_factor" if edition == ISO_281_2007 else "life_factor_older"
    return LifeFactor(rows[f"{percent:g}"], edition, tables["source"][source])


def rating_life(dynamic_rating_newton: float, equivalent_load_newton: float, speed_rpm: float,
                reliability_percent: float = 90.0, life_exponent: float = 3.0,
                edition: str = ISO_281_2007) -> RatingLife:
    """Return the life of a bearing at a reliability, with its cautions.

    Args:
        dynamic_rating_newton: Basic dynamic load rating C. [N] above 0
        equivalent_load_newton: Equivalent dynamic load P. [N] above 0
        speed_rpm: Rotational speed n. [r/min] above 0
        reliability_percent: 90, 95, 96, 97, 98 or 99. [%]
        life_exponent: p, 3 for ball and 10/3 for roller bearings. [-] 1 to 5
        edition: Of the factor a1.

    Raises:
        OutOfRange: an argument is not possible.
        NoTableRow: reliability or edition is not in the tables.

    Source:
        ISO 281:2007: Ln = a1 * L10. Good for P up to C/2 and more than 10 000 revolutions.
    """
    basic = basic_rating_life_hours(dynamic_rating_newton, equivalent_load_newton, speed_rpm, life_exponent)
    factor = life_factor(reliability_percent, edition)
    caution = tr(CEILING)
    if equivalent_load_newton > dynamic_rating_newton / 2:
        caution += tr(" The load is more than half the rating, where the formula no longer holds.")
    if 60 * speed_rpm * basic < 1e4:
        caution += tr(" Fewer than 10 000 revolutions: go by the static safety.")
    if speed_rpm < 10:
        caution += tr(" Below 10 r/min the static safety sizes a bearing.")
    return RatingLife(factor.factor * basic, basic, reliability_percent, edition, caution, _life_source(factor))


def _life_source(factor: LifeFactor) -> str:
    """Return whose formula and whose factor a life was worked out with."""
    if factor.edition == ISO_281_2007:
        return ISO_281_2007
    return tr("{standard}, factor a1 of the {edition}").format(standard=ISO_281_2007, edition=factor.edition)


def rating_for_reliability_newton(load_newton: float, life_million_revolutions: float, reliability: float,
                                  life_exponent: float = 3.0) -> float:
    """Return the basic dynamic load rating for a life at a reliability, by the three-parameter Weibull form.

    Args:
        load_newton: Load F. [N] above 0
        life_million_revolutions: Wanted life x_D. [million revolutions] above 0
        reliability: Wanted reliability R. [-] 0.01 to 0.9999
        life_exponent: a, 3 for ball and 10/3 for roller bearings. [-] 1 to 5

    Returns:
        C10 = F * (x_D / (0.02 + 4.439 * ln(1/R)**(1/1.483)))**(1/a). [N]

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        Mechanical engineering design textbook, x0 = 0.02, theta - x0 = 4.439, b = 1.483.
    """
    force = guards.positive("load_newton", load_newton, "N")
    life = guards.positive("life_million_revolutions", life_million_revolutions, "million revolutions")
    survival = guards.number("reliability", reliability, "", 0.01, 0.9999)
    exponent = guards.number("life_exponent", life_exponent, "", 1, 5)
    reached = _X0 + _THETA_LESS_X0 * (-math.log(survival)) ** (1 / _SLOPE)
    return float(force * (life / reached) ** (1 / exponent))


def reliability_of_rating(load_newton: float, life_million_revolutions: float, dynamic_rating_newton: float,
                          life_exponent: float = 3.0) -> float:
    """Return the share of bearings that reach a life, by the three-parameter Weibull form.

    Args:
        load_newton: Load F. [N] above 0
        life_million_revolutions: Wanted life x_D. [million revolutions] above 0
        dynamic_rating_newton: Basic dynamic load rating C10. [N] above 0
        life_exponent: a, 3 for ball and 10/3 for roller bearings. [-] 1 to 5

    Returns:
        R; 1 for a life shorter than the form's shortest, 0.02 of the rated one. [-]

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        As `rating_for_reliability_newton`, turned round.
    """
    force = guards.positive("load_newton", load_newton, "N")
    life = guards.positive("life_million_revolutions", life_million_revolutions, "million revolutions")
    rating = guards.positive("dynamic_rating_newton", dynamic_rating_newton, "N")
    exponent = guards.number("life_exponent", life_exponent, "", 1, 5)
    relative = life / (rating / force) ** exponent
    beyond = max(0.0, (relative - _X0) / _THETA_LESS_X0)
    return math.exp(-min(beyond**_SLOPE, 700.0))


def system_life_hours(lives_hours: Sequence[float], weibull_slope: float = BALL_SLOPE) -> float:
    """Return the L10 life of a machine that stops with the first of its bearings.

    Args:
        lives_hours: L10 of each bearing. [h] above 0
        weibull_slope: e, 10/9 for ball and 9/8 for roller bearings. [-] 0.5 to 5

    Returns:
        L = sum(L_i**-e)**(-1/e). [h] Two equal ball bearings last 0.536 of one.

    Raises:
        OutOfRange: no bearing, or a life that is not above zero.

    Source:
        Independent Weibull lives, derived; slopes of classical load-life theory from memory.
    """
    lives = [guards.positive("lives_hours", life, "h") for life in guards.numbers("lives_hours", lives_hours, "h", 0)]
    slope = guards.number("weibull_slope", weibull_slope, "", 0.5, 5)
    shortest = min(lives)  # scaled by the shortest, so that no power overflows
    return float(shortest * sum((life / shortest) ** -slope for life in lives) ** (-1 / slope))
