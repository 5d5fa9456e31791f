"""A part's main reading over running hours, ready to draw: points, limits, fitted line, its band, the forecast.

A forecast is shown only where the readings bear it. A series starts anew at every adjustment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc.due import date_after_hours
from kiosk.calc.line_fit import fit_line, predict
from kiosk.calc.trend import Forecast, forecast, since_restart
from kiosk.entities import Phase, SeriesPoint, Side
from kiosk.errors import CalcError
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.parts import AxisTick, TrendPoints, TrendState
from kiosk.presenters.quantities import show_short
from kiosk.presenters.readings import standard_uncertainty
from kiosk.presenters.words import date_text, hours_text
from kiosk.service_sheet import ReadingSpec

MOST_POINTS = 200
BAND_STEPS = 24
_FEWEST_FOR_FORECAST = 3
_SHAPES = {Side.LEFT: "dot", Side.RIGHT: "cross", Side.BOTH: "dot"}


@dataclass(frozen=True)
class _Fit:
    """The readings since the last adjustment of one side, and when they meet the limit."""

    hours: tuple[float, ...]
    values: tuple[float, ...]
    forecast: Forecast


@dataclass(frozen=True)
class _Scale:
    """From a quantity to 0..1 of the plot."""

    low: float
    high: float

    def at(self, value: float) -> float:
        return min(max((value - self.low) / (self.high - self.low), 0.0), 1.0)


def main_reading(part: Part) -> ReadingSpec | None:
    """Return the reading whose trend the part's page shows: the sheet's first one with limits."""
    return next((spec for spec in part.sheet.readings if (spec.lower, spec.upper) != (None, None)), None)


def trend_of_part(helpers: Helpers, part: Part, units: str) -> TrendState | None:
    """Return the trend of a part's main reading, None with fewer than two readings."""
    spec = main_reading(part)
    if spec is None:
        return None
    series = helpers.records.series(part.component.id, spec.key)[-MOST_POINTS:]
    if len({point.hours for point in series}) < 2:
        return None
    restarts = sorted({point.hours for point in series if point.phase == Phase.AS_LEFT})
    fit = _earliest([_fit(points, spec, restarts) for points in _by_side(series).values()])
    return _trend_state(helpers, part, spec, series, restarts, fit, units)


def _by_side(series: Sequence[SeriesPoint]) -> dict[Side, list[SeriesPoint]]:
    sides: dict[Side, list[SeriesPoint]] = {}
    for point in series:
        sides.setdefault(Side(point.side), []).append(point)
    return sides


def _fit(points: Sequence[SeriesPoint], spec: ReadingSpec, restarts: Sequence[float]) -> _Fit | None:
    """Return the fit of one side since its last adjustment, None where it has too few readings."""
    hours, values = since_restart([p.hours for p in points], [p.value for p in points], restarts)
    if len(hours) < _FEWEST_FOR_FORECAST:
        return None
    least = standard_uncertainty(spec)
    try:
        slope = fit_line(hours, values, least).slope
        limit = spec.upper if (slope > 0 and spec.upper is not None) or spec.lower is None else spec.lower
        return None if limit is None else _Fit(hours, values, forecast(hours, values, limit, least_deviation=least))
    except CalcError:
        return None  # all readings at one hour


def _earliest(fits: Sequence[_Fit | None]) -> _Fit | None:
    """Return the side that meets its limit first, an established one before others."""
    known = [fit for fit in fits if fit is not None]
    return min(known, key=lambda fit: (not _is_ahead(fit), fit.forecast.hours_at_limit or 0.0), default=None)


def _is_ahead(fit: _Fit) -> bool:
    return fit.forecast.established and fit.forecast.ahead


