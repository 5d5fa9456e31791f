"""A slope that one bad reading cannot bend, and whether there is a trend at all.

Both go by ranks and pairs, not by squares. Sources: Theil and Sen for the slope, Mann and Kendall for the test.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import median

from kiosk.calc import guards
from kiosk.errors import CalcError, OutOfRange
from kiosk.language import tr

ROUGH_BELOW = 8
"""With fewer readings the test's probability is rough."""
MOST_READINGS = 2000


@dataclass(frozen=True)
class RobustLine:
    """Line by the median of all pairs.

    Args:
        slope: Median of the slopes of all pairs of readings.
        intercept: median(y) - slope * median(x).
        slope_low: Low bound of the slope, by ranks.
        slope_high: High bound of the slope, by ranks.
        confidence: Of the bounds.
    """

    slope: float
    intercept: float
    slope_low: float
    slope_high: float
    confidence: float


@dataclass(frozen=True)
class TrendTest:
    """Mann-Kendall test of a series.

    Args:
        score: S, rising pairs less falling pairs.
        variance: Of S, with ties.
        z: Standard score, with continuity correction.
        probability: Two-sided, of such a series without any trend.
        direction: 'rising', 'falling' or 'no trend', at 5 %.
        rough: True with fewer than eight readings.
    """

    score: int
    variance: float
    z: float
    probability: float
    direction: str
    rough: bool


def robust_slope(x: Sequence[float], values: Sequence[float]) -> float:
    """Return the median of the slopes of all pairs of readings (Theil-Sen).

    Args:
        x: Where each was read. At least two that differ, at most 2000.
        values: The readings, as many.

    Raises:
        OutOfRange: too few or too many readings, or unequal counts.
        CalcError: all readings at one place.

    Source:
        Theil 1950, Sen 1968.
    """
    return float(median(_pair_slopes(x, values)))


def _pair_slopes(x: Sequence[float], values: Sequence[float]) -> list[float]:
    places = guards.numbers("x", x, at_least=2)
    readings = guards.numbers("values", values, at_least=2)
    if len(readings) != len(places):
        raise OutOfRange("number of values", len(readings), "", len(places), len(places))
    guards.count("number of values", len(readings), 2, MOST_READINGS)
    pairs = combinations(zip(places, readings, strict=True), 2)
    slopes = sorted((y2 - y1) / (x2 - x1) for (x1, y1), (x2, y2) in pairs if x1 != x2)
    if not slopes:
        raise CalcError(tr("All readings are at one place; a line needs two different ones."))
    return slopes


def robust_line(x: Sequence[float], values: Sequence[float], confidence: float = 0.95) -> RobustLine:
    """Return the Theil-Sen line with bounds of its slope by ranks.

    Args:
        x: Where each was read. At least two that differ.
        values: The readings, as many.
        confidence: Of the bounds. [-] 0.5 to 0.9999

    Raises:
        OutOfRange: as `robust_slope`, or no such confidence.

    Source:
        Sen 1968, bounds from the normal approximation of Kendall's score with ties; same as scipy.stats.theilslopes,
        which is not called because scipy.stats takes a second to load on the kiosk.
    """
    from scipy.special import ndtri

    level = guards.number("confidence", confidence, "", 0.5, 0.9999)
    slopes = _pair_slopes(x, values)
    reach = -float(ndtri(0.5 - level / 2)) * math.sqrt(_score_variance(len(values), x, values))
    low = max(round((len(slopes) - reach) / 2) - 1, 0)
    high = min(round((len(slopes) + reach) / 2), len(slopes) - 1)
    slope = float(median(slopes))
    return RobustLine(slope, median(values) - slope * median(x), slopes[low], slopes[high], level)


def _score_variance(count: int, *columns: Sequence[float]) -> float:
    """Return the variance of Kendall's score for so many readings, less what ties in each column take."""
    ties = [tied for column in columns for tied in Counter(column).values() if tied > 1]
    return (_triple(count) - sum(_triple(tied) for tied in ties)) / 18


def _triple(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)


def trend_test(values: Sequence[float]) -> TrendTest:
    """Return whether a series of readings rises or falls at all (Mann-Kendall).

    Args:
        values: The readings in order of time, three or more and at most 2000.

    Raises:
        OutOfRange: too few or too many readings.

    Source:
        Mann 1945, Kendall 1975; variance with ties, continuity correction.
    """
    readings = guards.numbers("values", values, at_least=3)
    guards.count("number of values", len(readings), 3, MOST_READINGS)
    score = sum((late > early) - (late < early) for early, late in combinations(readings, 2))
    variance = _score_variance(len(readings), readings)
    z = 0.0 if score == 0 else (score - math.copysign(1, score)) / math.sqrt(variance)
    probability = math.erfc(abs(z) / math.sqrt(2))
    direction = tr("no trend") if probability >= 0.05 else "rising" if score > 0 else "falling"
    return TrendTest(score, variance, z, probability, direction, len(readings) < ROUGH_BELOW)
