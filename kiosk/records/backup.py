"""A copy of the database that counts as taken only after it was opened, checked and compared.

The copy is made in one read transaction, so that writers never start it again, and reaches its name only when it is
good; a file that is there is never overwritten.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from kiosk.errors import RecordError
from kiosk.records.head_note import forget_notes
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
    part.unlink(missing_ok=True)
    try:
        counts = _copy(source, part, progress)
        report = _check(part, target, counts)
        _put_in_place(part, target)
    finally:
        part.unlink(missing_ok=True)
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
    _sync(part)
    os.replace(part, target)
    _sync(target.parent)


def _sync(path: Path) -> None:
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


def restore(copy: Path, target: Path, keep_newer: bool = True) -> Path | None:
    """Put a verified backup in the place of the records and return where the old file is kept, None if there was none.

    The copy is checked first, and nothing changes unless it is good. Close the records before.

    Raises:
        RecordError: no such copy, or its journal was changed.
        StoreUnavailable: the copy is damaged, or the disk will not take it.
    """
    if not copy.exists():
        raise RecordError(f"There is no backup '{copy}'.")
    fresh = target.with_name(f"{target.name}.restoring")
    fresh.unlink(missing_ok=True)
    try:
        backup(copy, fresh)
        _settle(target)
        kept = _kept_aside(target)
        os.replace(fresh, target)
        forget_notes(target)
        _sync(target.parent)
    finally:
        fresh.unlink(missing_ok=True)
    return kept


def _settle(target: Path) -> None:
    """Bring what stands in the log into the file where it is sound, so that no cut below parts the two."""
    if target.exists() and _is_sound(target):
        with suppress(sqlite3.Error), closing(_connect(target)) as records:
            records.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _is_sound(path: Path) -> bool:
    """Ask SQLite through a connection that cannot write: a damaged file stays as it is."""
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as records:
            return bool(records.execute("PRAGMA quick_check(1)").fetchone() == ("ok",))
    except sqlite3.Error:
        return False


def _kept_aside(target: Path) -> Path | None:
    """Give the database with its log files a second name, the first one that is free.

    The file itself stays where it is until the new one takes its place in one step: a cut in between never leaves
    the kiosk without records. Its log is moved, for it must not stand beside another file.
    """
    if not target.exists():
        return None
    number = 1
    while (kept := target.with_name(f"{target.name}.before-restore-{number}")).exists():
        number += 1
    _second_name(target, kept)
    for ending in ("-wal", "-shm"):
        part = target.with_name(target.name + ending)
        if part.exists():
            os.replace(part, kept.with_name(kept.name + ending))
    return kept


def _second_name(file: Path, name: Path) -> None:
    try:
        os.link(file, name)
    except OSError:  # a disk without links
        shutil.copy2(file, name)
        _sync(name)