def _trend_state(helpers: Helpers, part: Part, spec: ReadingSpec, series: Sequence[SeriesPoint],
                 restarts: Sequence[float], fit: _Fit | None, units: str) -> TrendState:
    drawn = fit if fit is not None and _is_ahead(fit) else None
    x, y = _x_scale(series, drawn), _y_scale(series, spec)
    band = _band(drawn, spec, x) if drawn else []
    return TrendState(
        title=spec.title,
        points=tuple(_points(side, points, x, y) for side, points in _by_side(series).items()),
        lower=None if spec.lower is None else y.at(spec.lower), upper=None if spec.upper is None else y.at(spec.upper),
        line=tuple((x.at(hours), y.at(value)) for hours, value, _, _ in (band[:1] + band[-1:])),
        band_x=tuple(x.at(hours) for hours, _, _, _ in band),
        band_low=tuple(y.at(low) for _, _, low, _ in band), band_high=tuple(y.at(high) for _, _, _, high in band),
        events=tuple(x.at(hours) for hours in restarts),
        x_ticks=tuple(AxisTick(x.at(at), hours_text(at)) for at in (x.low, x.high)),
        y_ticks=tuple(AxisTick(y.at(at), show_short(at, spec.unit, units)) for at in _y_marks(y, spec)),
        sentence=_sentence(helpers, part, fit),
    )


def _points(side: Side, points: Sequence[SeriesPoint], x: _Scale, y: _Scale) -> TrendPoints:
    name = "" if side is Side.BOTH else tr(side.value)
    return TrendPoints(name, _SHAPES[side], tuple(x.at(p.hours) for p in points), tuple(y.at(p.value) for p in points))


def _x_scale(series: Sequence[SeriesPoint], drawn: _Fit | None) -> _Scale:
    """Return the hours shown: all readings, and as far ahead as a forecast reaches, at most as long again."""
    first, last = min(p.hours for p in series), max(p.hours for p in series)
    at_limit = drawn.forecast.hours_at_limit if drawn else None
    ahead = last if at_limit is None else min(at_limit, last + (last - first))
    return _Scale(first, max(last, ahead))


def _y_scale(series: Sequence[SeriesPoint], spec: ReadingSpec) -> _Scale:
    values = [p.value for p in series] + [limit for limit in (spec.lower, spec.upper) if limit is not None]
    margin = max(0.1 * (max(values) - min(values)), spec.resolution)
    return _Scale(min(values) - margin, max(values) + margin)


def _y_marks(y: _Scale, spec: ReadingSpec) -> tuple[float, ...]:
    limits = tuple(limit for limit in (spec.lower, spec.upper) if limit is not None)
    return limits or (y.low, y.high)


def _band(fit: _Fit, spec: ReadingSpec, x: _Scale) -> list[tuple[float, float, float, float]]:
    """Return (hours, line, low, high) from the first reading of the stretch to the end of the plot."""
    line = fit_line(fit.hours, fit.values, standard_uncertainty(spec))
    start = min(fit.hours)
    places = [start + (x.high - start) * step / BAND_STEPS for step in range(BAND_STEPS + 1)]
    said = [predict(line, place) for place in places]
    return [(place, one.value, one.reading_low, one.reading_high) for place, one in zip(places, said, strict=True)]


def _sentence(helpers: Helpers, part: Part, fit: _Fit | None) -> str:
    if fit is None:
        return tr("Not enough readings since the last adjustment for a forecast.")
    said = fit.forecast
    if not _is_ahead(fit) or said.hours_at_limit is None:
        return said.reason
    early, late = said.line_early_hours or said.hours_at_limit, said.line_late_hours or said.hours_at_limit
    text = (
        tr("At this rate it meets its limit at about {hours_at_limit} ({early} to {late}, 95 %). {about_when}")
        .format(
            hours_at_limit=hours_text(said.hours_at_limit),
            early=hours_text(early),
            late=hours_text(late),
            about_when=_about_when(helpers, part, early),
        )
        .rstrip()
    )
    notes = [said.reason, tr("One reading looks odd: check it.") if said.slopes_differ else ""]
    return " ".join(piece for piece in (text, *notes) if piece)


def _about_when(helpers: Helpers, part: Part, hours: float) -> str:
    """Return the day on which the unit runs past these hours, by its own rate, or that it has run past them."""
    reading, today = helpers.records.hours(part.unit.id), helpers.today()
    if reading and hours <= reading.hours:
        return tr("The early end has passed already: measure it today and have the part ready.")
    rate = helpers.records.hours_per_day(part.unit.id, today)
    day = date_after_hours(hours - reading.hours, today, rate) if reading and rate else None
    return tr("Not before {day}.").format(day=date_text(day)) if day else ""
