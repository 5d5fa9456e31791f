"""Guided work as frozen dataclasses that all layers share: a course under way, its steps, a job put on the due list.

A course is work that has a beginning, steps and an end, often over an hour and more than one person: an adjustment
session, a step list of a repair. Each step is an event of its own, so that nothing is lost half-way.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any

from kiosk.entities import Reading


class CourseKind(StrEnum):
    """The kinds of guided work."""

    SESSION = "session"
    STEP_LIST = "step list"


class StepKind(StrEnum):
    """What a step of a course was."""

    MEASURED = "measured"
    TURNED = "turned"
    RUN_BEGAN = "run began"
    RUN_ENDED = "run ended"
    DONE = "step done"
    UNDONE = "step not done"
    BOLT_TIGHT = "bolt tight"
    BOLT_LOOSE = "bolt not tight"
    CHOSEN = "part chosen"
    LABELLED = "label issued"
    FITTED = "part fitted"


class Outcome(StrEnum):
    """How a course ended."""

    WITHIN = "within"
    DONE = "done"
    GIVEN_UP = "given up"


@dataclass(frozen=True)
class Course:
    """One course; `id` is the id of the event that began it.

    Args:
        component_id: The part it was begun on; a repair may replace it under way.
        job: Key of the job on its sheet, at the revision `sheet_revision`.
        ended_at: None while it is open. `outcome`, `reason`: how it ended. `record_id`: the record that tells it.
    """

    id: str
    kind: CourseKind
    unit_id: str
    position_id: str
    component_id: str
    job: str
    sheet: str
    sheet_revision: int
    begun_at: datetime
    begun_by: str
    ended_at: datetime | None = None
    outcome: Outcome | None = None
    reason: str = ""
    record_id: str | None = None


@dataclass(frozen=True)
class CourseStep:
    """One step of a course.

    Args:
        details: What was turned, run, ticked, printed or fitted, by name with unit suffix.
        readings: What was measured.
    """

    id: str
    course_id: str
    kind: StepKind
    at: datetime
    person_id: str | None
    details: dict[str, Any] = field(default_factory=dict)
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True)
class ScheduledJob:
    """A job put on the due list once, beside its interval: due after so many hours or days, whichever comes first.

    Args:
        at: When it was put there; a record of the job later than that takes it off. `hours`: the meter then. [h]
    """

    id: str
    unit_id: str
    component_id: str
    job: str
    reason: str
    at: datetime
    hours: float
    after_hours: float | None
    after_days: int | None
