"""Records that can be read while nothing can be saved: the disk is full or read-only, or the file is damaged.

A copy of the file with its log is opened, in a folder of its own: the original is not touched. Each entry that is shown
is held against its hash as always, so that of a damaged file only what is as it was saved is seen.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path

from kiosk.errors import StoreUnavailable
from kiosk.events import Event, JournalEntry
from kiosk.records.troubles import Trouble
from kiosk.records.yard_records import YardRecords

# With these the file may still hold what can be read; with the others there is nothing to read or it is in use.
READABLE_TROUBLES = frozenset({Trouble.READ_ONLY, Trouble.FULL, Trouble.FAILING, Trouble.DAMAGED})


class ReadingRecords(YardRecords):
    """A yard's records, open to be read. Made by `open_to_read`, closed by `close`."""

    _folder: tempfile.TemporaryDirectory[str] | None = None
    why: StoreUnavailable

    @classmethod
    def open_to_read(cls, path: Path, kiosk_number: int, why: StoreUnavailable) -> ReadingRecords:
        """Open a copy of the records at `path`.

        Args:
            why: What came of opening them as they are.

        Raises:
            StoreUnavailable: `why` itself, where nothing can be read.
        """
        if why.kind not in READABLE_TROUBLES:
            raise why
        folder = tempfile.TemporaryDirectory(prefix="kiosk-reading-")
        try:
            copy = _copied(path, Path(folder.name))
            records = cls.open(copy, kiosk_number)
            records.verify()  # meets every page of the journal
        except (StoreUnavailable, OSError):
            folder.cleanup()
            raise why from None
        records._folder, records.why = folder, why
        return records

    def append_all(self, events: Sequence[Event]) -> tuple[JournalEntry, ...]:
        """Refuse: nothing can be saved."""
        raise self.why

    def rebuild(self) -> int:
        """Refuse: the tables of a copy are of no use."""
        raise self.why

    def close(self) -> None:
        """Close the copy and remove it."""
        super().close()
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None


def open_or_read(path: Path, kiosk_number: int) -> YardRecords:
    """Open the records; where nothing can be saved but they can be read, open them to be read.

    Raises:
        StoreUnavailable: they cannot be read either.
    """
    try:
        return YardRecords.open(path, kiosk_number)
    except StoreUnavailable as error:
        return ReadingRecords.open_to_read(path, kiosk_number, error)


def _copied(path: Path, folder: Path) -> Path:
    copy = folder / path.name
    shutil.copyfile(path, copy)
    log = path.with_name(f"{path.name}-wal")
    if log.exists():
        shutil.copyfile(log, folder / log.name)
    return copy
