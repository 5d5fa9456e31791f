"""Figures of how long parts last at one place: running ones counted in, with bounds, or the plain reason why not.

A part's age runs from its fitting to its retirement, or to now. Every retirement counts as a failure: the sheets'
reasons for replacing are failures and wear. Loads scipy, so it is asked for only when the page is opened.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kiosk.calc import life_data, replacement, weibull
from kiosk.entities import Component
from kiosk.language import N_, number, tr
from kiosk.presenters.figures.core import FigureContext, hours, row, share, term
from kiosk.presenters.parts import FigureRow
from kiosk.presenters.words import counted

_SURE = 0.9
BOUNDS_CHOICE = N_("Good libraries differ; the log scale is used, as bounds on the linear one can fall below zero.")


@dataclass(frozen=True)
class _Lives:
    """Ages of parts of one kind. `failed`: at their retirement; `running`: now. [h]"""

    failed: tuple[float, ...]
    running: tuple[float, ...]

    @property
    def total(self) -> float:
        """Running hours of all of them. [h]"""
        return sum(self.failed) + sum(self.running)


def life_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return the life of parts at this place, and of like parts in the yard where this place alone says too little."""
    here = context.helpers.records.components_at(context.part.position.id)
    lives = _lives(here, context)
    if not lives.failed and not lives.running:
        return (row(tr("Life of parts at this place"), tr("not known"), note=tr("No part has run here yet.")),)
    yard = _yard_lives(context)
    return (_count(lives), *_survival(lives, context), *_curve(lives, yard, parameters, context),
            *_repairs(here, lives, context), *_stock(yard, parameters, context))


def _lives(components: Iterable[Component], context: FigureContext) -> _Lives:
    failed: list[float] = []
    running: list[float] = []
    for one in components:
        until = one.retired_hours if one.retired_at is not None else _now(one, context)
        age = (until or 0.0) - one.installed_hours
        if age > 0:
            (failed if one.retired_at is not None else running).append(age)
    return _Lives(tuple(sorted(failed)), tuple(sorted(running)))


def _now(component: Component, context: FigureContext) -> float | None:
    reading = context.helpers.records.hours(component.unit_id)
    return reading.hours if reading else None


def _yard_lives(context: FigureContext) -> _Lives:
    """Return the lives of all parts in the yard that the same sheet serves."""
    records = context.helpers.records
    places = [position for unit in records.units() for position in records.positions(unit.id)
              if position.sheet == context.part.sheet.key]
    return _lives((one for place in places for one in records.components_at(place.id)), context)


def _count(lives: _Lives) -> FigureRow:
    ages = ", ".join(f"{age:,.0f}" for age in lives.failed[:6])
    first = ""
    if len(lives.failed) > 1:
        ranks = life_data.median_ranks(len(lives.failed))
        first = (tr("the shortest stands for {exact} of parts by the exact median rank, {approximate} by the "
                    "plotting rule").format(
                     exact=number(ranks.exact[0], ".0%"), approximate=number(ranks.approximate[0], ".0%")))
    return row(
        tr("Parts at this place"),
        tr("{count} replaced, {count_2} running").format(count=len(lives.failed), count_2=len(lives.running)),
        sure=first,
        limit=tr("replaced at {ages} h").format(ages=ages) if lives.failed else "",
        source=tr("this kiosk's records"),
    )


def _survival(lives: _Lives, context: FigureContext) -> Iterator[FigureRow]:
    """Return the Kaplan-Meier share that outlives the age of the part that sits here now."""
    if not lives.failed:
        return
    marks = [True] * len(lives.failed) + [False] * len(lives.running)
    curve = life_data.survival_curve([*lives.failed, *lives.running], marks)
    half = next((step.hours for step in curve.steps if step.survival <= 0.5), None)
    now = context.hours_now
    age = min(max((now or 0.0) - context.component.installed_hours, 0.0), curve.longest_hours)
    step = life_data.survival_at(curve, age)
    enough = len(lives.failed) >= weibull.ENOUGH_TO_SHOW and step.standard_error
    few = tr("from {count} only").format(count=counted(len(lives.failed), "failure"))
    error = f"± {2 * (step.standard_error or 0.0):.0%}" if enough else few
    yield row(tr("Half of them last"), hours(half) if half else tr("longer than {hours}").format(
                                                                hours=hours(curve.longest_hours)),
              sure=tr("at this part's {hours} {survival} still ran, {error}").format(
                       hours=hours(age), survival=number(step.survival, ".0%"), error=error),
              source=tr("Kaplan-Meier, running parts counted in; NIST/SEMATECH e-Handbook 8.2.1.5"))


