"""Findings: opened by a job or by hand; closed by a job, by the part going, or by a lead with a reason."""

from __future__ import annotations

import sqlite3

from kiosk.entities import Finding, ServiceRecord
from kiosk.events import FindingClosed, FindingOpened, JournalEntry
from kiosk.records.instants import utc_text
from kiosk.records.models import FindingRow, insert_statement
from kiosk.records.projections.registry import project

_OPEN = insert_statement(FindingRow)
_CLOSE = """UPDATE finding SET closed_at = ?, closed_by = ?, closed_reason = ?, closing_record_id = ?
    WHERE id = ? AND closed_at IS NULL"""
_OPEN_ONES = "SELECT id FROM finding WHERE component_id = ? AND closed_at IS NULL"
_OPENED_BY = "SELECT id FROM finding WHERE record_id = ? AND component_id = ? AND closed_at IS NULL"
_REOPEN = """UPDATE finding SET closed_at = NULL, closed_by = NULL, closed_reason = '', closing_record_id = NULL
    WHERE closing_record_id = ? AND component_id = ?"""
_MOVE_OPENED = """UPDATE finding SET record_id = ?, component_id = ?, position_id = ?, unit_id = ?
    WHERE record_id = ? AND component_id = ?"""
_MOVE_CLOSED = "UPDATE finding SET closing_record_id = ? WHERE closing_record_id = ? AND component_id = ?"
_BY_A_RECORD = "closed by a job"
_BY_REPLACEMENT = "the part was replaced"


@project.register
def _(payload: FindingOpened, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    open_finding(connection, payload.finding)


@project.register
def _(payload: FindingClosed, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(_CLOSE, (utc_text(event.at), event.person_id, payload.reason, None, payload.finding_id))


def open_finding(connection: sqlite3.Connection, finding: Finding) -> None:
    """Put a finding on record as it is."""
    closed_at = None if finding.closed_at is None else utc_text(finding.closed_at)
    connection.execute(
        _OPEN, (finding.id, finding.unit_id, finding.position_id, finding.component_id, finding.text,
                utc_text(finding.opened_at), finding.opened_by, finding.record_id, closed_at, finding.closed_by,
                finding.closed_reason, None, finding.severity))


def close_by_record(connection: sqlite3.Connection, finding_id: str, record: ServiceRecord,
                    reason: str = _BY_A_RECORD) -> None:
    """Close an open finding by the record that put it right."""
    connection.execute(_CLOSE, (utc_text(record.at), record.person_id, reason, record.id, finding_id))


def close_of_component(connection: sqlite3.Connection, component_id: str, record: ServiceRecord) -> None:
    """Close every open finding of a part that was replaced."""
    for (finding_id,) in connection.execute(_OPEN_ONES, (component_id,)).fetchall():
        close_by_record(connection, finding_id, record, _BY_REPLACEMENT)


def undo(connection: sqlite3.Connection, record: ServiceRecord, entry: JournalEntry, reason: str) -> None:
    """After a record was annulled: what it opened is closed, what it closed is open again."""
    event = entry.event
    for (finding_id,) in connection.execute(_OPENED_BY, (record.id, record.component_id)).fetchall():
        connection.execute(_CLOSE, (utc_text(event.at), event.person_id, reason, None, finding_id))
    connection.execute(_REOPEN, (record.id, record.component_id))


def follow(connection: sqlite3.Connection, old: ServiceRecord, new: ServiceRecord) -> None:
    """After a record was corrected: its findings belong to the new record, and to the part that it names.

    What the old record closed stays closed, unless the work turns out to have been done on another part.
    """
    if new.component_id == old.component_id:
        connection.execute(_MOVE_CLOSED, (new.id, old.id, old.component_id))
    else:
        connection.execute(_REOPEN, (old.id, old.component_id))
    connection.execute(
        _MOVE_OPENED, (new.id, new.component_id, new.position_id, new.unit_id, old.id, old.component_id))
