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
from kiosk.presenters.figures.core import FigureContext, hours, row, share, term
from kiosk.presenters.parts import FigureRow
from kiosk.presenters.words import counted

_SURE = 0.9
BOUNDS_CHOICE = "Good libraries differ; the log scale is used, as bounds on the linear one can fall below zero."


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
        return (row("Life of parts at this place", "not known", note="No part has run here yet."),)
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
        first = (f"the shortest stands for {ranks.exact[0]:.0%} of parts by the exact median rank, "
                 f"{ranks.approximate[0]:.0%} by the plotting rule")
    return row("Parts at this place", f"{len(lives.failed)} replaced, {len(lives.running)} running",
               sure=first, limit=f"replaced at {ages} h" if lives.failed else "", source="this kiosk's records")


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
    few = f"from {counted(len(lives.failed), 'failure')} only"
    error = f"± {2 * (step.standard_error or 0.0):.0%}" if enough else few
    yield row("Half of them last", hours(half) if half else f"longer than {hours(curve.longest_hours)}",
              sure=f"at this part's {hours(age)} {step.survival:.0%} still ran, {error}",
              source="Kaplan-Meier, running parts counted in; NIST/SEMATECH e-Handbook 8.2.1.5")


def _curve(lives: _Lives, yard: _Lives, parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return the Weibull life of this place, else of the yard, else what no failure so far shows."""
    if len(lives.failed) >= weibull.ENOUGH_TO_SHOW:
        yield from _weibull("at this place", lives, parameters, context)
        return
    yield row("Weibull life at this place", "no curve yet",
              note=f"{counted(len(lives.failed), 'failure')} here; {weibull.ENOUGH_TO_SHOW} are needed for a curve.")
    if len(yard.failed) >= weibull.ENOUGH_TO_SHOW:
        yield from _weibull("all places of the yard", yard, parameters, context)
    elif not lives.failed:
        shape = float(parameters["assumed_shape"])
        least = weibull.zero_failure_scale_hours(lives.running, shape, _SURE)
        yield row(f"{term('scale')}, no failure yet", f"above {hours(least)}",
                  sure=f"{_SURE:.0%}, with a shape of {shape:g} taken for granted", source="chance of no failure; the "
                  "shape: the sheet")


def _weibull(where: str, lives: _Lives, parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    fit = weibull.weibull_fit(lives.failed, lives.running)
    order = float(parameters["order_hours"])
    age = max((context.hours_now or 0.0) - context.component.installed_hours, 0.0)
    mean = weibull.weibull_mean_hours(fit.scale_hours, fit.shape)
    median = weibull.weibull_quantile_hours(fit.scale_hours, fit.shape, 0.5)
    log, linear = fit.shape_bounds, fit.shape_bounds_linear
    yield row(f"{term('scale')}, {where}", hours(fit.scale_hours),
              sure=f"{hours(fit.scale_bounds.low)} to {hours(fit.scale_bounds.high)}, 95 %, {fit.failures} failures "
                   f"and {fit.running} running", note=fit.note,
              limit=f"mean {hours(mean)}, half fail by {hours(median)}, a tenth by {hours(fit.b10_hours)}",
              source="maximum likelihood; NIST/SEMATECH e-Handbook 8.4.1.3")
    yield row(f"{term('shape')}, {where}", f"{fit.shape:.1f}: {_shape_words(log.low, log.high)}",
              sure=f"{log.low:.1f} to {log.high:.1f} on the log scale, {linear.low:.1f} to {linear.high:.1f} on the "
                   "linear one", note=BOUNDS_CHOICE, source="Fisher information")
    yield row(f"This part, {hours(age)} old, runs {hours(order)} more",
              f"{weibull.conditional_reliability(fit.scale_hours, fit.shape, age, order):.0%} likely",
              sure=f"{share(weibull.weibull_failed_share(fit.scale_hours, fit.shape, age))} of them failed by now",
              source="ratio of two reliabilities")
    yield _best_age(fit, parameters)


def _best_age(fit: weibull.WeibullFit, parameters: Mapping[str, Any]) -> FigureRow:
    planned, failure = float(parameters["planned_cost"]), float(parameters["failure_cost"])
    low = min(fit.shape_bounds.low, fit.shape)
    best = replacement.best_replacement_age(fit.scale_hours, fit.shape, low, planned, failure)
    return row("Best age to replace it before it fails",
               hours(best.age_hours) if best.age_hours else "run it until it fails", note=best.reason,
               limit=f"a failure costs {failure:g}, a planned change {planned:g}",
               source="age replacement, Barlow and Proschan; costs: the sheet")


def _shape_words(low: float, high: float) -> str:
    if low > 1:
        return "they wear out"
    return "they fail early" if high < 1 else "by chance, wear-out is not shown"


def _repairs(components: Iterable[Component], lives: _Lives, context: FigureContext) -> Iterator[FigureRow]:
    """Return whether failures at this place come closer together; only without such a trend a mean has a meaning."""
    parts = list(components)
    start = min(one.installed_hours for one in parts)
    times = [one.retired_hours - start for one in parts if one.retired_hours is not None and one.retired_hours > start]
    watched = (context.hours_now or 0.0) - start
    if not times or watched <= 0:
        return
    test = life_data.laplace_trend([min(time, watched) for time in sorted(times)], watched)
    yield row("Failures at this place", test.meaning, sure=f"by chance {share(test.probability)} of the time",
              limit="score beyond ± 1.96 is a trend", source="Laplace test")
    if test.has_trend:
        return
    mean = life_data.mean_time_between_failures(watched, len(times))
    yield row(f"{term('mean')} at this place", hours(mean.mean_hours or 0.0),
              sure=f"{hours(mean.low_hours)} to {hours(mean.high_hours or 0.0)}, {mean.confidence:.0%}",
              source="NIST/SEMATECH e-Handbook 8.4.5.1",
              note="For counting spares; a part that wears out goes by its age.")


def _stock(yard: _Lives, parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return how many to keep for all like places of the yard until the next order."""
    if not yard.failed:
        return
    mean, order = yard.total / len(yard.failed), float(parameters["order_hours"])
    needed = replacement.spares(mean, order * max(len(yard.running), 1), _SURE)
    yield row("Spares to keep for the whole yard", counted(needed.spares, "part"),
              sure=f"{needed.expected:.1f} expected in {hours(order)} of each unit; enough "
                   f"{needed.enough_chance:.0%} of the time",
              limit=f"{len(yard.running)} places, one failure in {hours(mean)}",
              source="Poisson demand at a constant rate; order time: the sheet")
