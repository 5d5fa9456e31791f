"""Weibull life of parts that were replaced, with those that still run counted in, and bounds.

For the first failure of like parts, ages in one measure. For a repaired machine ask `life_data.laplace_trend` first.
Source: NIST/SEMATECH e-Handbook 8.4.1.3, whose page prints the log-likelihood without its sign and the standard
deviation without the minus under the root; its answers, 323.806 for one, are right.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.errors import CalcError
from kiosk.language import tr

ENOUGH_TO_SHOW, ENOUGH_FOR_SHAPE = 3, 10
"""Failures needed to show anything, and to speak of the shape; the fit's shape is too high for few failures."""
LEAST_SHAPE, MOST_SHAPE = 0.05, 1e4
"""Shapes that a fit looks between; nothing that wears or breaks lies outside."""
LOG_SCALE_NOTE = "bounds on the log scale (never negative): the ones to use"
LINEAR_SCALE_NOTE = "bounds on the linear scale: another library's, kept to compare"


@dataclass(frozen=True)
class Bounds:
    """A low and a high bound; two good libraries work them out on different scales and differ.

    Args:
        low: Low bound.
        high: High bound.
        note: The scale that they were worked out on, and which ones to use.
    """

    low: float
    high: float
    note: str


@dataclass(frozen=True)
class WeibullFit:
    """Weibull life fitted to failed and running parts.

    Args:
        scale_hours: Characteristic life eta, by which 63 % have failed.
        shape: beta; below 1 early failures, about 1 by chance, above 1 wear-out.
        log_likelihood: Of the fit.
        akaike: Akaike's information criterion.
        mean_hours: Mean life.
        deviation_hours: Standard deviation of the life.
        b10_hours: Age by which a tenth has failed.
        failures: Number of failed parts.
        running: Number of parts still running, or taken out whole.
        scale_bounds: Of eta, on the log scale.
        shape_bounds: Of beta, on the log scale.
        b10_bounds: Of the B10 age, on the log scale.
        scale_bounds_linear: Of eta, on the linear scale, kept beside.
        shape_bounds_linear: Of beta, on the linear scale, kept beside.
        confidence: Of all bounds.
        may_show: True with three failures or more.
        note: What to mind, in one or two sentences.
    """

    scale_hours: float
    shape: float
    log_likelihood: float
    akaike: float
    mean_hours: float
    deviation_hours: float
    b10_hours: float
    failures: int
    running: int
    scale_bounds: Bounds
    shape_bounds: Bounds
    b10_bounds: Bounds
    scale_bounds_linear: Bounds
    shape_bounds_linear: Bounds
    confidence: float
    may_show: bool
    note: str

    @property
    def wear_out_shown(self) -> bool:
        """True when even the low bound of the shape is above 1: then replacing by age helps."""
        return self.shape_bounds.low > 1


def weibull_fit(failures_hours: Sequence[float], running_hours: Sequence[float] = (),
                confidence: float = 0.95) -> WeibullFit:
    """Return the Weibull life of like parts by maximum likelihood.

    Args:
        failures_hours: Age of each failed part at its failure. [h] above 0, two or more
        running_hours: Age of each part that still runs or was taken out whole. [h] above 0
        confidence: Of the bounds. [-] 0.5 to 0.9999

    Raises:
        OutOfRange: fewer than two failures, or an age that is not above zero.
        CalcError: all failures at the largest age, so that no shape can be found.

    Source:
        NIST/SEMATECH e-Handbook 8.4.1.3; bounds from the Fisher information of (ln eta, ln beta).
    """
    failed = _ages("failures_hours", failures_hours, 2)
    running = _ages("running_hours", running_hours, 0)
    level = guards.number("confidence", confidence, "", 0.5, 0.9999)
    shape = _shape(failed, failed + running)
    scale = _scale(len(failed), failed + running, shape)
    return _described(failed, running, scale, shape, level)


def _ages(name: str, hours: Sequence[float], at_least: int) -> tuple[float, ...]:
    return tuple(guards.positive(name, age, "h") for age in guards.numbers(name, hours, "h", 0, None, at_least))


