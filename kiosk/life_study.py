"""Which parts do not last: lives of parts of one kind, by position, with those that still run counted in.

Parts are taken from the records: one that was taken off failed at its age, unless the reason says that it was taken
off whole; one that still sits is 'running' at its age now. Each position is held against all others of its kind.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kiosk.calc.life_data import SurvivalCurve, survival_curve
from kiosk.calc.rate_comparison import chance_of_as_many
from kiosk.calc.terms import TERMS
from kiosk.calc.weibull import WeibullFit, weibull_failed_share, weibull_fit
from kiosk.entities import Component, Side
from kiosk.errors import CalcError
from kiosk.language import number, tr
from kiosk.presenters.ports import Records, Sheets
from kiosk.reports.charts import LifeChart

WHOLE_REASONS = ("relabelled", "changed over", "not worn", "unit sold")
"""Reasons that mean the part did not fail; common practice, no source: the yard's sheets name their own."""
BY_CHANCE = 0.05
"""A position is called worse only where chance alone would make any of those compared so bad in fewer than 1 of 20."""
_CURVE_STEPS = 40


@dataclass(frozen=True)
class Life:
    """One part's life so far. `age_hours` above 0. [h]"""

    component_id: str
    position_id: str
    unit_id: str
    side: Side
    description: str
    age_hours: float
    failed: bool


@dataclass(frozen=True)
class Group:
    """Lives that are looked at together.

    Args:
        name: 'left', a unit, a description.
        curve: Kaplan-Meier, None without a part.
        fit: Weibull, None where the lives do not bear one; `why_not` says why.
    """

    name: str
    lives: tuple[Life, ...]
    curve: SurvivalCurve | None
    fit: WeibullFit | None
    why_not: str

    @property
    def failures(self) -> int:
        """How many of them failed."""
        return sum(life.failed for life in self.lives)


@dataclass(frozen=True)
class PositionVerdict:
    """Whether a position eats parts.

    Args:
        hours: Running hours of its parts together. [h] `expected`: its share of all failures, by hours.
        probability: That chance alone gives this position as many failures or more.
        is_worse: Whether that is too small to be luck, as many positions as were compared.
    """

    position_id: str
    unit_id: str
    name: str
    failures: int
    hours: float
    expected: float
    probability: float
    is_worse: bool


@dataclass(frozen=True)
class LifeStudy:
    """What a kind of part's lives say.

    Args:
        groups: All together first, then by side, then by description where there are several.
        positions: The worst first.
    """

    sheet: str
    title: str
    groups: tuple[Group, ...]
    positions: tuple[PositionVerdict, ...]


def life_study(records: Records, sheets: Sheets, sheet: str) -> LifeStudy:
    """Return what the lives of all parts of a kind say.

    Args:
        sheet: Key of the service sheet that serves them.

    Raises:
        NotFound: there is no such sheet.
    """
    title = sheets.sheet(sheet).title
    positions = {position.id: position for unit in records.units() for position in records.positions(unit.id)}
    hours = {unit.id: reading.hours for unit in records.units() if (reading := records.hours(unit.id)) is not None}
    lives = tuple(_lives(records.lives(sheet), {key: place.side for key, place in positions.items()}, hours))
    units = {unit.id: unit.name for unit in records.units()}
    names = {key: f"{units[place.unit_id]}, {place.name}" for key, place in positions.items()}
    return LifeStudy(sheet, title, tuple(_groups(lives)), _positions(lives, names))


def _lives(parts: Iterable[Component], sides: dict[str, Side], hours: dict[str, float]) -> Iterable[Life]:
    for part in parts:
        end = part.retired_hours if part.retired_hours is not None else hours.get(part.unit_id, part.installed_hours)
        age = end - part.installed_hours
        failed = part.retired_at is not None and part.retired_reason not in WHOLE_REASONS
        if age > 0:
            yield Life(part.id, part.position_id, part.unit_id, sides.get(part.position_id, Side.BOTH),
                       part.description, age, failed)


