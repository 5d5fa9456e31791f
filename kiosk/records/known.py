"""What is on record already, asked one row at a time while an event is checked."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Any

from kiosk.entities import JobType, PrintState, Role
from kiosk.work_in_hand import StepState, WorkKind


@dataclass(frozen=True)
class KnownPart:
    """Where a part sits or sat."""

    position_id: str
    unit_id: str
    retired_at: str | None


@dataclass(frozen=True)
class KnownWork:
    """What somebody has, or had, in hand."""

    kind: WorkKind
    is_open: bool
    holders: frozenset[str]


@dataclass(frozen=True)
class KnownLabel:
    """What a label number belongs to and whether it still counts."""

    subject_id: str | None
    retired_at: str | None


class Known:
    """Looks things up through the connection of the running transaction."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def role(self, person_id: str) -> Role | None:
        """Return a person's role, None for a stranger."""
        found = self._first("SELECT role FROM person WHERE id = ?", person_id)
        return None if found is None else Role(found[0])

    def part(self, component_id: str) -> KnownPart | None:
        """Return where a part sits, None if it was never put on record."""
        found = self._first("SELECT position_id, unit_id, retired_at FROM component WHERE id = ?", component_id)
        return None if found is None else KnownPart(*found)

    def part_at(self, position_id: str) -> str | None:
        """Return the id of the part that sits at a position now."""
        found = self._first("SELECT id FROM component WHERE position_id = ? AND retired_at IS NULL", position_id)
        return None if found is None else str(found[0])

    def unit_of_position(self, position_id: str) -> str | None:
        """Return the unit that a position belongs to, None for an unknown position."""
        found = self._first("SELECT unit_id FROM position WHERE id = ?", position_id)
        return None if found is None else str(found[0])

    def is_unit(self, unit_id: str) -> bool:
        """Return whether a unit is on record."""
        return self._first("SELECT 1 FROM unit WHERE id = ?", unit_id) is not None

    def is_held(self, unit_id: str) -> bool:
        """Return whether a unit is held out of service."""
        return self._first("SELECT 1 FROM unit_hold WHERE unit_id = ? AND released_at IS NULL", unit_id) is not None

    def work(self, work_id: str) -> KnownWork | None:
        """Return a piece of work and who has it now, None if none was opened under that id."""
        found = self._first("SELECT kind, closed_at IS NULL FROM work WHERE id = ?", work_id)
        if found is None:
            return None
        holders = self._connection.execute(
            "SELECT person_id FROM work_hand WHERE work_id = ? AND until IS NULL", (work_id,))
        return KnownWork(WorkKind(found[0]), bool(found[1]), frozenset(person for (person,) in holders))

    def step_state(self, round_id: str, component_id: str, job: str) -> StepState | None:
        """Return what became of a job of a round, None if the round has no such job."""
        found = self._first("SELECT state FROM round_job WHERE round_id = ? AND component_id = ? AND job = ?",
                            round_id, component_id, job)
        return None if found is None else StepState(found[0])

    def open_steps(self, round_id: str) -> int:
        """Return how many jobs of a round are open."""
        found = self._first("SELECT count(*) FROM round_job WHERE round_id = ? AND state = 'open'", round_id)
        assert found is not None
        return int(found[0])

    def is_in_open_round(self, component_id: str, job: str) -> bool:
        """Return whether a job of a part is open in a round that goes on."""
        return self._first(
            "SELECT 1 FROM round_job JOIN work ON work.id = round_job.round_id WHERE round_job.component_id = ? "
            "AND round_job.job = ? AND round_job.state = 'open' AND work.closed_at IS NULL", component_id, job,
        ) is not None

    def is_finding(self, finding_id: str) -> bool:
        """Return whether a finding is on record, open or closed."""
        return self._first("SELECT 1 FROM finding WHERE id = ?", finding_id) is not None

    def is_open_finding(self, finding_id: str) -> bool:
        """Return whether a finding is on record and open."""
        return self._first("SELECT 1 FROM finding WHERE id = ? AND closed_at IS NULL", finding_id) is not None

    def is_record(self, record_id: str) -> bool:
        """Return whether a service record is on record, corrected or not."""
        return self._first("SELECT 1 FROM record WHERE id = ?", record_id) is not None

    def is_open_conflict(self, conflict_id: str) -> bool:
        """Return whether what two kiosks entered against each other is on record and not settled."""
        return self._first("SELECT 1 FROM conflict WHERE id = ? AND settled_at IS NULL", conflict_id) is not None

    def label(self, number: str) -> KnownLabel | None:
        """Return what a number belongs to, None if it was never issued."""
        found = self._first("SELECT subject_id, retired_at FROM label WHERE number = ?", number)
        return None if found is None else KnownLabel(*found)

    def label_of_part(self, component_id: str) -> str | None:
        """Return the number of the label on a part, None for an unknown part."""
        found = self._first("SELECT label FROM component WHERE id = ?", component_id)
        return None if found is None else str(found[0])

    def newest_print_state(self, number: str) -> PrintState | None:
        """Return how far the newest print of a label is, None if it was never printed."""
        found = self._first("SELECT state FROM label_print WHERE number = ? ORDER BY queued_at DESC, id DESC LIMIT 1",
                            number)
        return None if found is None else PrintState(found[0])

    def print_state(self, print_id: str) -> PrintState | None:
        """Return how far a label's print is, None if it was never asked for."""
        found = self._first("SELECT state FROM label_print WHERE id = ?", print_id)
        return None if found is None else PrintState(found[0])

    def correction_of(self, record_id: str) -> str | None:
        """Return the id of the event that corrected a record; '' if none did, None if there is no such record."""
        found = self._first("SELECT coalesce(corrected_by, '') FROM record WHERE id = ?", record_id)
        return None if found is None else str(found[0])

    def job_type_of(self, record_id: str) -> JobType:
        """Return the kind of work of a record that is known to be there."""
        found = self._first("SELECT job_type FROM record WHERE id = ?", record_id)
        assert found is not None
        return JobType(found[0])

    def component_of_record(self, record_id: str) -> str:
        """Return the part of a record that is known to be there."""
        found = self._first("SELECT component_id FROM record WHERE id = ?", record_id)
        assert found is not None
        return str(found[0])

    def is_open_course(self, course_id: str) -> bool | None:
        """Return whether a course is still open, None if there is no such course."""
        found = self._first("SELECT ended_at IS NULL FROM course WHERE id = ?", course_id)
        return None if found is None else bool(found[0])

    def has_open_course(self, position_id: str, job: str) -> bool:
        """Return whether a job's course is open at a position."""
        return self._first("SELECT 1 FROM course WHERE position_id = ? AND job = ? AND ended_at IS NULL", position_id,
                           job) is not None

    def sheet_text(self, sheet: str, revision: int) -> str | None:
        """Return the text of a sheet's revision, None if it was not adopted."""
        found = self._first("SELECT text FROM sheet_text WHERE sheet = ? AND revision = ?", sheet, revision)
        return None if found is None else str(found[0])

    def _first(self, statement: str, *values: object) -> tuple[Any, ...] | None:
        row: tuple[Any, ...] | None = self._connection.execute(statement, values).fetchone()
        return row
