"""Figures of a reading itself: how sure it is, what to improve, how often it misleads, how settings are kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kiosk.calc import capability, risk, tolerance
from kiosk.calc.line_fit import fit_line
from kiosk.calc.trend import since_restart
from kiosk.entities import Phase, SeriesPoint
from kiosk.errors import CalcError
from kiosk.language import number, tr
from kiosk.presenters.figures.core import FigureContext, limits_text, named, row
from kiosk.presenters.parts import FigureRow
from kiosk.presenters.readings import standard_uncertainty
from kiosk.presenters.words import sentence
from kiosk.service_sheet import ReadingSpec

WANTED_RISK = 0.02
"""Share of bad settings that may pass. Our figure, no source."""
_FEWEST_FOR_SCATTER, _FEWEST_FOR_CAPABILITY = 5, 3


def reading_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return how sure each reading of the sheet is."""
    return tuple(figure for spec in context.part.sheet.readings for figure in _of_one(spec, context))


def _of_one(spec: ReadingSpec, context: FigureContext) -> Iterator[FigureRow]:
    points = [point for side in context.series(spec).values() for point in side]
    if not points:
        return
    yield _last_reading(spec, points[-1], context)
    yield _largest_term(spec, list(context.series(spec).values()), context)
    if spec.lower is not None and spec.upper is not None and spec.rule != "simple acceptance":
        yield _instrument(spec, spec.lower, spec.upper, context)
        yield _wrong_calls(spec, spec.lower, spec.upper, points, context)


def _last_reading(spec: ReadingSpec, point: SeriesPoint, context: FigureContext) -> FigureRow:
    u = standard_uncertainty(spec)
    chance = tolerance.conformance_probability(point.value, spec.lower, spec.upper, u)
    doubt = context.shown(tolerance.COVERAGE_FACTOR * u, spec) if spec.unit != "degC" else f"{2 * u:.2g} °C"
    return row(tr("{spec}, last reading").format(spec=spec.title), context.shown(point.value, spec),
               sure=tr("± {doubt} by {instrument}; {probability_in_words}").format(
                        doubt=doubt, instrument=spec.instrument,
                        probability_in_words=tolerance.probability_in_words(chance)),
               limit=limits_text(spec, context), source=spec.source)


def _largest_term(spec: ReadingSpec, sides: Sequence[Sequence[SeriesPoint]], context: FigureContext) -> FigureRow:
    """Return which term of the uncertainty to improve: the instrument's step, or the scatter about the wear."""
    terms = {"resolution": standard_uncertainty(spec)}
    restarts = [point.hours for points in sides for point in points if point.phase == Phase.AS_LEFT]
    scatter = max((_scatter(points, restarts) for points in sides), default=0.0)
    if scatter > 0:
        terms["repeat"] = scatter
    largest = tolerance.largest_term(terms)
    name = tr("scatter of the readings") if largest.name == "repeat" else tr("step of the {instrument}").format(
                                                                          instrument=spec.instrument)
    return row(tr("{spec}, what to improve").format(spec=spec.title), name,
               sure=tr("{share} of the doubt").format(share=number(largest.share, ".0%")), note=largest.advice,
               source=tr("JCGM 100:2008: variances add"))


def _scatter(points: Sequence[SeriesPoint], restarts: Sequence[float]) -> float:
    """Return the scatter about the line since the last adjustment, 0 with too few readings. [unit of the reading]"""
    hours, values = since_restart([one.hours for one in points], [one.value for one in points], sorted(restarts))
    if len(hours) < _FEWEST_FOR_SCATTER:
        return 0.0
    try:
        line = fit_line(hours, values)
    except CalcError:
        return 0.0  # all at one hour
    return line.residual_deviation or 0.0


def _instrument(spec: ReadingSpec, lower: float, upper: float, context: FigureContext) -> FigureRow:
    ratio = tolerance.uncertainty_ratio(lower, upper, tolerance.COVERAGE_FACTOR * standard_uncertainty(spec))
    coarsest = tolerance.coarsest_resolution(lower, upper, spec.rule)
    return row(f"{spec.title}, {named('uncertainty_ratio')}", f"{ratio:.1f}",
               sure=tr("an instrument coarser than {coarsest} could pass nothing").format(
                        coarsest=context.shown(coarsest, spec)),
               limit=tr("4 or more by custom"), source=tr("ILAC-G8:09/2019; the 4: common practice, no source"))


