"""Work in hand and rounds: opened, handed over, closed; a round's jobs as they are done or left out."""

from __future__ import annotations

import sqlite3

from kiosk.entities import ServiceRecord
from kiosk.events import (
    JournalEntry,
    RoundBegun,
    RoundEnded,
    RoundJobSkipped,
    WorkClosed,
    WorkHandedOver,
    WorkOpened,
)
from kiosk.records.instants import utc_text
from kiosk.records.models import RoundJobRow, WorkHandRow, WorkRow, insert_statement
from kiosk.records.projections.registry import project
from kiosk.work_in_hand import WorkKind

_WORK = insert_statement(WorkRow)
_HAND = insert_statement(WorkHandRow)
_STEP = insert_statement(RoundJobRow)
_LET_GO = "UPDATE work_hand SET until = ? WHERE work_id = ? AND person_id = ? AND until IS NULL"
_ALL_LET_GO = "UPDATE work_hand SET until = ? WHERE work_id = ? AND until IS NULL"
_CLOSE = """UPDATE work SET closed_at = ?, closed_by = ?, closed_reason = ? WHERE id = ? AND closed_at IS NULL"""
_SKIP = """UPDATE round_job SET state = 'skipped', reason = ?, person_id = ?, at = ?
    WHERE round_id = ? AND component_id = ? AND job = ? AND state <> 'done'"""
# A job is done by whoever did it, in the round or beside it; what was left out and is done after all counts as done.
_DONE = """UPDATE round_job SET state = 'done', record_id = ?, reason = '', person_id = ?, at = ?
    WHERE component_id = ? AND job = ? AND state <> 'done'
    AND round_id IN (SELECT id FROM work WHERE kind = 'round' AND closed_at IS NULL)"""


@project.register
def _(payload: WorkOpened, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    _open(entry, connection, (payload.kind, payload.what, payload.unit_id, payload.component_id, payload.job, ""))


@project.register
def _(payload: RoundBegun, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    _open(entry, connection, (WorkKind.ROUND, payload.what, payload.unit_id, "", "", payload.shift))
    connection.executemany(_STEP, [
        (entry.event.id, place, job.unit_id, job.position_id, job.component_id, job.job, "open", None, "", None, None)
        for place, job in enumerate(payload.jobs)])


@project.register
def _(payload: WorkHandedOver, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event, at = entry.event, utc_text(entry.event.at)
    if not payload.together:
        connection.execute(_LET_GO, (at, payload.work_id, payload.giver_id))
    connection.execute(_HAND, (payload.work_id, event.id, event.person_id, at, None, payload.giver_id,
                               payload.how, payload.reason))


@project.register
def _(payload: WorkClosed, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    _close(payload.work_id, payload.reason, entry, connection)


@project.register
def _(payload: RoundEnded, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    _close(payload.round_id, "ended", entry, connection)


@project.register
def _(payload: RoundJobSkipped, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(_SKIP, (payload.reason, event.person_id, utc_text(event.at), payload.round_id,
                               payload.component_id, payload.job))


def settle(connection: sqlite3.Connection, record: ServiceRecord) -> None:
    """Note a job as done in the rounds that go on and have it open."""
    connection.execute(_DONE, (record.id, record.person_id, utc_text(record.at), record.component_id, record.job))


def _open(entry: JournalEntry, connection: sqlite3.Connection, what: tuple[str | None, ...]) -> None:
    event, at = entry.event, utc_text(entry.event.at)
    connection.execute(_WORK, (event.id, *what, at, event.person_id, None, None, ""))
    connection.execute(_HAND, (event.id, event.id, event.person_id, at, None, None, None, ""))


def _close(work_id: str, reason: str, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event, at = entry.event, utc_text(entry.event.at)
    connection.execute(_CLOSE, (at, event.person_id, reason, work_id))
    connection.execute(_ALL_LET_GO, (at, work_id))