def _groups(lives: Sequence[Life]) -> Iterable[Group]:
    yield group_of("all", lives)
    for side in (Side.LEFT, Side.RIGHT):
        own = [life for life in lives if life.side is side]
        if own:
            yield group_of(side.value, own)
    descriptions = sorted({life.description for life in lives})
    if len(descriptions) > 1:
        for description in descriptions:
            yield group_of(description, [life for life in lives if life.description == description])


def group_of(name: str, lives: Sequence[Life]) -> Group:
    """Return lives with their curve and, where they bear one, their fit."""
    failed = [life.age_hours for life in lives if life.failed]
    running = [life.age_hours for life in lives if not life.failed]
    curve = survival_curve([life.age_hours for life in lives], [life.failed for life in lives]) if lives else None
    try:
        fit = weibull_fit(failed, running)
    except CalcError:
        return Group(name, tuple(lives), curve, None, _too_few(len(failed)))
    if not fit.may_show:
        return Group(name, tuple(lives), curve, None, _too_few(len(failed)))
    return Group(name, tuple(lives), curve, fit, "")


def _too_few(failures: int) -> str:
    return tr("{failures} failures are too few for a life; three are needed, ten to speak of the shape").format(
               failures=failures)


def _positions(lives: Sequence[Life], names: dict[str, str]) -> tuple[PositionVerdict, ...]:
    """Hold each position's failures against its share of the hours; the bar is raised by as many as are compared."""
    by_position: dict[str, list[Life]] = {}
    for life in lives:
        by_position.setdefault(life.position_id, []).append(life)
    all_failed, all_hours = sum(life.failed for life in lives), sum(life.age_hours for life in lives)
    verdicts = []
    for position_id, own in by_position.items():
        failures, hours = sum(life.failed for life in own), sum(life.age_hours for life in own)
        others = all_hours - hours
        probability = chance_of_as_many(failures, hours, all_failed - failures, others) if others > 0 else 1.0
        verdicts.append(PositionVerdict(
            position_id, own[0].unit_id, names.get(position_id, position_id), failures, hours,
            all_failed * hours / all_hours, probability, probability < BY_CHANCE / len(by_position)))
    return tuple(sorted(verdicts, key=lambda each: (each.probability, -each.failures, each.name)))


def life_chart(study: LifeStudy, group: Group) -> LifeChart:
    """Return a group's lives as a chart."""
    steps = tuple((step.hours, 1 - step.survival) for step in group.curve.steps) if group.curve else ()
    running = tuple(sorted(life.age_hours for life in group.lives if not life.failed))
    name = study.title if group.name == "all" else f"{study.title}, {group.name}"
    if group.fit is None or group.curve is None:
        return LifeChart(name, steps, running)
    fit, longest = group.fit, group.curve.longest_hours
    ages = [longest * step / _CURVE_STEPS for step in range(1, _CURVE_STEPS + 1)]
    curve = tuple((age, weibull_failed_share(fit.scale_hours, fit.shape, age)) for age in ages)
    return LifeChart(name, steps, running, curve, fit.b10_hours)


def group_words(group: Group) -> str:
    """Return what a group's lives say, in a sentence."""
    running = len(group.lives) - group.failures
    counts = tr("{failures} failed, {running} still running").format(failures=group.failures, running=running)
    if group.fit is None:
        return f"{counts}; {group.why_not}."
    fit = group.fit
    meaning = tr("they wear out") if fit.wear_out_shown else (
        tr("early failures: look at fitting and stock") if fit.shape_bounds.high < 1 else
        tr("no wear-out shown: changing by age would not help"))
    return (tr("{counts}; a tenth by {b10_hours} h ({low} to {high} h, 95 %), {name} {shape} ({low_2} to {high_2}): "
               "{meaning}. {note}").format(
                counts=counts, b10_hours=number(fit.b10_hours, ",.0f"), low=number(fit.b10_bounds.low, ",.0f"),
                high=number(fit.b10_bounds.high, ",.0f"), name=tr(TERMS["shape"].name), shape=number(fit.shape, ".2f"),
                low_2=number(fit.shape_bounds.low, ".2f"), high_2=number(fit.shape_bounds.high, ".2f"), meaning=meaning,
                note=fit.note)).strip()
