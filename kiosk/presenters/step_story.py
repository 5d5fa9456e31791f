"""A step list read out of its steps: which are done, what was measured, tightened, printed and fitted. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kiosk.entities import Reading
from kiosk.guided import CourseStep, StepKind


@dataclass(frozen=True)
class NewLabel:
    """A label issued for a new part. `fitted`: it was scanned on the machine."""

    position_id: str
    component_id: str
    number: str
    description: str
    fitted: bool = False


@dataclass(frozen=True)
class StepStory:
    """What a course's steps say. Steps of the list count from 1."""

    steps: tuple[CourseStep, ...]

    @property
    def done(self) -> frozenset[int]:
        """Numbers of the steps that are done."""
        done: set[int] = set()
        for step in self.steps:
            if step.kind is StepKind.DONE:
                done.add(int(step.details["number"]))
            elif step.kind is StepKind.UNDONE:
                done.discard(int(step.details["number"]))
        return frozenset(done)

    @property
    def reason(self) -> str:
        """Why the old parts go, '' before it was said."""
        return next((str(step.details["reason"]) for step in self.steps if step.kind is StepKind.CHOSEN), "")

    @property
    def labels(self) -> tuple[NewLabel, ...]:
        """The labels issued for new parts."""
        fitted = {step.details["label"] for step in self.steps if step.kind is StepKind.FITTED}
        return tuple(
            NewLabel(step.details["position_id"], step.details["component_id"], step.details["label"],
                     step.details["description"], step.details["label"] in fitted)
            for step in self.steps if step.kind is StepKind.LABELLED)

    @property
    def readings(self) -> tuple[Reading, ...]:
        """What was measured; a step measured twice counts as it was last."""
        measured: dict[tuple[str, str], Reading] = {}
        for step in self.steps:
            if step.kind is StepKind.MEASURED:
                measured |= {(one.quantity, one.side.value): one for one in step.readings}
        return tuple(measured.values())

    def is_measured(self, number: int) -> bool:
        """Say whether a step's reading was taken."""
        return any(step.kind is StepKind.MEASURED and step.details.get("number") == number for step in self.steps)

    def tightened(self, number: int) -> int:
        """Return how many bolts of a step are tight, in their order."""
        ticks = (step.kind for step in self.steps if step.details.get("number") == number)
        return sum({StepKind.BOLT_TIGHT: 1, StepKind.BOLT_LOOSE: -1}.get(kind, 0) for kind in ticks)

    def of(self, number: int) -> tuple[CourseStep, ...]:
        """Return what was put on record of one step of the list."""
        return tuple(step for step in self.steps if step.details.get("number") == number)

    def details(self) -> dict[str, Any]:
        """Return what the record keeps."""
        details: dict[str, Any] = {"steps_done": sorted(self.done)}
        if self.labels:
            details["new_labels"] = [label.number for label in self.labels if label.fitted]
        waits = [float(step.details["minutes"]) for step in self.steps if step.kind is StepKind.RUN_ENDED]
        return details | ({"run_minutes": waits} if waits else {})
