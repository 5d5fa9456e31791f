"""Corrections: the old record stays, everything derived follows the record that holds now."""

from __future__ import annotations

import sqlite3
from typing import Any

from kiosk.entities import JobType, ServiceRecord
from kiosk.events import JournalEntry, RecordCorrected
from kiosk.records import codec
from kiosk.records.instants import utc_text
from kiosk.records.models import CorrectionRow, insert_statement
from kiosk.records.projections import findings, parts, replacement, work
from kiosk.records.projections.registry import project

_CORRECTION = insert_statement(CorrectionRow)
_RECORD = "SELECT body FROM journal WHERE id = ?"
_FLAG = "UPDATE record SET corrected_by = ? WHERE id = ?"
_DROP_HOURS = "DELETE FROM hour_reading WHERE unit_id = ? AND at = ? AND source_id = ?"
_DROP_READING = "DELETE FROM reading WHERE component_id = ? AND quantity = ? AND at = ? AND record_id = ?"
_DROP_LAST_DONE = "DELETE FROM last_done WHERE component_id = ? AND job = ? AND record_id = ?"
_LAST_DONE_AGAIN = """INSERT INTO last_done (component_id, job, at, record_id, hours, person_id)
    SELECT component_id, job, at, id, hours, person_id FROM record
    WHERE component_id = ? AND job = ? AND corrected_by IS NULL ORDER BY at DESC, id DESC LIMIT 1
    ON CONFLICT DO NOTHING"""
_CHANGES_OF = "SELECT changes FROM property_change WHERE record_id = ?"
_DROP_CHANGES = "DELETE FROM property_change WHERE record_id = ?"


@project.register
def _(payload: RecordCorrected, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event, new = entry.event, payload.replacement
    (text,) = connection.execute(_RECORD, (payload.record_id,)).fetchone()
    old = codec.record_of_body(text)
    changed = _withdraw(connection, old, event.id)
    if new is None:
        findings.undo(connection, old, entry, f"the record was annulled: {payload.reason}")
    else:
        _put_in_its_place(connection, old, new, _changes_now(payload, changed))
    connection.execute(_CORRECTION, (old.id, event.id, utc_text(event.at), event.person_id, payload.reason,
                                     None if new is None else new.id))


def _withdraw(connection: sqlite3.Connection, old: ServiceRecord, event_id: str) -> dict[str, Any]:
    """Flag a record as corrected, take back what was derived from it, and return the properties it had changed."""
    at = utc_text(old.at)
    connection.execute(_FLAG, (event_id, old.id))
    connection.execute(_DROP_HOURS, (old.unit_id, at, old.id))
    for quantity in {reading.quantity for reading in old.readings}:
        connection.execute(_DROP_READING, (old.component_id, quantity, at, old.id))
    connection.execute(_DROP_LAST_DONE, (old.component_id, old.job, old.id))
    connection.execute(_LAST_DONE_AGAIN, (old.component_id, old.job))
    return _withdraw_changes(connection, old)


def _withdraw_changes(connection: sqlite3.Connection, old: ServiceRecord) -> dict[str, Any]:
    found = connection.execute(_CHANGES_OF, (old.id,)).fetchone()
    if found is None:
        return {}
    connection.execute(_DROP_CHANGES, (old.id,))
    parts.work_out_properties(connection, old.component_id)
    return codec.properties_from_text(found[0])


def _changes_now(payload: RecordCorrected, changed: dict[str, Any]) -> dict[str, Any]:
    """Return what the replacement changes of its part: what it says, or what the old record had changed."""
    return changed if payload.new_properties is None else payload.new_properties


def _put_in_its_place(connection: sqlite3.Connection, old: ServiceRecord, new: ServiceRecord,
                      changes: dict[str, Any]) -> None:
    work.add_record(connection, new)
    findings.follow(connection, old, new)
    if changes:
        parts.change_properties(connection, new, changes)
    if old.job_type is JobType.REPLACE:
        replacement.follow(connection, new)
