"""What stands in the tables of a kiosk, to be compared with another's."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path

from kiosk.records.models import PROJECTIONS, column_names, table_name

# Where an entry stands in a kiosk's own file; no two kiosks have it the same.
LOCAL_COLUMNS = {"arrival"}


def tables(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Return {table: its rows} of every table that is made from the journal."""
    with closing(sqlite3.connect(path)) as connection:
        return {name: connection.execute(f"SELECT {columns} FROM {name} ORDER BY {columns}").fetchall()
                for name, columns in ((table_name(model), _columns(model)) for model in PROJECTIONS)}


def digests(path: Path) -> dict[str, str]:
    """Return {table: a digest of its rows}."""
    return {name: hashlib.sha256(repr(rows).encode()).hexdigest() for name, rows in tables(path).items()}


def journal_rows(path: Path, kiosk: int, after: int = 0, limit: int = 1_000_000) -> list[tuple[object, ...]]:
    """Return a kiosk's own entries as they are sent to others."""
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(
            "SELECT kiosk, seq, id, at, kind, person_id, body, previous_hash, hash FROM journal "
            "WHERE kiosk = ? AND seq > ? ORDER BY seq LIMIT ?", (kiosk, after, limit)).fetchall()


def _columns(model: type) -> str:
    return ", ".join(column for column in column_names(model) if column not in LOCAL_COLUMNS)
