"""Journal entries that are newer than a backup, read from records that may be damaged.

The old file is copied and only the copy is opened. An entry counts when it follows, by its hash, the last entry of the
backup or the last that was saved from the old file: so nothing that the disk or a hand has changed is carried over. If
the file's first page is gone, the backup's is tried in its place: both have the same tables.
"""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kiosk.errors import StoreUnavailable
from kiosk.records import chain
from kiosk.records.journal import entry_of_row
from kiosk.records.models import JournalRow, column_names, insert_statement
from kiosk.records.projections import project
from kiosk.records.rebuild import rebuild
from kiosk.records.store import Store
from kiosk.records.verify import Head, verify
from kiosk.records.yard_order import has_several_kiosks

_ROW = f"SELECT {', '.join(column_names(JournalRow))} FROM journal WHERE arrival = ?"
_INSERT = insert_statement(JournalRow)
# Behind so many places without a readable entry in a row nothing more is looked for.
_PATIENCE = 500
_ARRIVAL, _KIOSK, _SEQ, _AT, _PREVIOUS, _HASH = 0, 1, 2, 4, 8, 9

Row = tuple[Any, ...]


@dataclass(frozen=True)
class Salvage:
    """What the old records hold beyond a backup.

    Args:
        rows: Entries that follow the backup's, in their order.
        stranded: Entries that can be read but do not follow: an entry before them is gone or was changed.
        can_be_read: Whether the old file could be opened at all.
    """

    rows: tuple[Row, ...] = ()
    stranded: int = 0
    can_be_read: bool = False


def newer_entries(old: Path, copy: Path) -> Salvage:
    """Return the entries of the records at `old` that are newer than the verified backup `copy`."""
    with closing(sqlite3.connect(copy)) as backup:
        heads = dict(verify(backup).heads)
        arrival: int = backup.execute("SELECT coalesce(max(arrival), 0) FROM journal").fetchone()[0]
    found = Salvage()
    for first_page in (None, _first_page(copy)):
        with tempfile.TemporaryDirectory() as folder:
            trial = _trial_copy(old, Path(folder), first_page)
            attempt = _read(trial, dict(heads), arrival)
        if len(attempt.rows) > len(found.rows) or (attempt.can_be_read and not found.can_be_read):
            found = attempt
        if found.can_be_read:
            break
    return found


def carry_over(rows: tuple[Row, ...], target: Path) -> None:
    """Append saved entries to the records at `target` as they stand and bring them into the tables."""
    store = Store(target)
    try:
        with store.transaction() as connection:
            last: int = connection.execute("SELECT coalesce(max(arrival), 0) FROM journal").fetchone()[0]
            for arrival, row in enumerate(rows, last + 1):
                connection.execute(_INSERT, (arrival, *row[1:]))
            if has_several_kiosks(connection):  # their order is not that in which they came
                rebuild(connection)
            else:
                for row in rows:
                    entry = entry_of_row(row)
                    project(entry.event.payload, entry, connection)
        # One file again, without a log beside it.
        store.sql("PRAGMA journal_mode = DELETE")
    finally:
        store.close()


def _first_page(copy: Path) -> bytes:
    with copy.open("rb") as file:
        header = file.read(100)
        size = int.from_bytes(header[16:18], "big")  # 1 stands for 65,536, says SQLite's file format
        file.seek(0)
        return file.read(65_536 if size == 1 else size)


def _trial_copy(old: Path, folder: Path, first_page: bytes | None) -> Path:
    trial = folder / old.name
    shutil.copyfile(old, trial)
    log = old.with_name(f"{old.name}-wal")
    if log.exists():
        shutil.copyfile(log, trial.with_name(log.name))
    if first_page is not None:
        with trial.open("r+b") as file:
            # Bytes 28 to 31 tell how many pages there are (SQLite's file format): those of this file.
            pages = trial.stat().st_size // len(first_page)
            file.write(first_page[:28] + pages.to_bytes(4, "big") + first_page[32:])
    return trial


def _read(trial: Path, heads: dict[int, Head], arrival: int) -> Salvage:
    rows: list[Row] = []
    stranded, can_be_read = 0, False
    with closing(sqlite3.connect(trial)) as connection:
        connection.text_factory = lambda raw: raw.decode(errors="replace")
        for row in _rows_after(connection, arrival):
            can_be_read = True
            if row is None:
                continue
            if _follows(row, heads.get(row[_KIOSK], Head(0, chain.GENESIS))):
                rows.append(row)
                heads[row[_KIOSK]] = Head(row[_SEQ], row[_HASH])
            else:
                stranded += 1
    return Salvage(tuple(rows), stranded, can_be_read)


def _rows_after(connection: sqlite3.Connection, arrival: int) -> Iterator[Row | None]:
    """Yield the entries behind a place one by one, past those that cannot be read; None once the file can be read."""
    try:
        connection.execute("SELECT count(*) FROM sqlite_master WHERE name = 'journal'").fetchone()
        connection.execute(_ROW, (1,)).fetchone()
    except sqlite3.Error:
        return
    yield None
    missed = 0
    while missed < _PATIENCE:
        arrival += 1
        try:
            row = connection.execute(_ROW, (arrival,)).fetchone()
        except sqlite3.Error:
            row = None
        missed = 0 if row is not None else missed + 1
        if row is not None:
            yield row


def _follows(row: Row, last: Head) -> bool:
    try:
        chain.demand_as_saved(row[1:])
    except StoreUnavailable:
        return False
    return bool(row[_SEQ] == last.seq + 1 and row[_PREVIOUS] == last.hash)
