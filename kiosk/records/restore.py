"""Puts a verified backup in the place of the records, with the newer entries of the old file where they can be read.

The old file is kept aside under a name of its own and never written to; nothing changes unless the backup is good. A
rehearsal does all of it on a copy and says what would be lost.
"""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path

from kiosk.errors import RecordError
from kiosk.records.backup import Progress, backup, remove_with_logs, sync
from kiosk.records.head_note import forget_notes, noted_heads
from kiosk.records.salvage import Salvage, carry_over, newer_entries
from kiosk.records.troubles import Trouble, unavailable
from kiosk.records.verify import Head, verify


@dataclass(frozen=True)
class Restored:
    """What a restore did, or would do.

    Args:
        copy: The backup. `copy_entries`: how many journal entries it holds. `copy_until`: time of its last one.
        carried: Entries newer than the backup that were read from the old records and kept.
        lost: Entries that are known to have been saved and are in neither. `stranded`: of them, those that can be
            read but do not follow from what is kept; they stay in the old file only.
        can_be_read: Whether the old records could be opened at all; where not, more may be lost than is known.
        kept: Where the old records are kept, None if there were none or this was a rehearsal.
    """

    copy: Path
    copy_entries: int
    copy_until: str
    carried: int
    lost: int
    stranded: int
    can_be_read: bool
    kept: Path | None = None


def restore(copy: Path, target: Path, keep_newer: bool = True, progress: Progress | None = None) -> Restored:
    """Put a backup in the place of the records. Close the records before.

    Args:
        keep_newer: Carry over what the old records hold beyond the backup. False goes back to the backup's state.

    Raises:
        RecordError: no such backup, or its journal was changed; nothing was changed.
        StoreUnavailable: the backup is damaged, or the disk will not take it; nothing was changed.
    """
    fresh = target.with_name(f"{target.name}.restoring")
    remove_with_logs(fresh)
    try:
        found = prepare(copy, target, fresh, keep_newer, progress)
        with _disk_errors(target):
            kept = keep_aside(target)
            os.replace(fresh, target)
        sync(target.parent)
    finally:
        remove_with_logs(fresh)
    return replace(found, kept=kept)


def keep_aside(target: Path) -> Path | None:
    """Give the closed records at `target` a second name, before others take their place; return it, None for none."""
    _settle(target)
    kept = _kept_aside(target)
    # First, and durably: notes of the old records beside the new ones would say that entries are missing.
    forget_notes(target)
    sync(target.parent)
    return kept


def rehearse(copy: Path, target: Path, keep_newer: bool = True, progress: Progress | None = None) -> Restored:
    """Do all that `restore` does, in a folder of its own, and return what would come of it; nothing is changed."""
    with tempfile.TemporaryDirectory() as folder:
        return prepare(copy, target, Path(folder) / target.name, keep_newer, progress)


def prepare(copy: Path, target: Path, fresh: Path, keep_newer: bool = True, progress: Progress | None = None
            ) -> Restored:
    """Make what is to take the place of `target` as the new file `fresh`, verified, and say what is in it.

    Raises:
        RecordError, StoreUnavailable: as `restore`; `target` is never touched.
    """
    if not copy.exists():
        raise RecordError(f"There is no backup '{copy}'.")
    report = backup(copy, fresh, progress)
    until = _last_time(fresh)
    with _disk_errors(target):
        newer = newer_entries(target, fresh) if target.exists() and not _is_same(copy, target) else Salvage()
    rows = newer.rows if keep_newer else ()
    if rows:
        carry_over(rows, fresh)
    heads = _demand_whole(fresh)
    sync(fresh)
    lost = max(_behind_notes(target, heads), newer.stranded + len(newer.rows) - len(rows))
    return Restored(copy, report.entries, until, len(rows), lost, newer.stranded, newer.can_be_read)


@contextmanager
def _disk_errors(target: Path) -> Iterator[None]:
    """Tell in a sentence what the system refuses before the records were touched."""
    try:
        yield
    except OSError as error:
        trouble = {errno.ENOSPC: Trouble.FULL, errno.EROFS: Trouble.READ_ONLY, errno.EACCES: Trouble.READ_ONLY,
                   errno.EPERM: Trouble.READ_ONLY}.get(error.errno or 0, Trouble.FAILING)
        raise unavailable(trouble, target, repr(error)) from error


def _demand_whole(fresh: Path) -> dict[int, Head]:
    with closing(sqlite3.connect(fresh)) as connection:
        report = verify(connection)
    if report.first_bad is not None:
        raise RecordError(f"The restored records would not be whole; nothing was changed. {report.first_bad.reason}")
    return report.heads


def _behind_notes(target: Path, heads: dict[int, Head]) -> int:
    """Return how many entries were noted as saved, beyond what is kept."""
    return sum(max(0, noted.seq - heads.get(kiosk, Head(0, "")).seq) for kiosk, noted in noted_heads(target).items())


def _last_time(fresh: Path) -> str:
    with closing(sqlite3.connect(fresh)) as connection:
        last = connection.execute("SELECT at FROM journal ORDER BY arrival DESC LIMIT 1").fetchone()
    return str(last[0]) if last else ""


def _is_same(copy: Path, target: Path) -> bool:
    return copy.resolve() == target.resolve()


def _settle(target: Path) -> None:
    """Bring what stands in the log into the file where it is sound, so that no cut below parts the two."""
    if target.exists() and _is_sound(target):
        with suppress(sqlite3.Error), closing(sqlite3.connect(target)) as records:
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
        sync(name)
