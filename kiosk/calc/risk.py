"""Wrong decisions over a whole population of parts: how many bad ones pass and how many good ones are refused.

For one reading ask `tolerance`; here the spread of the parts is known too, which takes 30 records of a kind
of part at the least. Source: JCGM 106:2012, 9.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import NormalDist

from kiosk.calc import guards
from kiosk.errors import OutOfRange

# Below this a spread is not known well enough to offer these figures (common practice, no source).
RECORDS_NEEDED = 30

# Enough for six digits: the integrands are smooth between the limits.
_STEPS = 400
# Beyond so many standard deviations nothing is left of a distribution.
_REACH = 9.0


@dataclass(frozen=True)
class NormalSpread:
    """Parts that scatter evenly about a mean.

    Args:
        mean: [any one unit]
        standard_deviation: [same] above 0
    """

    mean: float
    standard_deviation: float

    def __post_init__(self) -> None:
        guards.number("mean", self.mean)
        guards.positive("standard_deviation", self.standard_deviation)

    def density(self, value: float) -> float:
        """Return the share of parts per unit at `value`."""
        z = (value - self.mean) / self.standard_deviation
        return math.exp(-0.5 * z * z) / (self.standard_deviation * math.sqrt(2.0 * math.pi))

    def ends(self) -> tuple[float, float]:
        """Return the values between which practically all parts lie."""
        reach = _REACH * self.standard_deviation
        return self.mean - reach, self.mean + reach


@dataclass(frozen=True)
class GammaSpread:
    """Parts whose quantity cannot be negative, such as a run-out.

    Args:
        shape: [-] 1 or more
        scale: [any one unit] above 0
    """

    shape: float
    scale: float

    def __post_init__(self) -> None:
        guards.number("shape", self.shape, "", 1.0, 1e4)
        guards.positive("scale", self.scale)

    def density(self, value: float) -> float:
        """Return the share of parts per unit at `value`."""
        if value <= 0.0:
            return 1.0 / self.scale if self.shape == 1.0 and value == 0.0 else 0.0
        x = value / self.scale
        return math.exp((self.shape - 1.0) * math.log(x) - x - math.lgamma(self.shape)) / self.scale

    def ends(self) -> tuple[float, float]:
        """Return the values between which practically all parts lie."""
        # the tail falls like exp(-x): 40 scales more than the normal reach leave 1e-17
        return 0.0, self.scale * (self.shape + _REACH * math.sqrt(self.shape) + 40.0)


Spread = NormalSpread | GammaSpread


@dataclass(frozen=True)
class Risk:
    """Shares of all parts.

    Args:
        nonconforming: Outside the limits. [-]
        consumer_risk: Outside and accepted all the same. [-]
        producer_risk: Inside and refused all the same. [-]
    """

    nonconforming: float
    consumer_risk: float
    producer_risk: float


def spread_of(readings: Sequence[float]) -> NormalSpread:
    """Return the spread of a kind of part from its records.

    Args:
        readings: One reading of each part. [any one unit] 30 or more

    Returns:
        Mean and standard deviation, taken as normal.

    Raises:
        OutOfRange: fewer than 30 readings, all equal, or not ordinary numbers.

    Source:
        Common practice, no source, for the 30.

    Example:
        >>> spread_of([1.0, 2.0, 3.0] * 10).mean
        2.0
    """
    values = guards.numbers("readings", readings, at_least=RECORDS_NEEDED)
    mean = math.fsum(values) / len(values)
    variance = math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1)
    return NormalSpread(mean, guards.positive("standard deviation of readings", math.sqrt(variance)))


def nonconforming_share(spread: Spread, lower: float | None, upper: float | None) -> float:
    """Return the share of parts outside the limits.

    Args:
        spread: How the parts scatter.
        lower: Lower limit, None where there is none. [as the spread]
        upper: Upper limit, None where there is none. [same]

    Returns:
        Share of all parts. [-]

    Raises:
        OutOfRange: no limit, crossed limits, or not ordinary numbers.

    Source:
        JCGM 106:2012, 9.

    Example, by hand: half of the parts lie above their mean:
        >>> round(nonconforming_share(NormalSpread(10.0, 2.0), None, 10.0), 9)
        0.5
    """
    low, high = _limits(lower, upper)
    return _outside(spread, low, high)


def population_risk(spread: Spread, lower: float | None, upper: float | None, standard_uncertainty: float,
                    accept_lower: float | None = None, accept_upper: float | None = None) -> Risk:
    """Return how many bad parts pass and how many good ones are refused.

    Args:
        spread: How the parts scatter.
        lower: Lower limit of the parts, None where there is none. [as the spread]
        upper: Upper limit of the parts, None where there is none. [same]
        standard_uncertainty: Of one reading. [same] above 0
        accept_lower: Lowest reading that is accepted; the limit itself when None. [same]
        accept_upper: Highest reading that is accepted; the limit itself when None. [same]

    Returns:
        The three shares, to about six digits.

    Raises:
        OutOfRange: no limit, crossed limits, or not ordinary numbers.

    Source:
        JCGM 106:2012, 9.4 and 9.5.

    Example: a gauge far finer than the spread decides nearly always rightly:
        >>> population_risk(NormalSpread(0.0, 1.0), -2.0, 2.0, 0.001).consumer_risk < 1e-3
        True
    """
    low, high = _limits(lower, upper)
    u = guards.positive("standard_uncertainty", standard_uncertainty)
    accept = (low if accept_lower is None else guards.number("accept_lower", accept_lower),
              high if accept_upper is None else guards.number("accept_upper", accept_upper))
    return _risk(spread, low, high, u, accept)


def guard_band_for_risk(spread: Spread, lower: float | None, upper: float | None, standard_uncertainty: float,
                        consumer_risk: float) -> float:
    """Return the guard band that keeps the share of bad parts accepted at a wanted figure.

    Args:
        spread: How the parts scatter.
        lower: Lower limit of the parts, None where there is none. [as the spread]
        upper: Upper limit of the parts, None where there is none. [same]
        standard_uncertainty: Of one reading. [same] above 0
        consumer_risk: Wanted share of all parts that are bad and accepted. [-] above 0, below 1

    Returns:
        Distance of the accepted readings from each limit; 0 when no guard band is needed. [same]

    Raises:
        OutOfRange: no limit, crossed limits, or not ordinary numbers.

    Source:
        JCGM 106:2012, 9.5.4.

    Example: a risk of one half needs none:
        >>> guard_band_for_risk(NormalSpread(0.0, 1.0), -2.0, 2.0, 0.25, 0.5)
        0.0
    """
    low, high = _limits(lower, upper)
    u = guards.positive("standard_uncertainty", standard_uncertainty)
    target = guards.positive("consumer_risk", consumer_risk, "", 1.0)

    def is_enough(guard: float) -> bool:
        return _risk(spread, low, high, u, (low + guard, high - guard)).consumer_risk <= target

    if is_enough(0.0):
        return 0.0
    # a band of half the window accepts nothing; nine u leave nothing wrong
    too_small, enough = 0.0, min(_REACH * u, (high - low) / 2.0)
    while enough - too_small > 1e-7 * u:
        middle = (too_small + enough) / 2.0
        too_small, enough = (too_small, middle) if is_enough(middle) else (middle, enough)
    return enough


def uncertainty_ratio_risk(uncertainty_ratio: float, in_tolerance_share: float) -> Risk:
    """Return the risks that go with a test uncertainty ratio, for simple acceptance.

    Args:
        uncertainty_ratio: TUR: half the width between the limits over U, k = 2. [-] above 0
        in_tolerance_share: Share of the parts inside the limits. [-] above 0, below 1

    Returns:
        The three shares.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        JCGM 106:2012, 9, with a normal spread centred between the limits.

    Example: four to one, 95 % good parts: about 1 in 100 passes wrongly:
        >>> round(uncertainty_ratio_risk(4.0, 0.95).consumer_risk, 3)
        0.009
    """
    ratio = guards.positive("uncertainty_ratio", uncertainty_ratio)
    share = guards.positive("in_tolerance_share", in_tolerance_share, "", 1.0)
    if share == 1.0:
        raise OutOfRange("in_tolerance_share", in_tolerance_share, "", 0.0, 1.0, "below 1")
    spread = NormalSpread(0.0, 1.0 / NormalDist().inv_cdf((1.0 + share) / 2.0))
    return population_risk(spread, -1.0, 1.0, 1.0 / (2.0 * ratio))


def _limits(lower: float | None, upper: float | None) -> tuple[float, float]:
    if lower is None and upper is None:
        raise OutOfRange("lower", lower, source="one limit at the least")
    low = -math.inf if lower is None else guards.number("lower", lower)
    high = math.inf if upper is None else guards.number("upper", upper, low=None if lower is None else low)
    return low, high


def _outside(spread: Spread, low: float, high: float) -> float:
    first, last = spread.ends()
    return _integral(spread.density, first, min(low, last)) + _integral(spread.density, max(high, first), last)


def _risk(spread: Spread, low: float, high: float, u: float, accept: tuple[float, float]) -> Risk:
    def accepted(value: float) -> float:
        below = _below(accept[0], value, u)
        return spread.density(value) * max(0.0, _below(accept[1], value, u) - below)

    def refused(value: float) -> float:
        return spread.density(value) - accepted(value)

    first, last = spread.ends()
    bends = [bound + side * _REACH * u for bound in accept if math.isfinite(bound) for side in (-1.0, 1.0)]
    return Risk(
        nonconforming=_outside(spread, low, high),
        consumer_risk=_in_parts(accepted, first, min(low, last), bends)
        + _in_parts(accepted, max(high, first), last, bends),
        producer_risk=_in_parts(refused, max(low, first), min(high, last), bends),
    )


def _in_parts(density: Callable[[float], float], start: float, end: float, bends: list[float]) -> float:
    """Integrate with finer steps between the bends, where the decision turns over within a few u."""
    edges = [start, *sorted(min(max(bend, start), end) for bend in bends), end]
    return sum(_integral(density, *pair) for pair in pairwise(edges))


def _integral(density: Callable[[float], float], start: float, end: float) -> float:
    """Return the integral by Simpson's rule, 0 for an empty stretch.

    The points crowd towards both ends, x = start + way (3 s**2 - 2 s**3), so a density that rises steeply from zero
    keeps its digits.
    """
    if not start < end:
        return 0.0
    way = end - start

    def weighted(s: float) -> float:
        return density(start + way * s * s * (3.0 - 2.0 * s)) * 6.0 * s * (1.0 - s)

    odd = math.fsum(weighted(i / _STEPS) for i in range(1, _STEPS, 2))
    even = math.fsum(weighted(i / _STEPS) for i in range(2, _STEPS, 2))
    return way / _STEPS / 3.0 * (4.0 * odd + 2.0 * even)


def _below(limit: float, mean: float, u: float) -> float:
    return 0.5 * math.erfc((mean - limit) / (u * math.sqrt(2.0)))
