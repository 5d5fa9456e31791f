"""Service records and what is derived from them: readings for trends, last times, hours."""

from __future__ import annotations

import sqlite3

from kiosk.entities import ServiceRecord
from kiosk.events import CautionsConfirmed, HoursRead, JobDone, JournalEntry
from kiosk.records.instants import utc_text
from kiosk.records.models import (
    CautionConfirmedRow,
    HourReadingRow,
    LastDoneRow,
    ReadingRow,
    RecordRow,
    insert_statement,
)
from kiosk.records.projections import conflicts, findings, parts, work_in_hand
from kiosk.records.projections.registry import project

# Where the entry stands in the journal is looked up where it is written down: a rebuild finds it the same way.
_RECORD = insert_statement(RecordRow).removesuffix("?)") + "(SELECT arrival FROM journal WHERE id = ?))"
_READING = insert_statement(ReadingRow)
_HOURS = insert_statement(HourReadingRow)
_CONFIRMED = f"{insert_statement(CautionConfirmedRow)} ON CONFLICT DO NOTHING"
_LAST_DONE = f"""{insert_statement(LastDoneRow)}
    ON CONFLICT (component_id, job) DO UPDATE
    SET at = excluded.at, record_id = excluded.record_id, hours = excluded.hours, person_id = excluded.person_id
    WHERE (excluded.at, excluded.record_id) > (last_done.at, last_done.record_id)"""


@project.register
def _(payload: JobDone, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    add_record(connection, payload.record)
    work_in_hand.settle(connection, payload.record)
    if payload.new_properties:
        parts.change_properties(connection, payload.record, payload.new_properties)
    for finding in payload.findings_opened:
        findings.open_finding(connection, finding)
    for finding_id in payload.findings_closed:
        findings.close_by_record(connection, finding_id, payload.record)
    conflicts.after_work(connection, entry, payload.record)


@project.register
def _(payload: HoursRead, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(_HOURS, (payload.unit_id, utc_text(event.at), event.id, payload.hours, event.person_id))


@project.register
def _(payload: CautionsConfirmed, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    at, person_id = utc_text(entry.event.at), entry.event.person_id
    connection.executemany(
        _CONFIRMED, [(payload.unit_id, payload.shift, person_id, caution, at) for caution in payload.cautions])


def add_record(connection: sqlite3.Connection, record: ServiceRecord) -> None:
    """Add a record that holds, and all that follows from it."""
    at = utc_text(record.at)
    connection.execute(
        _RECORD, (record.id, record.component_id, record.position_id, record.unit_id, record.job, at, record.hours,
                  record.person_id, record.verdict, record.strokes, None, record.job_type, record.id))
    connection.execute(_HOURS, (record.unit_id, at, record.id, record.hours, record.person_id))
    connection.execute(
        _LAST_DONE, (record.component_id, record.job, at, record.id, record.hours, record.person_id))
    if record.readings:
        connection.executemany(_READING, _reading_rows(record, at))


def _reading_rows(record: ServiceRecord, at: str) -> list[tuple[object, ...]]:
    return [(record.component_id, reading.quantity, at, record.id, place, reading.side, reading.phase, record.hours,
             reading.value)
            for place, reading in enumerate(record.readings)]
