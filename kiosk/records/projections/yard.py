"""The yard, its crew, its machines and their places, the service sheets in force."""

from __future__ import annotations

import sqlite3

from kiosk.entities import Assembly, Position
from kiosk.events import JournalEntry, PersonAdded, SheetAdopted, UnitAdded, YardNamed
from kiosk.records.instants import utc_text
from kiosk.records.models import (
    AssemblyRow,
    PersonRow,
    PositionRow,
    SheetTextRow,
    UnitRow,
    YardRow,
    insert_statement,
    upsert_statement,
)
from kiosk.records.projections import conflicts
from kiosk.records.projections.labels import bind_if_issued
from kiosk.records.projections.registry import project

_YARD = upsert_statement(YardRow)
_PERSON = upsert_statement(PersonRow)
_UNIT = upsert_statement(UnitRow)
_ASSEMBLY = upsert_statement(AssemblyRow)
_POSITION = upsert_statement(PositionRow)
_SHEET = insert_statement(SheetTextRow)
_TEXT = "SELECT text FROM sheet_text WHERE sheet = ? AND revision = ?"
_LATER = "SELECT 1 FROM sheet_text WHERE sheet = ? AND revision > ? LIMIT 1"


@project.register
def _(payload: YardNamed, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    connection.execute(_YARD, (1, payload.name))


@project.register
def _(payload: PersonAdded, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    person = payload.person
    connection.execute(
        _PERSON, (person.id, person.name, person.role, person.badge, person.units, person.language))
    bind_if_issued(connection, person.badge, person.id)


@project.register
def _(payload: UnitAdded, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    unit = payload.unit
    connection.execute(_UNIT, (unit.id, unit.name, unit.design, unit.label, unit.description))
    bind_if_issued(connection, unit.label, unit.id)
    connection.executemany(_ASSEMBLY, map(_assembly_row, payload.assemblies))
    connection.executemany(_POSITION, map(_position_row, payload.positions))


@project.register
def _(payload: SheetAdopted, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    sheet, revision, text = payload.sheet, payload.revision, payload.text
    there = connection.execute(_TEXT, (sheet, revision)).fetchone()
    if there is not None:
        if there[0] != text:
            conflicts.sheet_twice(connection, entry, sheet, revision)
        return
    connection.execute(_SHEET, (sheet, revision, text, utc_text(entry.event.at)))
    if connection.execute(_LATER, (sheet, revision)).fetchone() is None:
        conflicts.sheet_settled(connection, entry, sheet, revision)


def _assembly_row(assembly: Assembly) -> tuple[str, ...]:
    return (assembly.id, assembly.unit_id, assembly.name, assembly.design)


def _position_row(position: Position) -> tuple[object, ...]:
    return (position.id, position.unit_id, position.assembly_id, position.name, position.sheet, position.side,
            position.x, position.y, position.walk_order)
