"""Work that somebody has in hand on a unit, and rounds: frozen dataclasses that all layers share.

A unit is in somebody's hands from the moment they open a job's form, begin a round or note a lock-out there until that
is closed or handed over. A note of a lock-out is a note: it is never the lock.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class WorkKind(StrEnum):
    """What somebody has in hand."""

    JOB = "job"
    ROUND = "round"
    SESSION = "session"
    LOCK_OUT = "lock-out"


class HandOver(StrEnum):
    """How work came into other hands."""

    BOTH_BADGES = "both badges"
    GIVER_ABSENT = "the one before was not there"


@dataclass(frozen=True)
class Hand:
    """One person's time with a piece of work.

    Args:
        until: None while they have it.
        from_person_id: Who gave it, None for who opened it. `how`: how it was given, None likewise.
        reason: Why it was taken without the one before, '' otherwise.
    """

    person_id: str
    since: datetime
    until: datetime | None = None
    from_person_id: str | None = None
    how: HandOver | None = None
    reason: str = ""


@dataclass(frozen=True)
class Work:
    """A piece of work; its id is that of the event that opened it.

    Args:
        what: In words: 'Set the sag, flight chains'.
        unit_id: None for a round of the whole yard.
        component_id, job: Of a job's form; '' otherwise.
        hands: Who had it, in the order in which they got it.
    """

    id: str
    kind: WorkKind
    what: str
    unit_id: str | None
    component_id: str
    job: str
    opened_at: datetime
    opened_by: str
    hands: tuple[Hand, ...] = ()
    closed_at: datetime | None = None
    closed_by: str | None = None
    closed_reason: str = ""

    @property
    def holders(self) -> tuple[Hand, ...]:
        """Who has it now, the one who had it first in front."""
        return tuple(hand for hand in self.hands if hand.until is None)

    def is_held_by(self, person_id: str) -> bool:
        """Whether a person has it in hand now."""
        return any(hand.person_id == person_id for hand in self.holders)


@dataclass(frozen=True)
class RoundJob:
    """One job of a round, in the round's order."""

    unit_id: str
    position_id: str
    component_id: str
    job: str


class StepState(StrEnum):
    """What became of a job of a round."""

    OPEN = "open"
    DONE = "done"
    SKIPPED = "skipped"


@dataclass(frozen=True)
class RoundStep:
    """A job of a round and what became of it.

    Args:
        record_id: Of the record that did it, None while it is not done. `reason`: why it was skipped, '' if it was not.
        person_id, at: Who settled it and when, None while it is open.
    """

    job: RoundJob
    state: StepState = StepState.OPEN
    record_id: str | None = None
    reason: str = ""
    person_id: str | None = None
    at: datetime | None = None


@dataclass(frozen=True)
class Round:
    """A round: the work it is, and its jobs in the order of the walk."""

    work: Work
    shift: str
    steps: tuple[RoundStep, ...]

    def in_state(self, state: StepState) -> tuple[RoundStep, ...]:
        """Return the jobs of which this became."""
        return tuple(step for step in self.steps if step.state is state)