def _wrong_calls(spec: ReadingSpec, lower: float, upper: float, points: Sequence[SeriesPoint],
                 context: FigureContext) -> FigureRow:
    """Return how many bad readings would pass by the sheet's rule and without a guard band."""
    u, title = standard_uncertainty(spec), f"{spec.title}, {named('consumer_risk')}"
    source = "JCGM 106:2012, 9"
    if len(points) < risk.RECORDS_NEEDED:
        ratio = tolerance.uncertainty_ratio(lower, upper, tolerance.COVERAGE_FACTOR * u)
        plain = risk.uncertainty_ratio_risk(ratio, 0.95)
        return row(title, tr("about {consumer_risk} without a guard band").format(
                              consumer_risk=number(plain.consumer_risk, ".1%")), source=source,
                   note=tr("{count} readings on record, {records_needed} tell how this part scatters; until then 95 "
                           "% good settings are assumed.").format(
                            count=len(points), records_needed=risk.RECORDS_NEEDED))
    spread = risk.spread_of([point.value for point in points])
    band = tolerance.RULES[spec.rule] * u
    plain = risk.population_risk(spread, lower, upper, u)
    kept = risk.population_risk(spread, lower, upper, u, lower + band, upper - band)
    outside = risk.nonconforming_share(spread, lower, upper)
    wanted = risk.guard_band_for_risk(spread, lower, upper, u, WANTED_RISK)
    needed = tr("a band of {wanted}").format(wanted=context.shown(wanted, spec)) if wanted > 0 else tr("no band")
    return row(title, tr("{consumer_risk} by '{rule}', {consumer_risk_2} without").format(
                          consumer_risk=number(kept.consumer_risk, ".1%"), rule=spec.rule,
                          consumer_risk_2=number(plain.consumer_risk, ".1%")),
               sure=tr("{count} readings; {outside} of them beyond the limits, {producer_risk} good ones are called "
                       "too close or outside").format(
                        count=len(points), outside=number(outside, ".0%"),
                        producer_risk=number(kept.producer_risk, ".0%")),
               limit=tr("for {wanted_risk} {needed} would do; the rule keeps {band}").format(
                         wanted_risk=number(WANTED_RISK, ".0%"), needed=needed, band=context.shown(band, spec)),
               source=source)


# --- settings ---


def setting_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return how well what was left keeps between the limits, for each reading with two of them."""
    return tuple(_setting(spec, spec.lower, spec.upper, left, context) for spec in context.part.sheet.readings
                 if spec.lower is not None and spec.upper is not None and (left := _as_left(spec, context)))


def _as_left(spec: ReadingSpec, context: FigureContext) -> list[float]:
    return [point.value for side in context.series(spec).values() for point in side if point.phase == Phase.AS_LEFT]


def _setting(spec: ReadingSpec, lower: float, upper: float, left: Sequence[float], context: FigureContext) -> FigureRow:
    title = tr("{spec}, as left").format(spec=spec.title)
    if len(left) < _FEWEST_FOR_CAPABILITY or len(set(left)) < 2:
        return row(title, tr("too few settings"), note=tr("{count} on record; three that differ are needed.").format(
                                                       count=len(left)))
    found = capability.capability_of(left, lower, upper)
    combined = tolerance.combine_readings(left, spec.resolution)
    side = tr("lower") if found.lower < found.upper else tr("upper")
    words = (tr("no room to spare") if found.nearer < 1 else tr("fits, with room") if found.nearer >= 4 / 3
             else tr("just fits"))
    return row(title, tr("{mean} on average, {words}").format(mean=context.shown(combined.mean, spec), words=words),
               sure=sentence(tr("{count} settings, spread fits {spread} times, nearer the {side} limit {nearer} "
                                "times").format(
                                 count=len(left), spread=number(found.spread, ".1f"), side=side,
                                 nearer=number(found.nearer, ".1f"))),
               limit=tr("1.3 or more is comfortable"), source=tr("NIST/SEMATECH e-Handbook 6.1.6; the 1.3: common "
                                                             "practice, no source"))
