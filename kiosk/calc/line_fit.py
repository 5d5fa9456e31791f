"""A straight line through readings by least squares, with bounds for the line and for one new reading.

When the line meets a limit is in `trend`, curves and several causes in `least_squares`. Checked against the certified
data of NIST StRD.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.errors import CalcError, OutOfRange
from kiosk.language import tr


@dataclass(frozen=True)
class Line:
    """A straight line through readings by least squares.

    Args:
        intercept: b0, value at x = 0.
        slope: b1, gain for each unit of x.
        intercept_error: Standard error of b0, None with two readings.
        slope_error: Standard error of b1, None with two readings.
        residual_deviation: s, scatter about the line, None with two readings.
        r_squared: Share of the variation that the line explains, None where the values are all alike.
        count: Number of readings n.
        mean_x: Centre of the x values.
        mean_value: Centre of the values.
        spread_x: S_xx, sum of squared distances from `mean_x`.
    """

    intercept: float
    slope: float
    intercept_error: float | None
    slope_error: float | None
    residual_deviation: float | None
    r_squared: float | None
    count: int
    mean_x: float
    mean_value: float
    spread_x: float

    def at(self, x: float) -> float:
        """Return the line's value at x; worked from the centre, as hour-meter values are large."""
        return self.mean_value + self.slope * (x - self.mean_x)


@dataclass(frozen=True)
class Prediction:
    """What a line says at one place.

    Args:
        value: On the line.
        line_low: Low bound for the line itself.
        line_high: High bound for the line itself.
        reading_low: Low bound for one new reading.
        reading_high: High bound for one new reading.
        confidence: Of both pairs of bounds.
    """

    value: float
    line_low: float
    line_high: float
    reading_low: float
    reading_high: float
    confidence: float


def fit_line(x: Sequence[float], values: Sequence[float], least_deviation: float = 0.0) -> Line:
    """Return the straight line through readings by least squares.

    Args:
        x: Where each was read, running hours for instance. At least two that differ.
        values: The readings, as many.
        least_deviation: Standard uncertainty of one reading; the scatter is never taken as less, so that three
            coarse readings that happen to lie on a line do not claim to be exact. 0 or more

    Raises:
        OutOfRange: too few readings or unequal counts.
        CalcError: all readings at one place.

    Source:
        b1 = S_xy / S_xx, b0 = mean(y) - b1 mean(x), s² = SSE / (n - 2); certified data of NIST StRD (Norris).
    """
    places = guards.numbers("x", x, at_least=2)
    readings = guards.numbers("values", values, at_least=2)
    least = guards.number("least_deviation", least_deviation, "", 0)
    count = len(places)
    if len(readings) != count:
        raise OutOfRange("number of values", len(readings), "", count, count)
    mean_x, mean_value = math.fsum(places) / count, math.fsum(readings) / count
    away = [place - mean_x for place in places]
    spread = math.fsum(step * step for step in away)
    if spread == 0:
        raise CalcError(tr("All readings are at one place; a line needs two different ones."))
    slope = math.fsum(step * (value - mean_value) for step, value in zip(away, readings, strict=True)) / spread
    residuals = [value - mean_value - slope * step for step, value in zip(away, readings, strict=True)]
    error_sum = math.fsum(residual * residual for residual in residuals)
    total = math.fsum((value - mean_value) ** 2 for value in readings)
    deviation = max(least, math.sqrt(error_sum / (count - 2))) if count > 2 else None
    return Line(
        intercept=mean_value - slope * mean_x,
        slope=slope,
        intercept_error=None if deviation is None else deviation * math.sqrt(1 / count + mean_x**2 / spread),
        slope_error=None if deviation is None else deviation / math.sqrt(spread),
        residual_deviation=deviation,
        r_squared=1 - error_sum / total if total > 0 else None,
        count=count,
        mean_x=mean_x,
        mean_value=mean_value,
        spread_x=spread,
    )


def predict(line: Line, x: float, confidence: float = 0.95) -> Prediction:
    """Return the line's value at one place, with bounds for the line and for one new reading.

    Args:
        line: From `fit_line`, of three readings or more.
        x: Where.
        confidence: Of the bounds, 0.95 for 95 %. [-] 0.5 to 0.9999

    Raises:
        OutOfRange: fewer than three readings, or no such confidence.

    Source:
        y ± t(n - 2) s sqrt(1/n + (x - mean)² / S_xx); one more under the root for a reading.
    """
    place = guards.number("x", x)
    if line.residual_deviation is None:
        raise OutOfRange("number of values", line.count, "", 3, None, "two readings have no bounds")
    reach = student_quantile(confidence, line.count - 2) * line.residual_deviation
    leverage = 1 / line.count + (place - line.mean_x) ** 2 / line.spread_x
    value = line.at(place)
    of_line, of_reading = reach * math.sqrt(leverage), reach * math.sqrt(1 + leverage)
    return Prediction(value, value - of_line, value + of_line, value - of_reading, value + of_reading, confidence)


def student_quantile(confidence: float, degrees: int) -> float:
    """Return the two-sided quantile t of Student's distribution.

    Args:
        confidence: Of the interval, 0.95 for 95 %. [-] 0.5 to 0.9999
        degrees: Degrees of freedom, 1 or more.

    Raises:
        OutOfRange: no such confidence, or no degree of freedom.
    """
    # scipy.special alone, as scipy.stats takes a second to load
    from scipy.special import stdtrit

    level = guards.number("confidence", confidence, "", 0.5, 0.9999)
    return float(stdtrit(guards.count("degrees", degrees, 1), 0.5 + level / 2))
