"""One part goes, another comes: the old one's end, the new one's beginning, labels, findings and the record."""

from __future__ import annotations

import sqlite3

from kiosk.entities import Component, ServiceRecord
from kiosk.events import ComponentInstalled, ComponentReplaced, JournalEntry
from kiosk.records.instants import utc_text
from kiosk.records.projections import conflicts, findings, labels, parts, work
from kiosk.records.projections.registry import project

# Why a part's time ended when two kiosks had each put one at its position.
GAVE_WAY = "another kiosk put a part here too"
_OLD = "SELECT label, retired_at IS NOT NULL FROM component WHERE id = ?"
_SITS = """SELECT id, description, label, installed_at, installed_hours FROM component
    WHERE position_id = ? AND retired_at IS NULL"""
_GIVE_WAY = """UPDATE component SET retired_at = ?, retired_hours = ?, retired_reason = ?, replaced_by = ?
    WHERE id = ?"""
_FIRST_REPLACE = """SELECT id FROM record WHERE component_id = ? AND job_type = 'replace' AND corrected_by IS NULL
    ORDER BY at, id LIMIT 1"""
_SUCCESSOR = "SELECT replaced_by, retired_reason FROM component WHERE id = ?"
_INSTALLED = "UPDATE component SET installed_at = ?, installed_hours = ? WHERE id = ?"


@project.register
def _(payload: ComponentReplaced, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    new, record, gone = payload.new_component, payload.record, ""
    old_label, old_is_gone = connection.execute(_OLD, (payload.old_component_id,)).fetchone()
    other_id = _replaced_elsewhere(connection, payload.old_component_id) if old_is_gone else None
    if old_is_gone:
        gone = _make_room(connection, new)
    else:
        parts.retire(connection, payload.old_component_id, record, payload.reason, new.id)
        labels.retire(connection, old_label, record.at, _now_here(new, record))
    parts.install(connection, new)
    work.add_record(connection, record)
    findings.close_of_component(connection, payload.old_component_id, record)
    conflicts.after_work(connection, entry, record)
    if gone:
        conflicts.two_parts(connection, entry, new, gone, other_id)


@project.register
def _(payload: ComponentInstalled, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    gone = _make_room(connection, payload.component)
    parts.install(connection, payload.component)
    if gone:
        conflicts.two_parts(connection, entry, payload.component, gone, None)


def _make_room(connection: sqlite3.Connection, new: Component) -> str:
    """Take off record what another kiosk had put at a part's position; return what it was, '' for nothing.

    The journal refuses a second part at a position; two kiosks that did not know of each other can enter one each.
    """
    found = connection.execute(_SITS, (new.position_id,)).fetchone()
    if found is None:
        return ""
    gone_id, description, label, installed_at, installed_hours = found
    at = max(utc_text(new.installed_at), installed_at)
    connection.execute(_GIVE_WAY, (at, max(new.installed_hours, installed_hours), GAVE_WAY, new.id, gone_id))
    labels.retire(connection, label, new.installed_at,
                  f"another kiosk put {new.description}, label {new.label}, at its position")
    return str(description)


def _replaced_elsewhere(connection: sqlite3.Connection, component_id: str) -> str | None:
    found = connection.execute(_FIRST_REPLACE, (component_id,)).fetchone()
    return None if found is None else str(found[0])


def follow(connection: sqlite3.Connection, record: ServiceRecord) -> None:
    """Let the old part's end and the new part's beginning follow a corrected replace record."""
    new_id, reason = connection.execute(_SUCCESSOR, (record.component_id,)).fetchone()
    parts.retire(connection, record.component_id, record, reason, new_id)
    connection.execute(_INSTALLED, (utc_text(record.at), record.hours, new_id))


def _now_here(new: Component, record: ServiceRecord) -> str:
    return f"replaced on {record.at:%Y-%m-%d}; the part here now is {new.description}, label {new.label}"
