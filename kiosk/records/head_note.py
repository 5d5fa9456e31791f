"""How far the journal had come, noted in a small file beside the database after every save.

The chain cannot see that its end is missing, and SQLite opens a database whose log was lost as if nothing had been in
it. The note can tell. It is written after the save is durable and is not synced itself: after a power cut it may be
older than the journal, never newer.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from kiosk.records.verify import Head

_HASH_DIGITS = 64


class HeadNote:
    """The note of one kiosk's chain.

    Args:
        database: The database's file; the note stands beside it.
        kiosk: The kiosk's number. 0..99
    """

    def __init__(self, database: Path, kiosk: int) -> None:
        self.path = note_path(database, kiosk)
        self._file: int | None = None

    def read(self) -> Head | None:
        """Return the head that was noted last, None if there is no note or it cannot be read."""
        try:
            seq, own_hash = self.path.read_bytes().split()
            return Head(int(seq), own_hash.decode()) if len(own_hash) == _HASH_DIGITS else None
        except (OSError, ValueError):
            return None

    def write(self, head: Head) -> None:
        """Note a head. A note that cannot be written is no reason to refuse a save that is durable already."""
        with suppress(OSError):
            if self._file is None:
                self._file = os.open(self.path, os.O_WRONLY | os.O_CREAT, 0o644)
            os.pwrite(self._file, f"{head.seq:012d} {head.hash}\n".encode(), 0)

    def close(self) -> None:
        """Close the file; closing twice does no harm."""
        if self._file is not None:
            os.close(self._file)
            self._file = None


def note_path(database: Path, kiosk: int) -> Path:
    """Return where the note of a kiosk's chain stands."""
    return database.with_name(f"{database.name}-head-{kiosk:02d}")


def noted_heads(database: Path) -> dict[int, Head]:
    """Return the head that was noted last of every kiosk."""
    kiosks = (int(path.name[-2:]) for path in database.parent.glob(f"{database.name}-head-[0-9][0-9]"))
    heads = {kiosk: HeadNote(database, kiosk).read() for kiosk in kiosks}
    return {kiosk: head for kiosk, head in heads.items() if head is not None}


def forget_notes(database: Path) -> None:
    """Remove every kiosk's note: the records beside it are others from now on."""
    for path in database.parent.glob(f"{database.name}-head-[0-9][0-9]"):
        path.unlink(missing_ok=True)
