"""Figures of wear over running hours: both slopes, whether there is a trend at all, the limit's hour and day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from kiosk.calc import least_squares, meter, trend, trend_robust
from kiosk.entities import Phase, SeriesPoint, Side
from kiosk.errors import CalcError
from kiosk.language import N_, number, tr
from kiosk.presenters.figures.core import FigureContext, hours, limits_text, row, share, term
from kiosk.presenters.parts import FigureRow
from kiosk.presenters.readings import standard_uncertainty
from kiosk.presenters.shifts import working_day
from kiosk.presenters.trend_view import main_reading
from kiosk.presenters.words import counted, date_text, sentence, side_text
from kiosk.service_sheet import ReadingSpec

_FEWEST, _FEWEST_FOR_CURVE = 3, 6
_HUNDRED_HOURS = 100.0
SLOPE_CHOICE = (N_("Both rules are in print. The plan goes by the line, whose bounds are exact for few readings; "
                   "one bad reading cannot bend the median. Where they differ by a fifth, look for that reading."))


def wear_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return the trend of the sheet's main reading, side by side, since it was last adjusted."""
    spec = main_reading(context.part)
    if spec is None:
        return ()
    series = context.series(spec)
    restarts = sorted({point.hours for points in series.values() for point in points if point.phase == Phase.AS_LEFT})
    return tuple(figure for side, points in series.items() for figure in _side(spec, side, points, restarts, context))


def _side(spec: ReadingSpec, side: Side, points: Sequence[SeriesPoint], restarts: Sequence[float],
          context: FigureContext) -> Iterator[FigureRow]:
    title = ", ".join(text for text in (spec.title, side_text(side)) if text)
    at, values = trend.since_restart([p.hours for p in points], [p.value for p in points], restarts)
    if len(at) < _FEWEST or len(set(at)) < _FEWEST:
        yield row(f"{title}, change", tr("no trend yet"),
                  note=tr("{count} since the last adjustment; three are needed.").format(
                           count=counted(len(at), "reading")))
        return
    said = trend.forecast(at, values, _limit(spec, at, values), least_deviation=standard_uncertainty(spec))
    yield _slopes(title, spec, at, values, said, context)
    yield _is_there_a_trend(title, values)
    yield _when(title, spec, points[-1], values[-1], said, context)
    if len(at) >= _FEWEST_FOR_CURVE:
        yield _curve(title, at, values)


def _limit(spec: ReadingSpec, at: Sequence[float], values: Sequence[float]) -> float:
    """Return the limit that the readings run towards."""
    rising = trend_robust.robust_slope(at, values) > 0
    limit = spec.upper if spec.lower is None or (rising and spec.upper is not None) else spec.lower
    return limit if limit is not None else 0.0


def _slopes(title: str, spec: ReadingSpec, at: Sequence[float], values: Sequence[float], said: trend.Forecast,
            context: FigureContext) -> FigureRow:
    robust = trend_robust.robust_line(at, values)
    low, high = (_per_100(slope, spec, context) for slope in (robust.slope_low, robust.slope_high))
    return row(
        tr("{title}, change in 100 h").format(title=title),
        tr("{per_100} by the line, {per_100_2} by the median of all pairs").format(
            per_100=_per_100(said.slope, spec, context), per_100_2=_per_100(robust.slope, spec, context)
        ),
        sure=tr("{low} to {high}, 95 %, from {count} readings").format(low=low, high=high, count=len(at)),
        note=tr(SLOPE_CHOICE),
        source=tr("least squares; Theil 1950, Sen 1968"),
    )


def _per_100(slope: float, spec: ReadingSpec, context: FigureContext) -> str:
    if spec.unit == "degC":
        return f"{slope * _HUNDRED_HOURS:.3g} °C"
    return context.shown(slope * _HUNDRED_HOURS, spec)


