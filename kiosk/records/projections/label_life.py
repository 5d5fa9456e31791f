"""What becomes of a label: another one in its place, swapped, found loose, seen, and its way through the printer."""

from __future__ import annotations

import json
import sqlite3

from kiosk.entities import PrintState
from kiosk.events import (
    JournalEntry,
    LabelFound,
    LabelPrintMoved,
    LabelPrintQueued,
    LabelReplaced,
    LabelSeen,
    LabelsSwapped,
)
from kiosk.records.instants import utc_text
from kiosk.records.models import LabelFoundRow, LabelPrintRow, LabelSeenRow, insert_statement
from kiosk.records.projections import labels
from kiosk.records.projections.registry import project

_PRINT = insert_statement(LabelPrintRow)
_MOVED = "UPDATE label_print SET state = ?, note = ?, job = coalesce(?, job), moved_at = ? WHERE id = ?"
_AGAIN = "UPDATE label_print SET state = ?, note = ?, job = NULL, moved_at = ? WHERE id = ?"
_SEEN = insert_statement(LabelSeenRow)
_FOUND = insert_statement(LabelFoundRow)
_LABEL_OF = "SELECT label FROM component WHERE id = ?"
_RELABEL = "UPDATE component SET label = ? WHERE id = ?"
_REBIND = "UPDATE label SET subject_id = ? WHERE number = ?"


@project.register
def _(payload: LabelReplaced, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    labels.retire(connection, payload.old_number, entry.event.at, payload.reason)
    connection.execute(_RELABEL, (payload.new_number, payload.component_id))
    labels.bind_if_issued(connection, payload.new_number, payload.component_id)


@project.register
def _(payload: LabelsSwapped, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    one, other = payload.component_id, payload.other_component_id
    (label_of_one,) = connection.execute(_LABEL_OF, (one,)).fetchone()
    (label_of_other,) = connection.execute(_LABEL_OF, (other,)).fetchone()
    for component_id, number in ((one, label_of_other), (other, label_of_one)):
        connection.execute(_RELABEL, (number, component_id))
        connection.execute(_REBIND, (component_id, number))


@project.register
def _(payload: LabelFound, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(_FOUND, (event.id, payload.number, utc_text(event.at), payload.where, event.person_id))


@project.register
def _(payload: LabelSeen, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    seen = payload.sighting
    connection.execute(_SEEN, (payload.number, utc_text(seen.at), entry.event.id, seen.source, seen.how, seen.tries,
                               seen.took_ms, seen.grade))


@project.register
def _(payload: LabelPrintQueued, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    at = utc_text(entry.event.at)
    connection.execute(_PRINT, (entry.event.id, entry.kiosk, payload.number, json.dumps(payload.lines), payload.copies,
                                payload.reason, PrintState.QUEUED, "", None, at, at))


@project.register
def _(payload: LabelPrintMoved, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    at = utc_text(entry.event.at)
    if payload.state is PrintState.QUEUED:  # what the printer knew of the first try no longer counts
        connection.execute(_AGAIN, (payload.state, payload.note, at, payload.print_id))
    else:
        connection.execute(_MOVED, (payload.state, payload.note, payload.job, at, payload.print_id))
