"""One part goes, another comes: the old one's end, the new one's beginning, labels, findings and the record."""

from __future__ import annotations

import sqlite3

from kiosk.entities import Component, ServiceRecord
from kiosk.events import ComponentReplaced, JournalEntry
from kiosk.records.instants import utc_text
from kiosk.records.projections import findings, labels, parts, work
from kiosk.records.projections.registry import project

_LABEL_OF = "SELECT label FROM component WHERE id = ?"
_SUCCESSOR = "SELECT replaced_by, retired_reason FROM component WHERE id = ?"
_INSTALLED = "UPDATE component SET installed_at = ?, installed_hours = ? WHERE id = ?"


@project.register
def _(payload: ComponentReplaced, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    new, record = payload.new_component, payload.record
    (old_label,) = connection.execute(_LABEL_OF, (payload.old_component_id,)).fetchone()
    parts.retire(connection, payload.old_component_id, record, payload.reason, new.id)
    labels.retire(connection, old_label, record.at, _now_here(new, record))
    parts.install(connection, new)
    work.add_record(connection, record)
    findings.close_of_component(connection, payload.old_component_id, record)


def follow(connection: sqlite3.Connection, record: ServiceRecord) -> None:
    """Let the old part's end and the new part's beginning follow a corrected replace record."""
    new_id, reason = connection.execute(_SUCCESSOR, (record.component_id,)).fetchone()
    parts.retire(connection, record.component_id, record, reason, new_id)
    connection.execute(_INSTALLED, (utc_text(record.at), record.hours, new_id))


def _now_here(new: Component, record: ServiceRecord) -> str:
    return f"replaced on {record.at:%Y-%m-%d}; the part here now is {new.description}, label {new.label}"