def _shape(failed: tuple[float, ...], everyone: tuple[float, ...]) -> float:
    """Solve sum(t^b ln t)/sum(t^b) - 1/b = mean(ln t of the failed); ages are taken as a share of the largest."""
    from scipy.optimize import brentq

    oldest = max(everyone)
    logs = [math.log(age / oldest) for age in everyone]
    mean_failed = math.fsum(math.log(age / oldest) for age in failed) / len(failed)
    if mean_failed > -1 / MOST_SHAPE:
        raise CalcError(tr("All parts failed at the same, largest age; a shape cannot be worked out from that."))

    def unbalance(shape: float) -> float:
        weights = [math.exp(shape * log) for log in logs]
        weighted = math.fsum(weight * log for weight, log in zip(weights, logs, strict=True))
        return weighted / math.fsum(weights) - 1 / shape - mean_failed

    if unbalance(LEAST_SHAPE) > 0 or unbalance(MOST_SHAPE) < 0:
        raise CalcError(tr("The ages are spread too wide, or too close together, for a Weibull life; check them."))
    return float(brentq(unbalance, LEAST_SHAPE, MOST_SHAPE, xtol=1e-13, rtol=1e-14))


def _scale(failures: int, everyone: tuple[float, ...], shape: float) -> float:
    oldest = max(everyone)
    return float(oldest * (math.fsum((age / oldest) ** shape for age in everyone) / failures) ** (1 / shape))


def _log_likelihood(failed: tuple[float, ...], running: tuple[float, ...], scale: float, shape: float) -> float:
    density = math.fsum(math.log(shape / scale) + (shape - 1) * math.log(age / scale) for age in failed)
    return density - math.fsum((age / scale) ** shape for age in failed + running)


@dataclass(frozen=True)
class _Spread:
    """Variances and covariance of ln eta and ln beta."""

    scale: float
    shape: float
    both: float


def _spread(failures: int, everyone: tuple[float, ...], scale: float, shape: float) -> _Spread:
    """Invert the Fisher information of (ln eta, ln beta) at the fit."""
    powers = [((age / scale) ** shape, shape * math.log(age / scale)) for age in everyone]
    of_scale = shape**2 * failures
    of_both = -shape * math.fsum(power * log for power, log in powers)
    of_shape = failures + math.fsum(power * log**2 for power, log in powers)
    determinant = of_scale * of_shape - of_both**2
    return _Spread(of_shape / determinant, of_scale / determinant, -of_both / determinant)


def _described(failed: tuple[float, ...], running: tuple[float, ...], scale: float, shape: float,
               confidence: float) -> WeibullFit:
    from scipy.special import ndtri

    z = float(ndtri(0.5 + confidence / 2))
    spread = _spread(len(failed), failed + running, scale, shape)
    log_likelihood = _log_likelihood(failed, running, scale, shape)
    b10 = weibull_quantile_hours(scale, shape, 0.1)
    return WeibullFit(
        scale_hours=scale,
        shape=shape,
        log_likelihood=log_likelihood,
        akaike=4 - 2 * log_likelihood,
        mean_hours=weibull_mean_hours(scale, shape),
        deviation_hours=_deviation_hours(scale, shape),
        b10_hours=b10,
        failures=len(failed),
        running=len(running),
        scale_bounds=_log_bounds(scale, z, spread.scale),
        shape_bounds=_log_bounds(shape, z, spread.shape),
        b10_bounds=_log_bounds(b10, z, _quantile_variance(spread, shape, 0.1)),
        scale_bounds_linear=_linear_bounds(scale, z, spread.scale),
        shape_bounds_linear=_linear_bounds(shape, z, spread.shape),
        confidence=confidence,
        may_show=len(failed) >= ENOUGH_TO_SHOW,
        note=_note(len(failed)),
    )


def _log_bounds(value: float, z: float, variance: float) -> Bounds:
    factor = math.exp(min(z * math.sqrt(variance), 600.0))
    return Bounds(value / factor, value * factor, LOG_SCALE_NOTE)


def _linear_bounds(value: float, z: float, variance: float) -> Bounds:
    reach = value * z * math.sqrt(variance)
    return Bounds(value - reach, value + reach, LINEAR_SCALE_NOTE)


def _quantile_variance(spread: _Spread, shape: float, failed_share: float) -> float:
    """Variance of ln t_F = ln eta + ln(-ln(1 - F)) / beta, by the delta method."""
    pull = math.log(-math.log1p(-failed_share)) / shape
    return spread.scale + pull**2 * spread.shape - 2 * pull * spread.both


def _note(failures: int) -> str:
    if failures < ENOUGH_TO_SHOW:
        return tr("{failures} failures are too few to show anything.").format(failures=failures)
    if failures < ENOUGH_FOR_SHAPE:
        return tr("{failures} failures only: the shape is read too high, go by the bounds.").format(failures=failures)
    return ""


