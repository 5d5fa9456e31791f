"""Parts: installed, retired, and their properties as jobs change them."""

from __future__ import annotations

import sqlite3
from typing import Any

from kiosk.entities import Component, ServiceRecord
from kiosk.records import codec
from kiosk.records.instants import utc_text
from kiosk.records.models import ComponentRow, PropertyChangeRow, insert_statement
from kiosk.records.projections import labels

_COMPONENT = insert_statement(ComponentRow)
_RETIRE = """UPDATE component SET retired_at = ?, retired_hours = ?, retired_reason = ?, replaced_by = ?
    WHERE id = ?"""
_CHANGE = insert_statement(PropertyChangeRow)
_CHANGES = "SELECT changes FROM property_change WHERE component_id = ? ORDER BY at, record_id"
_FIRST_PROPERTIES = "SELECT first_properties FROM component WHERE id = ?"
_SET_PROPERTIES = "UPDATE component SET properties = ? WHERE id = ?"


def install(connection: sqlite3.Connection, component: Component) -> None:
    """Put a part on record at its position and bind its label."""
    properties = codec.properties_text(component.properties)
    retired_at = None if component.retired_at is None else utc_text(component.retired_at)
    connection.execute(
        _COMPONENT, (component.id, component.sheet, component.position_id, component.unit_id, component.description,
                     component.label, utc_text(component.installed_at), component.installed_hours, retired_at,
                     component.retired_hours, component.retired_reason, component.replaced_by, properties, properties))
    labels.bind_if_issued(connection, component.label, component.id)


def retire(connection: sqlite3.Connection, component_id: str, record: ServiceRecord, reason: str,
           new_id: str) -> None:
    """Take a part off record at the record's time and hours; `new_id` came in its place."""
    connection.execute(_RETIRE, (utc_text(record.at), record.hours, reason, new_id, component_id))


def change_properties(connection: sqlite3.Connection, record: ServiceRecord, changes: dict[str, Any]) -> None:
    """Note what a record changed of its part's properties, and work the properties out again."""
    text = codec.properties_text(changes)
    connection.execute(_CHANGE, (record.id, record.component_id, utc_text(record.at), text))
    work_out_properties(connection, record.component_id)


def work_out_properties(connection: sqlite3.Connection, component_id: str) -> None:
    """Set a part's properties to those it came with, changed by each record in the order of time."""
    (first,) = connection.execute(_FIRST_PROPERTIES, (component_id,)).fetchone()
    properties = codec.properties_from_text(first)
    for (changes,) in connection.execute(_CHANGES, (component_id,)).fetchall():
        properties |= codec.properties_from_text(changes)
    connection.execute(_SET_PROPERTIES, (codec.properties_text(properties), component_id))
