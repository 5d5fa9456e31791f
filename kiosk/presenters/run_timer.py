"""The run between turning and measuring: how long, how much is left, whether it is over. Worked out from its beginning,
so that a restart changes nothing. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from kiosk.calc import belt
from kiosk.entities import Component
from kiosk.guided import CourseStep, StepKind
from kiosk.service_sheet import RunSpec


@dataclass(frozen=True)
class Timer:
    """A run or a wait that began.

    Args:
        began_at: Aware UTC. `minutes`: how long it lasts.
        revolutions: Of the loop in that time, None for a plain wait.
        step_id: Id of the step that began it.
    """

    step_id: str
    began_at: datetime
    minutes: float
    revolutions: float | None = None

    @property
    def ends_at(self) -> datetime:
        """When it is over. Aware UTC."""
        return self.began_at + timedelta(minutes=self.minutes)

    def is_over(self, now: datetime) -> bool:
        """Say whether it is over."""
        return now >= self.ends_at

    def share_left(self, now: datetime) -> float:
        """Return the part of it that is left, 1 at the beginning and 0 when it is over."""
        left = (self.ends_at - now) / timedelta(minutes=self.minutes)
        return min(max(left, 0.0), 1.0)

    def minutes_left(self, now: datetime) -> float:
        """Return how much time is left. [min]"""
        return self.share_left(now) * self.minutes

    def revolutions_left(self, now: datetime) -> float | None:
        """Return how many revolutions are left, None for a plain wait."""
        return None if self.revolutions is None else self.share_left(now) * self.revolutions

    def revolutions_run(self, now: datetime) -> float | None:
        """Return how many revolutions were run, None for a plain wait."""
        return None if self.revolutions is None else (1 - self.share_left(now)) * self.revolutions


def running(steps: Sequence[CourseStep]) -> Timer | None:
    """Return the timer that the last of the timer's steps began, None once it was ended or where there was none."""
    for step in reversed(steps):
        if step.kind is StepKind.RUN_ENDED:
            return None
        if step.kind is StepKind.RUN_BEGAN:
            revolutions = step.details.get("revolutions")
            return Timer(step.id, step.at, float(step.details["minutes"]),
                         None if revolutions is None else float(revolutions))
    return None


def run_minutes(run: RunSpec, component: Component) -> float:
    """Return how long the run takes. [min]"""
    return belt.run_in(run.revolutions, loop_length_mm(run, component), run.travel_per_turn_mm / math.pi,
                       run.shaft_rpm).duration_minutes


def loop_length_mm(run: RunSpec, component: Component) -> float:
    """Return the loop's length: the part's own on record, else the sheet's. [mm]"""
    return float(component.properties.get("belt_length_mm", run.loop_length_mm))
