"""Readings of one quantity as a chart: where it was adjusted and replaced, and the trend that the readings bear.

A trend starts anew at every adjustment and replacement, one for each side; it is drawn only where its slope can be
told from zero and the limit lies ahead. Otherwise the chart says that there are not enough readings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc.line_fit import fit_line, predict
from kiosk.calc.trend import Forecast, forecast, since_restart
from kiosk.entities import Phase, SeriesPoint, Side
from kiosk.errors import CalcError
from kiosk.language import N_, tr
from kiosk.reports.charts import SCREEN_TEXT_PX, SeriesChart, TrendLine
from kiosk.service_sheet import ReadingSpec

FEWEST_FOR_FORECAST = 3
NOT_ENOUGH = N_("not enough readings for a forecast")
_STEPS = 24
_SQRT_12 = 12**0.5


def series_chart(spec: ReadingSpec, points: Sequence[SeriesPoint], replaced_hours: Sequence[float] = (),
                 in_inches: bool = False) -> SeriesChart:
    """Return the chart of one quantity.

    Args:
        spec: What the sheet says of the quantity. `points`: its readings, oldest first.
        replaced_hours: Hour-meter readings at which the part was replaced. [h]
    """
    adjusted = sorted({point.hours for point in points if point.phase == Phase.AS_LEFT})
    restarts = [*adjusted, *replaced_hours]
    lines = [line for side in Side for line in _line(side, spec, points, restarts)]
    has_limit = (spec.lower, spec.upper) != (None, None)
    return SeriesChart(
        spec.title, tuple(points), spec.unit, spec.lower, spec.upper, in_inches, tuple(replaced_hours),
        tuple(adjusted), tuple(lines), "" if lines or not has_limit else tr(NOT_ENOUGH))


@dataclass(frozen=True)
class LazyChart:
    """The chart of one quantity whose trend is worked out only when it is drawn, on the thread that draws."""

    spec: ReadingSpec
    points: tuple[SeriesPoint, ...]
    in_inches: bool

    def png(self, width_px: int, height_px: int, text_px: float = SCREEN_TEXT_PX) -> bytes:
        """Return the chart as a PNG of this size for a screen."""
        return series_chart(self.spec, self.points, in_inches=self.in_inches).png(width_px, height_px, text_px)


def _line(side: Side, spec: ReadingSpec, points: Sequence[SeriesPoint], restarts: Sequence[float]) -> list[TrendLine]:
    """Return the trend of one side, [] where its readings do not bear one."""
    own = [point for point in points if point.side == side]
    if not own:
        return []
    hours, values = since_restart([point.hours for point in own], [point.value for point in own], restarts)
    if len(hours) < FEWEST_FOR_FORECAST:
        return []
    least = spec.resolution / _SQRT_12
    try:
        slope = fit_line(hours, values, least).slope
        limit = spec.upper if (slope > 0 and spec.upper is not None) or spec.lower is None else spec.lower
        said = None if limit is None else forecast(hours, values, limit, least_deviation=least)
    except CalcError:
        return []  # all readings at one hour
    return [] if said is None or not (said.established and said.ahead) else [_drawn(side, hours, values, least, said)]


def _drawn(side: Side, hours: Sequence[float], values: Sequence[float], least: float, said: Forecast) -> TrendLine:
    line = fit_line(hours, values, least)
    first, last = min(hours), max(hours)
    assert said.hours_at_limit is not None
    # No further ahead than the readings reach back: beyond that a line is a guess.
    end = min(said.hours_at_limit, last + (last - first))
    places = tuple(first + (end - first) * step / _STEPS for step in range(_STEPS + 1))
    predictions = [predict(line, place) for place in places]
    meets = said.hours_at_limit if said.hours_at_limit <= end else None
    return TrendLine(
        side, places, tuple(each.value for each in predictions), tuple(each.reading_low for each in predictions),
        tuple(each.reading_high for each in predictions), meets, said.line_early_hours, said.line_late_hours)
