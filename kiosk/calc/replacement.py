"""What to keep in stock until the next order, and at what age a part is best replaced before it fails.

Replacing by age helps only parts that wear out; for any other the answer is no, with the reason.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.weibull import LEAST_SHAPE, MOST_SHAPE, weibull_failed_share, weibull_mean_hours
from kiosk.language import number, tr

MOST_EXPECTED = 10_000.0
MOST_HAZARD = 50.0
"""(t/eta)**beta beyond which no part is left to replace."""


@dataclass(frozen=True)
class Spares:
    """Parts to keep until the next order comes.

    Args:
        expected: Failures to be expected.
        spares: Parts to keep.
        enough_chance: Chance that they last.
    """

    expected: float
    spares: int
    enough_chance: float


@dataclass(frozen=True)
class ReplacementAge:
    """Age at which a part is best replaced.

    Args:
        age_hours: The age, None where replacing by age does not help.
        saving_percent: Against running every part until it fails; 0 where it does not help.
        reason: One sentence.
    """

    age_hours: float | None
    saving_percent: float
    reason: str


def spares(mean_hours: float, unit_hours: float, confidence: float = 0.9) -> Spares:
    """Return how many spares last until the next order, for failures that come by chance.

    Args:
        mean_hours: Mean time between failures of one part. [h] above 0
        unit_hours: Running hours of all such parts until the next order comes. [h] 0 or more
        confidence: Chance wanted that they last. [-] 0.5 to 0.9999

    Raises:
        OutOfRange: an argument is not possible, or more than 10 000 failures are to be expected.

    Source:
        Poisson demand at a constant rate. Parts that wear out are replaced by age, see `best_replacement_age`.

    Example, by hand: 2 expected, P(at most 4) = 7 exp(-2) = 0.947
        >>> spares(500, 1000, 0.9).spares
        4
    """
    mean = guards.positive("mean_hours", mean_hours, "h")
    expected = guards.number("unit_hours", unit_hours, "h", 0, MOST_EXPECTED * mean) / mean
    level = guards.number("confidence", confidence, "", 0.5, 0.9999)
    count = 0
    chance = _at_most(count, expected)
    while chance < level:
        count += 1
        chance = _at_most(count, expected)
    return Spares(expected, count, chance)


def _at_most(count: int, expected: float) -> float:
    from scipy.special import pdtr

    return float(pdtr(count, expected))


def best_replacement_age(scale_hours: float, shape: float, shape_low: float, planned_cost: float,
                         failure_cost: float) -> ReplacementAge:
    """Return the age at which a part is best replaced before it fails.

    Args:
        scale_hours: Characteristic life eta of the Weibull fit. [h] above 0
        shape: beta of the fit. [-] 0.05 to 10000
        shape_low: Low bound of beta on the log scale; wear-out is shown only above 1. [-] 0 to `shape`
        planned_cost: Cost of a replacement in the workshop, in any money or hours. above 0
        failure_cost: Cost of a failure on the road, in the same. above 0

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        Age replacement (Barlow and Proschan): cost per hour (c_p R + c_f F) / integral of R is least where
        h(t) * integral(R, 0, t) - F(t) = c_p / (c_f - c_p).
    """
    scale = guards.positive("scale_hours", scale_hours, "h")
    beta = guards.number("shape", shape, "", LEAST_SHAPE, MOST_SHAPE)
    low = guards.number("shape_low", shape_low, "", 0, beta)
    planned = guards.positive("planned_cost", planned_cost)
    failure = guards.positive("failure_cost", failure_cost)
    if low <= 1:
        return ReplacementAge(None, 0.0, tr("Wear-out is not shown: a new part is no less likely to fail than this "
                                            "one."))
    if failure <= planned:
        return ReplacementAge(None, 0.0, tr("A failure costs no more than a planned replacement: run it until it "
                                            "fails."))
    hazard = _best_hazard(beta, planned / (failure - planned))
    age = None if hazard is None else float(scale * hazard ** (1 / beta))
    saving = 0.0 if age is None else _saving_percent(scale, beta, age, planned, failure)
    if saving < 1:
        return ReplacementAge(None, 0.0, tr("Replacing by age would save less than 1 %: run it until it fails."))
    return ReplacementAge(
        age,
        saving,
        tr("Replacing at this age saves about {saving} % of running until failure.").format(
            saving=number(saving, ".0f")
        ),
    )


def _mean_run(shape: float, hazard: float) -> float:
    """Return the integral of R up to the age with (t/eta)**beta = hazard, as a share of the scale."""
    from scipy.special import gammainc

    return math.gamma(1 + 1 / shape) * float(gammainc(1 / shape, hazard))


def _best_hazard(shape: float, cost_ratio: float) -> float | None:
    """Solve the condition for the best age in terms of (t/eta)**beta; None where hardly a part would live so long.

    The left side is below shape * hazard and grows with it, which gives the lower end of the bracket.
    """
    from scipy.optimize import brentq

    def unbalance(hazard: float) -> float:
        rate = shape * math.pow(hazard, 1 - 1 / shape)
        return rate * _mean_run(shape, hazard) + math.expm1(-hazard) - cost_ratio

    low, high = cost_ratio / (10 * shape), MOST_HAZARD
    if low >= high or unbalance(high) <= 0:
        return None
    return float(brentq(unbalance, low, high, xtol=1e-14, rtol=1e-12))


def _saving_percent(scale_hours: float, shape: float, age_hours: float, planned_cost: float,
                    failure_cost: float) -> float:
    by_age = _cost_per_hour(scale_hours, shape, age_hours, planned_cost, failure_cost)
    return 100 * (1 - by_age * weibull_mean_hours(scale_hours, shape) / failure_cost)


def _cost_per_hour(scale_hours: float, shape: float, age_hours: float, planned_cost: float,
                   failure_cost: float) -> float:
    failed = weibull_failed_share(scale_hours, shape, age_hours)
    run_hours = scale_hours * _mean_run(shape, float((age_hours / scale_hours) ** shape))
    return float((planned_cost * (1 - failed) + failure_cost * failed) / run_hours)
