"""What can be wrong with the database itself, and the sentence for each; decided by SQLite's own result code."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path

import peewee

from kiosk.errors import RecordError, StoreUnavailable
from kiosk.language import N_, tr


class Trouble(StrEnum):
    """Why the store is unavailable."""

    FULL = "full"
    READ_ONLY = "read-only"
    LOCKED = "locked"
    DAMAGED = "damaged"
    GONE = "gone"
    FAILING = "failing"
    MOVED = "moved"
    FOREIGN = "foreign"
    NEWER = "newer"


_SENTENCES = {
    Trouble.FULL: N_("The disk is full; nothing was saved. Free some space, then save again. What you typed is kept on "
                     "the screen."),
    Trouble.READ_ONLY: N_("The records can only be read here; nothing was saved. Ask for write permission on the "
                          "shop's folder. What you typed is kept on the screen."),
    Trouble.LOCKED: N_("Another program holds the records; nothing was saved. Wait a moment and try again. What you "
                       "typed is kept on the screen."),
    Trouble.DAMAGED: N_("The records file is damaged. Leave the file as it is and restore the last backup."),
    Trouble.GONE: N_("The records file cannot be opened. See that its disk is there and that this account may use it; "
                     "if the file is lost, restore the last backup."),
    Trouble.FAILING: N_("The disk reports an error; nothing was saved. Try again; then change the disk. What you typed "
                        "is kept on the screen."),
    Trouble.MOVED: N_("The records file was moved, removed or replaced while the kiosk had it open; nothing was saved. "
                      "Close the kiosk and open it again. What you typed is kept on the screen."),
    Trouble.FOREIGN: N_("This file does not hold a yard's records. Choose the yard's own file."),
    Trouble.NEWER: N_("These records were written by a newer kiosk program. Update this one first."),
}
_BY_RESULT_CODE = {
    sqlite3.SQLITE_FULL: Trouble.FULL,
    sqlite3.SQLITE_READONLY: Trouble.READ_ONLY,
    sqlite3.SQLITE_PERM: Trouble.READ_ONLY,
    sqlite3.SQLITE_BUSY: Trouble.LOCKED,
    sqlite3.SQLITE_LOCKED: Trouble.LOCKED,
    sqlite3.SQLITE_PROTOCOL: Trouble.LOCKED,
    sqlite3.SQLITE_CORRUPT: Trouble.DAMAGED,
    sqlite3.SQLITE_NOTADB: Trouble.DAMAGED,
    sqlite3.SQLITE_CANTOPEN: Trouble.GONE,
    sqlite3.SQLITE_IOERR: Trouble.FAILING,
}
# An I/O error with less room than this on the disk is a full disk: SQLite cannot tell the two apart when it is the
# shared-memory file that finds no room.
# What Python's driver says, without a result code, of a text with a byte that is no UTF-8.
_NO_TEXT = "Could not decode to UTF-8"
_NO_ROOM_BYTES = 256 * 1024


def unavailable(trouble: Trouble, path: Path, details: str = "") -> StoreUnavailable:
    """Return the error for a trouble with the database at `path`."""
    return StoreUnavailable(tr(_SENTENCES[trouble]), details=f"{path}: {details}", kind=trouble.value)


@contextmanager
def translated(path: Path) -> Iterator[None]:
    """Raise what goes wrong in the database inside as one of our errors, `from` the original."""
    try:
        yield
    except (sqlite3.Error, peewee.PeeweeException) as error:
        raise _ours(error, path) from error


def _ours(error: Exception, path: Path) -> RecordError:
    cause = _driver_error(error)
    code = getattr(cause, "sqlite_errorcode", None)
    details = f"{getattr(cause, 'sqlite_errorname', type(error).__name__)}: {cause or error}"
    trouble = None if code is None else _BY_RESULT_CODE.get(code & 0xFF)
    if cause is not None and is_no_text(cause):
        trouble = Trouble.DAMAGED
    if trouble is not None:
        return unavailable(_by_the_disk(trouble, path), path, details)
    return RecordError(tr("The records refused this entry; nothing was saved."), details=details)


def is_no_text(error: Exception) -> bool:
    """Return whether the driver met a text with a byte that is no UTF-8."""
    return str(error).startswith(_NO_TEXT)


def _driver_error(error: BaseException | None) -> sqlite3.Error | None:
    """Walk to the driver's own error: peewee wraps it, and a failed rollback can stand before it."""
    while error is not None:
        if isinstance(error, sqlite3.Error):
            return error
        error = error.__cause__ or error.__context__
    return None


def _by_the_disk(trouble: Trouble, path: Path) -> Trouble:
    """Look at the disk where SQLite's code leaves open what is wrong with it."""
    if trouble is Trouble.FAILING and _has_no_room(path):
        return Trouble.FULL
    if trouble is Trouble.GONE and _may_only_read(path):
        return Trouble.READ_ONLY
    return trouble


def _may_only_read(path: Path) -> bool:
    """SQLite cannot open the log beside a file that it could open, where the folder may not be written."""
    may_write = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    return path.is_file() and os.access(path, os.R_OK) and not may_write


def _has_no_room(path: Path) -> bool:
    try:
        disk = os.statvfs(path.parent)
    except OSError:
        return False
    return disk.f_bavail * disk.f_frsize < _NO_ROOM_BYTES
