"""Life of replaced parts without assuming a curve, mean time between failures, and the trend of a repaired machine.

A curve with two parameters is in `weibull`, what to stock and when to replace in `replacement`.
Source: NIST/SEMATECH e-Handbook, chapter 8.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.errors import OutOfRange

TREND_AT = 1.96
"""Beyond this the times between failures are not one distribution; two-sided 5 %."""


@dataclass(frozen=True)
class SurvivalStep:
    """One step down of a survival curve.

    Args:
        hours: Age.
        at_risk: Parts that had reached this age.
        failed: Parts that failed at it.
        survival: Share that outlives it.
        standard_error: Greenwood's, None once nobody is left.
    """

    hours: float
    at_risk: int
    failed: int
    survival: float
    standard_error: float | None


@dataclass(frozen=True)
class SurvivalCurve:
    """Kaplan-Meier curve of failed and running parts.

    Args:
        steps: At each age with a failure, youngest first.
        longest_hours: Oldest age that was seen; beyond it nothing is known.
    """

    steps: tuple[SurvivalStep, ...]
    longest_hours: float


@dataclass(frozen=True)
class MeanTime:
    """Mean time between failures at a constant rate, watched for a fixed time.

    Args:
        mean_hours: Hours for each failure, None without a failure.
        low_one_sided_hours: With the given confidence it is longer than this.
        low_hours: Low bound of the two-sided interval.
        high_hours: High bound of the two-sided interval, None without a failure.
        confidence: Of the bounds.
    """

    mean_hours: float | None
    low_one_sided_hours: float
    low_hours: float
    high_hours: float | None
    confidence: float


@dataclass(frozen=True)
class MedianRanks:
    """Median ranks for plotting failures in order of age.

    Args:
        exact: By the beta distribution.
        approximate: Benard's, within a hundredth.
    """

    exact: tuple[float, ...]
    approximate: tuple[float, ...]


@dataclass(frozen=True)
class RepairTrend:
    """Laplace test of a machine that is repaired and runs on.

    Args:
        score: U; positive when failures come closer together.
        probability: Two-sided, of such a score without any trend.
        has_trend: True beyond 1.96: no Weibull fit then, show a running count.
        meaning: 'getting worse', 'getting better' or 'no trend'.
    """

    score: float
    probability: float
    has_trend: bool
    meaning: str


def survival_curve(ages_hours: Sequence[float], failed: Sequence[bool]) -> SurvivalCurve:
    """Return the share of parts that outlive each age, with those that still run counted in (Kaplan-Meier).

    Args:
        ages_hours: Age of each part at its failure, or now. [h] 0 or more
        failed: For each, whether it failed; at one age failures come before parts taken out whole.

    Raises:
        OutOfRange: no part, unequal counts, or a negative age.

    Source:
        NIST/SEMATECH e-Handbook 8.2.1.5: S = product(1 - d/n); Greenwood: se = S sqrt(sum(d / (n (n - d)))).
    """
    ages = guards.numbers("ages_hours", ages_hours, "h", 0)
    if len(failed) != len(ages):
        raise OutOfRange("number of failed", len(failed), "", len(ages), len(ages))
    survival, error_sum, steps = 1.0, 0.0, []
    for age in sorted({age for age, did in zip(ages, failed, strict=True) if did}):
        at_risk = sum(other >= age for other in ages)
        count = sum(did and other == age for other, did in zip(ages, failed, strict=True))
        survival *= 1 - count / at_risk
        error_sum += count / (at_risk * (at_risk - count)) if count < at_risk else math.inf
        error = survival * math.sqrt(error_sum) if survival > 0 else None
        steps.append(SurvivalStep(age, at_risk, count, survival, error))
    return SurvivalCurve(tuple(steps), max(ages))


def survival_at(curve: SurvivalCurve, age_hours: float) -> SurvivalStep:
    """Return the step of a survival curve that holds at an age.

    Args:
        curve: From `survival_curve`.
        age_hours: Age. [h] 0 to the oldest that was seen

    Raises:
        OutOfRange: beyond the oldest age, where nothing is known.
    """
    age = guards.number("age_hours", age_hours, "h", 0, curve.longest_hours, "the oldest part seen")
    reached = [step for step in curve.steps if step.hours <= age]
    return reached[-1] if reached else SurvivalStep(0.0, 0, 0, 1.0, 0.0)


def mean_time_between_failures(unit_hours: float, failures: int, confidence: float = 0.9) -> MeanTime:
    """Return the mean time between failures with bounds, for a constant rate watched for a fixed time.

    Args:
        unit_hours: Running hours of all units together. [h] above 0
        failures: Failures in that time. 0 or more
        confidence: Of the bounds. [-] 0.5 to 0.9999

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        NIST/SEMATECH e-Handbook 8.4.5.1: low 2T / chi²(2r + 2), high 2T / chi²(2r). Only when `laplace_trend` shows no
        trend and the Weibull shape is about 1; not for a test that ends with a failure.
    """
    total = guards.positive("unit_hours", unit_hours, "h")
    count = guards.count("failures", failures, 0, 1_000_000)
    level = guards.number("confidence", confidence, "", 0.5, 0.9999)
    tail = (1 - level) / 2
    return MeanTime(
        mean_hours=total / count if count else None,
        low_one_sided_hours=total / _half_chi_square(level, count + 1),
        low_hours=total / _half_chi_square(1 - tail, count + 1),
        high_hours=total / _half_chi_square(tail, count) if count else None,
        confidence=level,
    )


def _half_chi_square(probability: float, half_degrees: int) -> float:
    """Return half the quantile of chi² with 2 * half_degrees degrees of freedom."""
    from scipy.special import gammaincinv

    return float(gammaincinv(half_degrees, probability))


def median_ranks(count: int) -> MedianRanks:
    """Return the median ranks of failures in order of age.

    Args:
        count: Number of failures. 1 to 10000

    Raises:
        OutOfRange: not a count.

    Source:
        Beta distribution at one half; Benard: (i - 0.3) / (n + 0.4).
    """
    from scipy.special import betaincinv

    number = guards.count("count", count, 1, 10_000)
    order = range(1, number + 1)
    exact = tuple(float(betaincinv(rank, number - rank + 1, 0.5)) for rank in order)
    return MedianRanks(exact, tuple((rank - 0.3) / (number + 0.4) for rank in order))


def laplace_trend(failure_hours: Sequence[float], observed_to_hours: float) -> RepairTrend:
    """Return whether the failures of one repaired machine come closer together or further apart.

    Args:
        failure_hours: Running hours at each failure, counted from the start of watching. [h] 0 to the end
        observed_to_hours: End of watching, not a failure itself. [h] above 0

    Raises:
        OutOfRange: no failure, or one outside the time watched.

    Source:
        Laplace: U = (mean(t) - T/2) / (T / sqrt(12 n))
    """
    end = guards.positive("observed_to_hours", observed_to_hours, "h")
    times = guards.numbers("failure_hours", failure_hours, "h", 0, end)
    score = (math.fsum(times) / len(times) - end / 2) / (end / math.sqrt(12 * len(times)))
    has_trend = abs(score) > TREND_AT
    meaning = "no trend" if not has_trend else "getting worse" if score > 0 else "getting better"
    return RepairTrend(score, math.erfc(abs(score) / math.sqrt(2)), has_trend, meaning)