def _is_there_a_trend(title: str, values: Sequence[float]) -> FigureRow:
    test = trend_robust.trend_test(values)
    rough = tr(" With fewer than eight readings this is rough.") if test.rough else ""
    return row(f"{title}, trend", test.direction,
               sure=tr("such a series comes by chance {share} of the time.{rough}").format(
                        share=share(test.probability), rough=rough),
               limit=tr("5 % or less is called a trend"), source=tr("Mann 1945, Kendall 1975"))


def _when(title: str, spec: ReadingSpec, last: SeriesPoint, value: float, said: trend.Forecast, context: FigureContext
          ) -> FigureRow:
    limit = limits_text(spec, context)
    name = tr("{title}, meets its limit").format(title=title)
    if not said.established or not said.ahead or said.hours_at_limit is None:
        return row(
            name,
            tr("no forecast"),
            limit=limit,
            note=sentence(said.reason or tr("it does not run towards its limit")),
            source=spec.source,
        )
    early, late = said.line_early_hours or said.hours_at_limit, said.line_late_hours or said.hours_at_limit
    return row(name, tr("at about {hours} of the meter{day}").format(
                         hours=hours(said.hours_at_limit), day=_day(last, value, said, spec, context)),
               sure=tr("{hours} to {hours_2}, 95 %. {reason}").format(
                        hours=hours(early), hours_2=hours(late), reason=said.reason).strip(), limit=limit,
               source=tr("Fieller's bounds of a line; limit: {source}").format(source=spec.source))


def _day(last: SeriesPoint, value: float, said: trend.Forecast, spec: ReadingSpec, context: FigureContext) -> str:
    """Return the day at the unit's own rate, from the last reading on."""
    rate = context.helpers.records.hours_per_day(context.part.unit.id, context.helpers.today())
    limit = spec.upper if said.slope > 0 else spec.lower
    if not rate or limit is None:
        return ""
    day = working_day(last.at, context.helpers.settings)
    found = trend.date_at_limit(value, day, said.slope, limit, min(rate, 24.0))
    return f", {date_text(found.due)}" if found.due and found.due >= context.helpers.today() else ""


def _curve(title: str, at: Sequence[float], values: Sequence[float]) -> FigureRow:
    """Return whether a curve fits better than the line: wear that speeds up makes the forecast too late."""
    name = tr("{title}, straight line or curve").format(title=title)
    try:
        curve = least_squares.fit_quadratic(at, values)
        line = least_squares.fit_columns([list(at)], values)
    except CalcError:
        return row(name, tr("cannot be told"))
    if not curve.residual_deviation or not line.residual_deviation:
        return row(name, tr("a straight line will do"))
    better = 1 - curve.residual_deviation / line.residual_deviation
    bends = better > 0.25 and (curve.coefficients[2] > 0) == (line.coefficients[1] > 0)
    return row(
        name,
        tr("a curve: expect the limit sooner than the line says") if bends else tr("a straight line will do"),
        sure=tr("a curve leaves only {better} less scatter").format(better=number(max(better, 0), ".0%"))
        if not bends
        else tr("the curve leaves {better} less scatter").format(better=number(better, ".0%")),
        source=tr("least squares of the second degree; that a quarter less counts is our rule, no source"),
    )


# --- the unit's hours ---


def usage_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return how many hours a day the unit runs, from the records of this part."""
    found = context.helpers.records.component_history(context.component.id, limit=200)
    readings = sorted({(working_day(record.at, context.helpers.settings), record.hours) for record in found})
    title = tr("{term} of the unit").format(term=term("hours_per_day"))
    if len({day for day, _ in readings}) < 2:
        return (row(title, tr("not known yet"), note=tr("Two records on different days are needed.")),)
    rate = meter.usage_rate(_last_of_each_day(readings), context.helpers.today())
    return (
        row(
            title,
            f"{rate.hours_per_day:.1f} h",
            sure=tr("{hours} in {days} days, days of rest included").format(hours=hours(rate.hours), days=rate.days),
            note=rate.note,
            source=tr("hour-meter readings"),
        ),
    )


def _last_of_each_day(readings: Sequence[tuple[date, float]]) -> list[tuple[date, float]]:
    return sorted(dict(readings).items())
