"""A part's main reading over running hours: the chart that the report prints, too, and the forecast in a sentence.

A forecast is shown only where the readings bear it. A series starts anew at every adjustment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc.due import date_after_hours
from kiosk.calc.line_fit import fit_line
from kiosk.calc.trend import Forecast, forecast, since_restart
from kiosk.entities import Phase, SeriesPoint, Side
from kiosk.errors import CalcError
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.parts import TrendState
from kiosk.presenters.readings import standard_uncertainty
from kiosk.presenters.words import date_text, hours_text
from kiosk.service_sheet import ReadingSpec

MOST_POINTS = 200
FEWEST_TO_LOOK_AT = 12
_FEWEST_FOR_FORECAST = 3


@dataclass(frozen=True)
class _Fit:
    """The readings since the last adjustment of one side, and when they meet the limit."""

    hours: tuple[float, ...]
    values: tuple[float, ...]
    forecast: Forecast


def main_reading(part: Part) -> ReadingSpec | None:
    """Return the reading whose trend the part's page shows: the sheet's first one with limits."""
    return next((spec for spec in part.sheet.readings if (spec.lower, spec.upper) != (None, None)), None)


def has_trend(helpers: Helpers, part: Part) -> bool:
    """Say whether a part's main reading was taken at two different hours at least."""
    spec = main_reading(part)
    if spec is None:
        return False
    newest = helpers.records.series(part.component.id, spec.key, newest=FEWEST_TO_LOOK_AT)
    return len({point.hours for point in newest}) >= 2


def trend_of_part(helpers: Helpers, part: Part, units: str) -> TrendState | None:
    """Return the trend of a part's main reading, None where it has none."""
    spec = main_reading(part)
    if spec is None:
        return None
    series = helpers.records.series(part.component.id, spec.key, newest=MOST_POINTS)
    if len({point.hours for point in series}) < 2:
        return None
    restarts = sorted({point.hours for point in series if point.phase == Phase.AS_LEFT})
    fit = _earliest([_fit(points, spec, restarts) for points in _by_side(series).values()])
    drawing = helpers.reports.chart(spec, series, units == "in")
    return TrendState(spec.title, drawing, _sentence(helpers, part, fit))


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
