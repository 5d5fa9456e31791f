"""Makes the tables again from the journal, and compares two sets of tables row by row."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

from peewee import Model

from kiosk.records import undo, yard_order
from kiosk.records.journal import entries, entry_of_row
from kiosk.records.models import PROJECTIONS, JournalRow, column_names, table_name
from kiosk.records.projections import project
from kiosk.records.working_in import work_in

# So many of the newest entries can be taken back after a rebuild; entries that come late seldom stand before them.
UNDOABLE = 5_000
_COLUMNS = ", ".join(f"journal.{column}" for column in column_names(JournalRow))
_IN_YARD_ORDER = f"""SELECT {_COLUMNS} FROM entry_place AS place CROSS JOIN journal ON journal.arrival = place.arrival
    ORDER BY place.moment, place.kiosk, place.seq"""

Progress = Callable[[int, int], None]


def _nobody(done: int, total: int) -> None:
    """Show no progress."""


def rebuild(connection: sqlite3.Connection, progress: Progress = _nobody) -> int:
    """Empty every table and fill it from the journal; return how many entries were read.

    Runs inside the transaction that the caller opened: until it ends, everybody sees the tables as they were.

    Args:
        progress: Called now and then with entries worked in and entries in all, where there are several kiosks.
    """
    several = yard_order.has_several_kiosks(connection)
    undo.record(connection, False)
    undo.forget_all(connection)
    for model in reversed(PROJECTIONS):
        connection.execute(f"DELETE FROM {table_name(model)}")
    return _in_yard_order(connection, progress) if several else _as_they_came(connection)


def _as_they_came(connection: sqlite3.Connection) -> int:
    count = 0
    for count, entry in enumerate(entries(connection), 1):  # noqa: B007
        project(entry.event.payload, entry, connection)
    return count


def _in_yard_order(connection: sqlite3.Connection, progress: Progress) -> int:
    yard_order.place_all(connection)
    total: int = connection.execute("SELECT count(*) FROM journal").fetchone()[0]
    for done, row in enumerate(connection.execute(_IN_YARD_ORDER)):
        if done == max(0, total - UNDOABLE):
            undo.record(connection, True)
        step = undo.last_step(connection) if total - done <= UNDOABLE else yard_order.NOT_UNDOABLE
        work_in(connection, entry_of_row(row), row[0], row[5], step)
        if done % 1000 == 0:
            progress(done, total)
    undo.record(connection, True)
    yard_order.note_heads(connection)
    progress(total, total)
    return total


def differences(connection: sqlite3.Connection, other: sqlite3.Connection) -> list[str]:
    """Return the names of the tables whose rows are not the same in both databases."""
    return [table_name(model) for model in PROJECTIONS if _rows(connection, model) != _rows(other, model)]


def _rows(connection: sqlite3.Connection, model: type[Model]) -> list[tuple[object, ...]]:
    columns = ", ".join(column_names(model))
    return connection.execute(f"SELECT {columns} FROM {table_name(model)} ORDER BY {columns}").fetchall()
