"""Guided work: begun, its steps, ended; and jobs put on the due list once."""

from __future__ import annotations

import sqlite3

from kiosk.events import CourseBegun, CourseEnded, CourseStepped, JobScheduled, JournalEntry
from kiosk.records.instants import utc_text
from kiosk.records.models import CourseRow, CourseStepRow, ScheduledJobRow, insert_statement
from kiosk.records.projections.registry import project

_COURSE = insert_statement(CourseRow)
_STEP = insert_statement(CourseStepRow)
_END = "UPDATE course SET ended_at = ?, outcome = ?, reason = ?, record_id = ? WHERE id = ?"
_SCHEDULED = insert_statement(ScheduledJobRow)


@project.register
def _(payload: CourseBegun, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(
        _COURSE, (event.id, payload.kind, payload.unit_id, payload.position_id, payload.component_id, payload.job,
                  payload.sheet, payload.sheet_revision, utc_text(event.at), event.person_id, None, None, "", None))


@project.register
def _(payload: CourseStepped, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    connection.execute(_STEP, (entry.event.id, payload.course_id, utc_text(entry.event.at)))


@project.register
def _(payload: CourseEnded, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    connection.execute(
        _END, (utc_text(entry.event.at), payload.outcome, payload.reason, payload.record_id, payload.course_id))


@project.register
def _(payload: JobScheduled, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(
        _SCHEDULED, (event.id, payload.unit_id, payload.component_id, payload.job, payload.reason, utc_text(event.at),
                     payload.hours, payload.after_hours, payload.after_days))
