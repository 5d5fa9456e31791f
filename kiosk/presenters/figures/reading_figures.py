"""Figures of a reading itself: how sure it is, what to improve, how often it misleads, how settings are kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kiosk.calc import capability, risk, tolerance
from kiosk.calc.line_fit import fit_line
from kiosk.calc.trend import since_restart
from kiosk.entities import Phase, SeriesPoint
from kiosk.errors import CalcError
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
    return row(f"{spec.title}, last reading", context.shown(point.value, spec),
               sure=f"± {doubt} by {spec.instrument}; {tolerance.probability_in_words(chance)}",
               limit=limits_text(spec, context), source=spec.source)


def _largest_term(spec: ReadingSpec, sides: Sequence[Sequence[SeriesPoint]], context: FigureContext) -> FigureRow:
    """Return which term of the uncertainty to improve: the instrument's step, or the scatter about the wear."""
    terms = {"resolution": standard_uncertainty(spec)}
    restarts = [point.hours for points in sides for point in points if point.phase == Phase.AS_LEFT]
    scatter = max((_scatter(points, restarts) for points in sides), default=0.0)
    if scatter > 0:
        terms["repeat"] = scatter
    largest = tolerance.largest_term(terms)
    name = "scatter of the readings" if largest.name == "repeat" else f"step of the {spec.instrument}"
    return row(f"{spec.title}, what to improve", name, sure=f"{largest.share:.0%} of the doubt", note=largest.advice,
               source="JCGM 100:2008: variances add")


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
               sure=f"an instrument coarser than {context.shown(coarsest, spec)} could pass nothing",
               limit="4 or more by custom", source="ILAC-G8:09/2019; the 4: common practice, no source")


def _wrong_calls(spec: ReadingSpec, lower: float, upper: float, points: Sequence[SeriesPoint],
                 context: FigureContext) -> FigureRow:
    """Return how many bad readings would pass by the sheet's rule and without a guard band."""
    u, title = standard_uncertainty(spec), f"{spec.title}, {named('consumer_risk')}"
    source = "JCGM 106:2012, 9"
    if len(points) < risk.RECORDS_NEEDED:
        ratio = tolerance.uncertainty_ratio(lower, upper, tolerance.COVERAGE_FACTOR * u)
        plain = risk.uncertainty_ratio_risk(ratio, 0.95)
        return row(title, f"about {plain.consumer_risk:.1%} without a guard band", source=source,
                   note=f"{len(points)} readings on record, {risk.RECORDS_NEEDED} tell how this part scatters; until "
                        "then 95 % good settings are assumed.")
    spread = risk.spread_of([point.value for point in points])
    band = tolerance.RULES[spec.rule] * u
    plain = risk.population_risk(spread, lower, upper, u)
    kept = risk.population_risk(spread, lower, upper, u, lower + band, upper - band)
    outside = risk.nonconforming_share(spread, lower, upper)
    wanted = risk.guard_band_for_risk(spread, lower, upper, u, WANTED_RISK)
    needed = f"a band of {context.shown(wanted, spec)}" if wanted > 0 else "no band"
    return row(title, f"{kept.consumer_risk:.1%} by '{spec.rule}', {plain.consumer_risk:.1%} without",
               sure=f"{len(points)} readings; {outside:.0%} of them beyond the limits, {kept.producer_risk:.0%} good "
                    "ones are called too close or outside",
               limit=f"for {WANTED_RISK:.0%} {needed} would do; the rule keeps {context.shown(band, spec)}",
               source=source)


# --- settings ---


def setting_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return how well what was left keeps between the limits, for each reading with two of them."""
    return tuple(_setting(spec, spec.lower, spec.upper, left, context) for spec in context.part.sheet.readings
                 if spec.lower is not None and spec.upper is not None and (left := _as_left(spec, context)))


def _as_left(spec: ReadingSpec, context: FigureContext) -> list[float]:
    return [point.value for side in context.series(spec).values() for point in side if point.phase == Phase.AS_LEFT]


def _setting(spec: ReadingSpec, lower: float, upper: float, left: Sequence[float], context: FigureContext) -> FigureRow:
    title = f"{spec.title}, as left"
    if len(left) < _FEWEST_FOR_CAPABILITY or len(set(left)) < 2:
        return row(title, "too few settings", note=f"{len(left)} on record; three that differ are needed.")
    found = capability.capability_of(left, lower, upper)
    combined = tolerance.combine_readings(left, spec.resolution)
    side = "lower" if found.lower < found.upper else "upper"
    words = "no room to spare" if found.nearer < 1 else "fits, with room" if found.nearer >= 4 / 3 else "just fits"
    return row(title, f"{context.shown(combined.mean, spec)} on average, {words}",
               sure=sentence(f"{len(left)} settings, spread fits {found.spread:.1f} times, nearer the {side} limit "
                             f"{found.nearer:.1f} times"),
               limit="1.3 or more is comfortable", source="NIST/SEMATECH e-Handbook 6.1.6; the 1.3: common practice, "
                                                          "no source")
