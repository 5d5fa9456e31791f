"""A part on a machine as the history knows it and nobody else does: how worn it really is, and when it will fail."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import date

from demo_shop.wear import DRIFTS, LIVES, Drift
from kiosk.entities import Component, Position, Side
from kiosk.service_sheet import JobSpec, ServiceSheet

# Heat and play stay low for most of a bearing's life and then rise.
_FAILURE_POWER = 7


@dataclass
class Level:
    """Where one quantity on one side really stands: at `hours` it was `base`. Drift is per hour."""

    drift: Drift
    base: float
    hours: float
    per_hour: float

    def at(self, hours: float) -> float:
        """Return the true value at an hour-meter reading. [unit of the reading]"""
        return self.base + self.per_hour * (hours - self.hours)

    def set_to(self, value: float, hours: float) -> None:
        """Let it start anew from a value."""
        self.base, self.hours = value, hours


@dataclass
class Done:
    """When a job was last done."""

    day: date
    hours: float


@dataclass
class FittedPart:
    """One part at one position.

    Args:
        fails_at_hours: Meter reading at which it fails; never for kinds without a life. [h]
        worn_on: Day on which it is to be changed because a reading said so.
        findings: Open findings by job key.
    """

    component: Component
    position: Position
    sheet: ServiceSheet
    age_hours: float
    fails_at_hours: float
    levels: dict[tuple[str, Side], Level]
    done: dict[str, Done] = field(default_factory=dict)
    worn_on: date | None = None
    findings: dict[str, str] = field(default_factory=dict)

    def true_value(self, quantity: str, side: Side, hours: float, chance: random.Random) -> float:
        """Return what a careful reading would show now, its scatter included."""
        level = self.levels[quantity, side]
        drift = level.drift
        value = level.at(hours)
        if drift.mirror_sum is not None and side is Side.RIGHT:
            value = drift.mirror_sum - self.levels[quantity, Side.LEFT].at(hours)
        if drift.rise_to_failure:
            value += drift.rise_to_failure * min(self._share_of_life(hours), 1.1) ** _FAILURE_POWER
        return value + chance.gauss(0.0, drift.scatter)

    def _share_of_life(self, hours: float) -> float:
        run = self.age_hours + hours - self.component.installed_hours
        life = self.age_hours + self.fails_at_hours - self.component.installed_hours
        return run / life if life > 0 else 1.0

    def is_due(self, job: JobSpec, day: date, hours: float) -> bool:
        """Return whether a job of the sheet is due, by hours or days, whichever comes first."""
        interval, last = job.interval, self.done[job.key]
        if interval is None:
            return False
        by_days = interval.days is not None and (day - last.day).days >= interval.days
        return by_days or (interval.hours is not None and hours - last.hours >= interval.hours)


def fit(component: Component, position: Position, sheet: ServiceSheet, day: date, chance: random.Random,
        used_share: float = 0.0, life_times: float = 1.0) -> FittedPart:
    """Return a part just fitted, or one found on the machine after `used_share` of its life."""
    hours = component.installed_hours
    life = LIVES[sheet.key].draw(chance, life_times) if sheet.key in LIVES else float("inf")
    age = min(used_share * life, 3000.0)
    levels: dict[tuple[str, Side], Level] = {}
    for spec in sheet.readings:
        drift = DRIFTS.get(sheet.key, {}).get(spec.key)
        if drift is None:  # read only when somebody asks for it; no round measures it
            continue
        per_hour = _rate(drift, chance)
        for side in spec.sides:  # both sides of a machine wear much alike
            levels[spec.key, side] = _level(drift, per_hour * chance.uniform(0.85, 1.15), hours, age, chance)
    part = FittedPart(component, position, sheet, age, hours + life - age, levels)
    for job in sheet.jobs:
        part.done[job.key] = Done(day, hours)
    return part


def _rate(drift: Drift, chance: random.Random) -> float:
    """Return one part's own drift. [unit per h]"""
    per_hour = drift.per_100_hours / 100.0 * chance.uniform(0.75, 1.3)
    return -per_hour if drift.wanders and chance.random() < 0.5 else per_hour


def _level(drift: Drift, per_hour: float, hours: float, age_hours: float, chance: random.Random) -> Level:
    base = drift.new + chance.gauss(0.0, drift.setting)
    return Level(drift, base if drift.is_set else base + per_hour * age_hours, hours, per_hour)