def weibull_mean_hours(scale_hours: float, shape: float) -> float:
    """Return the mean life, scale * Gamma(1 + 1/shape).

    Args:
        scale_hours: Characteristic life eta. [h] above 0
        shape: beta. [-] 0.05 to 10000

    Returns:
        The mean. [h]
    """
    scale = guards.positive("scale_hours", scale_hours, "h")
    return scale * math.gamma(1 + 1 / _checked_shape(shape))


def _checked_shape(shape: float) -> float:
    return guards.number("shape", shape, "", LEAST_SHAPE, MOST_SHAPE)


def _deviation_hours(scale_hours: float, shape: float) -> float:
    variance = math.gamma(1 + 2 / shape) - math.gamma(1 + 1 / shape) ** 2
    return scale_hours * math.sqrt(max(variance, 0.0))


def weibull_quantile_hours(scale_hours: float, shape: float, failed_share: float) -> float:
    """Return the age by which a share of the parts has failed.

    Args:
        scale_hours: Characteristic life eta. [h] above 0
        shape: beta. [-] 0.05 to 10000
        failed_share: F, 0.1 for the B10 age. [-] 0 to 0.999999

    Returns:
        t = eta * (-ln(1 - F))**(1/beta). [h]

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        NIST/SEMATECH e-Handbook 8.1.6.2.
    """
    scale = guards.positive("scale_hours", scale_hours, "h")
    share = guards.number("failed_share", failed_share, "", 0, 0.999999)
    return float(scale * (-math.log1p(-share)) ** (1 / _checked_shape(shape)))


def weibull_failed_share(scale_hours: float, shape: float, age_hours: float) -> float:
    """Return the share of parts that have failed by an age.

    Args:
        scale_hours: Characteristic life eta. [h] above 0
        shape: beta. [-] 0.05 to 10000
        age_hours: Age t. [h] 0 or more

    Returns:
        F = 1 - exp(-(t/eta)**beta). [-]

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        NIST/SEMATECH e-Handbook 8.1.6.2.
    """
    return -math.expm1(-_hazard(scale_hours, shape, guards.number("age_hours", age_hours, "h", 0)))


def _hazard(scale_hours: float, shape: float, age_hours: float) -> float:
    """Return (t/eta)**beta, infinity where it is too large for a number."""
    ratio = age_hours / guards.positive("scale_hours", scale_hours, "h")
    try:
        return float(ratio ** _checked_shape(shape))
    except OverflowError:
        return math.inf


def conditional_reliability(scale_hours: float, shape: float, age_hours: float, mission_hours: float) -> float:
    """Return the chance that a part of some age runs so many hours more.

    Args:
        scale_hours: Characteristic life eta. [h] above 0
        shape: beta. [-] 0.05 to 10000
        age_hours: Age T that it has reached. [h] 0 or more
        mission_hours: Hours m still wanted. [h] 0 or more

    Returns:
        R = exp((T/eta)**beta - ((T + m)/eta)**beta). [-]

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        NIST/SEMATECH e-Handbook 8.1.6.2, ratio of two reliabilities.
    """
    age = guards.number("age_hours", age_hours, "h", 0)
    mission = guards.number("mission_hours", mission_hours, "h", 0)
    if mission == 0:
        return 1.0
    before, after = _hazard(scale_hours, shape, age), _hazard(scale_hours, shape, age + mission)
    return 0.0 if math.isinf(after) else math.exp(before - after)


def zero_failure_scale_hours(ages_hours: Sequence[float], assumed_shape: float, confidence: float) -> float:
    """Return a low bound for the characteristic life when no part has failed yet.

    Args:
        ages_hours: Age of every running part. [h] above 0
        assumed_shape: beta taken from like parts; say so wherever the bound is shown. [-] 0.05 to 10000
        confidence: That the true scale is above the bound. [-] 0.5 to 0.9999

    Returns:
        (sum(t**beta) / -ln(1 - confidence))**(1/beta). [h]

    Raises:
        OutOfRange: no part, or an argument is not possible.

    Source:
        Weibull analysis with an assumed shape, derived from the chance of no failure.
    """
    ages = _ages("ages_hours", ages_hours, 1)
    shape = _checked_shape(assumed_shape)
    level = guards.number("confidence", confidence, "", 0.5, 0.9999)
    oldest = max(ages)
    return float(oldest * (math.fsum((age / oldest) ** shape for age in ages) / -math.log1p(-level)) ** (1 / shape))