def _curve(lives: _Lives, yard: _Lives, parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return the Weibull life of this place, else of the yard, else what no failure so far shows."""
    if len(lives.failed) >= weibull.ENOUGH_TO_SHOW:
        yield from _weibull(tr("at this place"), lives, parameters, context)
        return
    yield row(tr("Weibull life at this place"), tr("no curve yet"),
              note=tr("{count} here; {enough_to_show} are needed for a curve.").format(
                       count=counted(len(lives.failed), "failure"), enough_to_show=weibull.ENOUGH_TO_SHOW))
    if len(yard.failed) >= weibull.ENOUGH_TO_SHOW:
        yield from _weibull(tr("all places of the yard"), yard, parameters, context)
    elif not lives.failed:
        shape = float(parameters["assumed_shape"])
        least = weibull.zero_failure_scale_hours(lives.running, shape, _SURE)
        yield row(
            tr("{term}, no failure yet").format(term=term("scale")),
            tr("above {hours}").format(hours=hours(least)),
            sure=tr("{sure}, with a shape of {shape} taken for granted").format(
                sure=number(_SURE, ".0%"), shape=number(shape, "g")
            ),
            source=tr("chance of no failure; the shape: the sheet"),
        )


def _weibull(where: str, lives: _Lives, parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    fit = weibull.weibull_fit(lives.failed, lives.running)
    order = float(parameters["order_hours"])
    age = max((context.hours_now or 0.0) - context.component.installed_hours, 0.0)
    mean = weibull.weibull_mean_hours(fit.scale_hours, fit.shape)
    median = weibull.weibull_quantile_hours(fit.scale_hours, fit.shape, 0.5)
    log, linear = fit.shape_bounds, fit.shape_bounds_linear
    yield row(f"{term('scale')}, {where}", hours(fit.scale_hours),
              sure=tr("{hours} to {hours_2}, 95 %, {failures} failures and {running} running").format(
                       hours=hours(fit.scale_bounds.low), hours_2=hours(fit.scale_bounds.high), failures=fit.failures,
                       running=fit.running), note=fit.note,
              limit=tr("mean {hours}, half fail by {hours_2}, a tenth by {hours_3}").format(
                        hours=hours(mean), hours_2=hours(median), hours_3=hours(fit.b10_hours)),
              source=tr("maximum likelihood; NIST/SEMATECH e-Handbook 8.4.1.3"))
    yield row(f"{term('shape')}, {where}", f"{fit.shape:.1f}: {_shape_words(log.low, log.high)}",
              sure=tr("{low} to {high} on the log scale, {low_2} to {high_2} on the linear one").format(
                       low=number(log.low, ".1f"), high=number(log.high, ".1f"), low_2=number(linear.low, ".1f"),
                       high_2=number(linear.high, ".1f")), note=tr(BOUNDS_CHOICE), source=tr("Fisher information"))
    yield row(
        tr("This part, {hours} old, runs {hours_2} more").format(hours=hours(age), hours_2=hours(order)),
        tr("{conditional_reliability} likely").format(
            conditional_reliability=number(
                weibull.conditional_reliability(fit.scale_hours, fit.shape, age, order), ".0%"
            )
        ),
        sure=tr("{share} of them failed by now").format(
            share=share(weibull.weibull_failed_share(fit.scale_hours, fit.shape, age))
        ),
        source=tr("ratio of two reliabilities"),
    )
    yield _best_age(fit, parameters)


def _best_age(fit: weibull.WeibullFit, parameters: Mapping[str, Any]) -> FigureRow:
    planned, failure = float(parameters["planned_cost"]), float(parameters["failure_cost"])
    low = min(fit.shape_bounds.low, fit.shape)
    best = replacement.best_replacement_age(fit.scale_hours, fit.shape, low, planned, failure)
    return row(tr("Best age to replace it before it fails"),
               hours(best.age_hours) if best.age_hours else tr("run it until it fails"), note=best.reason,
               limit=tr("a failure costs {failure}, a planned change {planned}").format(
                         failure=number(failure, "g"), planned=number(planned, "g")),
               source=tr("age replacement, Barlow and Proschan; costs: the sheet"))


def _shape_words(low: float, high: float) -> str:
    if low > 1:
        return tr("they wear out")
    return tr("they fail early") if high < 1 else tr("by chance, wear-out is not shown")


def _repairs(components: Iterable[Component], lives: _Lives, context: FigureContext) -> Iterator[FigureRow]:
    """Return whether failures at this place come closer together; only without such a trend a mean has a meaning."""
    parts = list(components)
    start = min(one.installed_hours for one in parts)
    times = [one.retired_hours - start for one in parts if one.retired_hours is not None and one.retired_hours > start]
    watched = (context.hours_now or 0.0) - start
    if not times or watched <= 0:
        return
    test = life_data.laplace_trend([min(time, watched) for time in sorted(times)], watched)
    yield row(tr("Failures at this place"), tr(test.meaning), sure=tr("by chance {share} of the time").format(
                                                               share=share(test.probability)),
              limit=tr("score beyond ± 1.96 is a trend"), source=tr("Laplace test"))
    if test.has_trend:
        return
    mean = life_data.mean_time_between_failures(watched, len(times))
    yield row(tr("{term} at this place").format(term=term("mean")), hours(mean.mean_hours or 0.0),
              sure=tr("{hours} to {hours_2}, {confidence}").format(
                       hours=hours(mean.low_hours), hours_2=hours(mean.high_hours or 0.0),
                       confidence=number(mean.confidence, ".0%")),
              source=tr("NIST/SEMATECH e-Handbook 8.4.5.1"),
              note=tr("For counting spares; a part that wears out goes by its age."))


def _stock(yard: _Lives, parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return how many to keep for all like places of the yard until the next order."""
    if not yard.failed:
        return
    mean, order = yard.total / len(yard.failed), float(parameters["order_hours"])
    needed = replacement.spares(mean, order * max(len(yard.running), 1), _SURE)
    yield row(tr("Spares to keep for the whole yard"), counted(needed.spares, "part"),
              sure=tr("{expected} expected in {hours} of each unit; enough {enough_chance} of the time").format(
                       expected=number(needed.expected, ".1f"), hours=hours(order),
                       enough_chance=number(needed.enough_chance, ".0%")),
              limit=tr("{count} places, one failure in {hours}").format(count=len(yard.running), hours=hours(mean)),
              source=tr("Poisson demand at a constant rate; order time: the sheet"))
