"""A log of how to take back what entries did to the tables, so that an entry can still be worked in before them.

Triggers on every table that is made from the journal note the row that was there before. They are made here, not in a
migration: every migration may change the tables. In a yard with one kiosk the switch is off and nothing is noted.
"""

from __future__ import annotations

import sqlite3
from functools import cache

from peewee import Model

from kiosk.records.models import PROJECTIONS, column_names, table_name

MOST_COLUMNS = 24
_PREFIX = "undo_of_"
_OURS = f"SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND name GLOB '{_PREFIX}*'"
_IS_THERE = "SELECT 1 FROM sqlite_master WHERE name = 'undo_step'"
_LAST_STEP = "SELECT coalesce(max(step), 0) FROM undo_step"
_BACK = "SELECT * FROM undo_step WHERE step > ? ORDER BY step DESC"
# The newest stays in any case, so that steps never begin anew while an entry's step is known.
_FORGET = "DELETE FROM undo_step WHERE step <= ? AND step < (SELECT max(step) FROM undo_step)"


def lay_down(connection: sqlite3.Connection) -> None:
    """Remove the triggers and forget what was noted: the tables are about to be changed."""
    for name, _ in connection.execute(_OURS).fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    if connection.execute(_IS_THERE).fetchone():
        forget_all(connection)
        connection.execute("UPDATE entry_place SET step = -1 WHERE step IS NOT NULL")


def has_triggers(connection: sqlite3.Connection) -> bool:
    """Whether the triggers are those that the tables need now."""
    return dict(connection.execute(_OURS).fetchall()) == _wanted()


def make_triggers(connection: sqlite3.Connection) -> None:
    """Make the triggers that the tables need now."""
    lay_down(connection)
    for text in _wanted().values():
        connection.execute(text)


@cache
def _wanted() -> dict[str, str]:
    """Return every trigger by name; put together once, for records are opened often."""
    return {name: text for model in PROJECTIONS for name, text in _triggers(model).items()}


def is_recording(connection: sqlite3.Connection) -> bool:
    """Whether what entries do is noted: there are several kiosks."""
    found = connection.execute("SELECT recording FROM undo_switch").fetchone()
    return bool(found and found[0])


def record(connection: sqlite3.Connection, on: bool) -> None:
    """Begin or end to note what entries do."""
    connection.execute("UPDATE undo_switch SET recording = ?", (int(on),))


def last_step(connection: sqlite3.Connection) -> int:
    """Return the number of the last step that was noted, 0 for none."""
    found: int = connection.execute(_LAST_STEP).fetchone()[0]
    return found


def back_to(connection: sqlite3.Connection, step: int) -> None:
    """Bring every table back to what it was after a step."""
    record(connection, False)
    for _, table, act, *values in connection.execute(_BACK, (step,)).fetchall():
        statement, count, key_count = _reversing(table, act)
        row = values[:count]
        connection.execute(statement, row if act != "update" else (*row[key_count:], *row[:key_count]))
    connection.execute("DELETE FROM undo_step WHERE step > ?", (step,))
    record(connection, True)


def forget_until(connection: sqlite3.Connection, step: int) -> None:
    """Forget how to take back what was done up to a step."""
    connection.execute(_FORGET, (step,))


def forget_all(connection: sqlite3.Connection) -> None:
    """Forget everything; the tables are about to be made anew."""
    connection.execute("DELETE FROM undo_step")


def _keys(model: type[Model]) -> tuple[str, ...]:
    key = model._meta.primary_key
    return tuple(getattr(key, "field_names", ())) or (str(getattr(key, "column_name", "")),)


def _keys_first(model: type[Model]) -> tuple[str, ...]:
    """Return a table's columns, those of its key before the others."""
    keys = _keys(model)
    return (*keys, *(column for column in column_names(model) if column not in keys))


def _triggers(model: type[Model]) -> dict[str, str]:
    table, keys, columns = table_name(model), _keys(model), _keys_first(model)
    if len(columns) > MOST_COLUMNS:
        raise ValueError(f"{table} has more columns than the undo log")
    return {
        f"{_PREFIX}{table}_insert": _trigger(table, "insert", "NEW", keys),
        f"{_PREFIX}{table}_update": _trigger(table, "update", "OLD", columns, keys),
        f"{_PREFIX}{table}_delete": _trigger(table, "delete", "OLD", columns),
    }


def _trigger(table: str, act: str, which: str, columns: tuple[str, ...], same: tuple[str, ...] = ()) -> str:
    values = ", ".join(f"{which}.{column}" for column in columns)
    into = ", ".join(f"v{number}" for number in range(len(columns)))
    moved = " OR ".join(f"OLD.{key} IS NOT NEW.{key}" for key in same)
    guard = f"SELECT RAISE(ABORT, 'a row keeps its key') WHERE {moved}; " if same else ""
    return (f"CREATE TRIGGER {_PREFIX}{table}_{act} AFTER {act.upper()} ON {table} "
            f"WHEN (SELECT recording FROM undo_switch) BEGIN {guard}"
            f"INSERT INTO undo_step (table_name, act, {into}) VALUES ('{table}', '{act}', {values}); END")


@cache
def _reversing(table: str, act: str) -> tuple[str, int, int]:
    """Return the statement that takes an act back, how many values it takes, and how many of them are the key."""
    model = next(each for each in PROJECTIONS if table_name(each) == table)
    keys, columns = _keys(model), _keys_first(model)
    where = " AND ".join(f"{key} = ?" for key in keys)
    if act == "insert":
        return f"DELETE FROM {table} WHERE {where}", len(keys), len(keys)
    if act == "delete":
        marks = ", ".join("?" * len(columns))
        return f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})", len(columns), len(keys)
    # A row that is all key is never changed.
    changes = ", ".join(f"{column} = ?" for column in columns[len(keys):])
    return f"UPDATE {table} SET {changes} WHERE {where}", len(columns), len(keys)
