"""A copy of the database that counts as taken only after it was opened, checked and compared.

The copy is made in one read transaction, so that writers never start it again, and reaches its name only when it is
good; a file that is there is never overwritten.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from kiosk.errors import RecordError
from kiosk.records.troubles import Trouble, translated, unavailable
from kiosk.records.verify import Head, verify

_PAGES_A_STEP = 2000
_TABLES = "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name"

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class BackupReport:
    """A copy that was taken and found good.

    Args:
        entries: How many journal entries it holds. `heads`: the chain's head of each kiosk.
        size_bytes: Size of the file. [B]
    """

    path: Path
    entries: int
    heads: dict[int, Head]
    size_bytes: int


def backup(source: Path, target: Path, progress: Progress | None = None) -> BackupReport:
    """Copy the database at `source` to the new file `target` and verify the copy.

    Args:
        progress: Called with pages copied and pages in all.

    Raises:
        RecordError: there is a file at `target` already, or the copy is not like the original.
        StoreUnavailable: disk full, not writable, original damaged.
    """
    if target.exists():
        raise RecordError(f"There is a file '{target.name}' already; a backup never overwrites one.")
    part = target.with_name(f"{target.name}.part")
    remove_with_logs(part)
    try:
        counts = _copy(source, part, progress)
        report = _check(part, target, counts)
        _put_in_place(part, target)
    finally:
        remove_with_logs(part)
    return report


def _copy(source: Path, part: Path, progress: Progress | None) -> dict[str, int]:
    """Copy in one read transaction and return the row counts of the original as it was copied."""
    with translated(part), closing(_connect(source)) as original, closing(_connect(part)) as copy:
        original.execute("BEGIN")
        counts = _counts(original)
        original.backup(copy, pages=_PAGES_A_STEP, progress=_progress_of(progress))
        original.execute("COMMIT")
        # One file, without a log beside it that might be left behind.
        copy.execute("PRAGMA journal_mode = DELETE")
    return counts


def _progress_of(progress: Progress | None) -> Callable[[int, int, int], object] | None:
    if progress is None:
        return None
    return lambda _status, remaining, total: progress(total - remaining, total)


def _check(part: Path, target: Path, counts: dict[str, int]) -> BackupReport:
    with translated(part), closing(_connect(part)) as copy:
        answer = copy.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if answer != "ok":
            raise unavailable(Trouble.DAMAGED, part, answer)
        report = verify(copy)
        if report.first_bad is not None:
            raise RecordError(f"The copy is not good and does not count. {report.first_bad.reason}")
        if _counts(copy) != counts:
            raise RecordError("The copy is not good and does not count: it does not hold what the records hold.")
    return BackupReport(target, report.entries, report.heads, part.stat().st_size)


def _put_in_place(part: Path, target: Path) -> None:
    """Let the copy reach the disk before it gets its name, and the name before we say it is there."""
    sync(part)
    os.replace(part, target)
    sync(target.parent)


def remove_with_logs(path: Path) -> None:
    """Remove a database that was not finished: a log left beside it would be taken for the next one's."""
    for ending in ("-journal", "-wal", "-shm", ""):
        path.with_name(path.name + ending).unlink(missing_ok=True)


def sync(path: Path) -> None:
    """Have a file, or the names in a folder, reach the disk."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _connect(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, isolation_level=None)


def _counts(connection: sqlite3.Connection) -> dict[str, int]:
    names = [name for (name,) in connection.execute(_TABLES)]
    return {name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in names}
