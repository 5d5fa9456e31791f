"""The open database: SQLite in WAL mode, every commit durable, one writer at a time.

Tests open it the same way as the kiosk does. Each thread gets a connection of its own; a worker closes its with
`in_worker`. Nothing outside this folder sees a connection or SQL.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import peewee

from kiosk.records.troubles import Trouble, translated, unavailable

BUSY_TIMEOUT_MS = 5000


def _pragmas(busy_timeout_ms: int) -> list[tuple[str, Any]]:
    """Return what every connection is set to, in this order."""
    return [
        ("busy_timeout", busy_timeout_ms),
        # A file just created passes to WAL through a journal whose removal only EXTRA makes durable; in WAL
        # mode itself FULL syncs each commit.
        ("synchronous", "EXTRA"),
        ("journal_mode", "WAL"),
        ("synchronous", "FULL"),
        ("foreign_keys", "ON"),
        # So that INSERT OR REPLACE cannot go round the journal's triggers.
        ("recursive_triggers", "ON"),
        ("cache_size", -16_000),
    ]


class _Database(peewee.SqliteDatabase):
    """peewee's database, but a rollback after a failed commit does not hide why the commit failed."""

    def rollback(self) -> None:
        if self.connection().in_transaction:  # type: ignore[no-untyped-call]
            super().rollback()


_Identity = tuple[int, int]


def _identity(path: Path) -> _Identity | None:
    """Return what a file is known by whatever its name, None if there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


class Store:
    """One database file, open.

    Args:
        path: The file; made if it is not there.
        busy_timeout_ms: How long a write waits for another program's. [ms]

    Raises:
        StoreUnavailable: it cannot be opened, or is not in WAL mode.
    """

    def __init__(self, path: Path, busy_timeout_ms: int = BUSY_TIMEOUT_MS) -> None:
        self.path = path
        self._files: tuple[_Identity | None, _Identity | None] | None = None
        self._database = _Database(str(path), pragmas=_pragmas(busy_timeout_ms), lock_type="IMMEDIATE",
                                   timeout=busy_timeout_ms / 1000)
        try:
            with translated(path):
                self._database.connect()
                self._demand_wal()
        except BaseException:
            self.close()
            raise

    def _demand_wal(self) -> None:
        """SQLite answers with the mode it could set: a commit in any other mode can be lost in a power cut."""
        mode = self._database.pragma("journal_mode")
        if mode != "wal":
            raise unavailable(Trouble.READ_ONLY, self.path, f"journal_mode is {mode!r}, not 'wal'")

    def close(self) -> None:
        """Close this thread's connection; closing twice does no harm."""
        if not self._database.is_closed():
            self._database.close()
            self._files = None

    @contextmanager
    def in_worker(self) -> Iterator[None]:
        """Give the calling worker thread a connection and close it at the end."""
        try:
            yield
        finally:
            self.close()

    @contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """One act: all of what is written inside is saved, durably, or none of it.

        Raises:
            StoreUnavailable: full, read-only, locked, damaged or gone; nothing was saved.
            RecordError: the database refused what was written; nothing was saved.
        """
        with translated(self.path), self._database.atomic():
            self._demand_same_files()
            yield self.connection()

    def _demand_same_files(self) -> None:
        """Refuse to write into files that no longer bear their names: SQLite would go on into what nobody finds again.

        Raises:
            StoreUnavailable: the file or its log was removed, or another file was put in its place.
        """
        now = (_identity(self.path), _identity(self.path.with_name(f"{self.path.name}-wal")))
        if self._files is None:
            self._files = now
        if None in now or now != self._files:
            raise unavailable(Trouble.MOVED, self.path, "the file or its log is not the one that was opened")

    def connection(self) -> sqlite3.Connection:
        """Return this thread's connection, for statements written once and run often."""
        found: sqlite3.Connection = self._database.connection()  # type: ignore[no-untyped-call]
        return found

    def rows(self, query: peewee.SelectBase) -> list[Any]:
        """Return the rows of a peewee query as plain tuples."""
        with translated(self.path):
            return list(self._cursor(query).fetchall())

    def row(self, query: peewee.SelectBase) -> Any:
        """Return the first row of a peewee query, None if there is none."""
        with translated(self.path):
            return self._cursor(query).fetchone()

    def _cursor(self, query: peewee.SelectBase) -> sqlite3.Cursor:
        found: sqlite3.Cursor = self._database.execute(query)  # type: ignore[no-untyped-call]
        return found

    def sql(self, statement: str, values: Sequence[Any] = ()) -> list[Any]:
        """Return the rows of a statement written by hand; values only through its parameters."""
        with translated(self.path):
            return self.connection().execute(statement, values).fetchall()
