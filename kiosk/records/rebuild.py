"""Makes the tables again from the journal, and compares two sets of tables row by row."""

from __future__ import annotations

import sqlite3

from peewee import Model

from kiosk.events import JournalEntry
from kiosk.records.journal import entries
from kiosk.records.models import PROJECTIONS, column_names, table_name
from kiosk.records.projections import project


def rebuild(connection: sqlite3.Connection) -> int:
    """Empty every table and fill it from the journal; return how many entries were read.

    Runs inside the transaction that the caller opened: until it ends, everybody sees the tables as they were.
    """
    for model in reversed(PROJECTIONS):
        connection.execute(f"DELETE FROM {table_name(model)}")
    return sum(_apply(entry, connection) for entry in entries(connection))


def differences(connection: sqlite3.Connection, other: sqlite3.Connection) -> list[str]:
    """Return the names of the tables whose rows are not the same in both databases."""
    return [table_name(model) for model in PROJECTIONS if _rows(connection, model) != _rows(other, model)]


def _apply(entry: JournalEntry, connection: sqlite3.Connection) -> int:
    project(entry.event.payload, entry, connection)
    return 1


def _rows(connection: sqlite3.Connection, model: type[Model]) -> list[tuple[object, ...]]:
    columns = ", ".join(column_names(model))
    return connection.execute(f"SELECT {columns} FROM {table_name(model)} ORDER BY {columns}").fetchall()
