"""Records that can be read while nothing can be saved: the disk is full or read-only, or the file is damaged or gone.

A copy of the file with its log is opened, in a folder of its own: the original is not touched. Each entry that is shown
is held against its hash as always, so that of a damaged file only what is as it was saved is seen. Where the file does
not even tell who the crew are, the kiosk shows what a restore of the newest backup would bring; without a backup it
shows an empty yard, and says why.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from kiosk.entities import LabelKind
from kiosk.errors import RecordError, StoreUnavailable
from kiosk.events import Event, JournalEntry
from kiosk.records.restore import prepare
from kiosk.records.troubles import Trouble
from kiosk.records.yard_records import YardRecords

# With these the file may still hold what can be read; with the others there is nothing to read or it is in use.
READABLE_TROUBLES = frozenset({Trouble.READ_ONLY, Trouble.FULL, Trouble.FAILING, Trouble.DAMAGED})
# With these another file has to take this one's place; with the others it is as good as ever once the trouble is over.
RESTORABLE_TROUBLES = frozenset({Trouble.DAMAGED, Trouble.GONE, Trouble.FOREIGN, Trouble.FAILING})
TO_RESTORE = "to restore"
"""Kind of the trouble that a supervisor makes: the records are opened to be read so that they can be replaced."""


class ReadingRecords(YardRecords):
    """A yard's records, open to be read. Made by `open_to_read` or one of its likes, closed by `close`.

    `why`: what is wrong with the records. `shown`: the backup shown in their place, None if they are themselves.
    """

    _folder: tempfile.TemporaryDirectory[str] | None = None
    why: StoreUnavailable
    shown: Path | None = None
    is_blank = False

    @classmethod
    def open_to_read(cls, path: Path, kiosk_number: int, why: StoreUnavailable) -> ReadingRecords:
        """Open a copy of the records at `path`.

        Args:
            why: What came of opening them as they are.

        Raises:
            StoreUnavailable: `why` itself, where nothing can be read.
        """
        if why.kind not in READABLE_TROUBLES | {TO_RESTORE}:
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

    @classmethod
    def open_backup(cls, copy: Path, path: Path, kiosk_number: int, why: StoreUnavailable) -> ReadingRecords:
        """Open what a restore of the backup `copy` would put in the place of the records at `path`.

        Raises:
            RecordError: the backup is not good, or is not there.
        """
        folder = tempfile.TemporaryDirectory(prefix="kiosk-reading-")
        try:
            fresh = Path(folder.name) / path.name
            prepare(copy, path, fresh)
            records = cls.open(fresh, kiosk_number)
        except BaseException:
            folder.cleanup()
            raise
        records._folder, records.why, records.shown = folder, why, copy
        return records

    @classmethod
    def open_blank(cls, path: Path, kiosk_number: int, why: StoreUnavailable) -> ReadingRecords:
        """Open the records of an empty yard: nothing of the real ones can be read."""
        folder = tempfile.TemporaryDirectory(prefix="kiosk-reading-")
        records = cls.open(Path(folder.name) / path.name, kiosk_number)
        records._folder, records.why, records.is_blank = folder, why, True
        return records

    @property
    def can_save(self) -> bool:
        """Nothing can be saved."""
        return False

    @property
    def is_restorable(self) -> bool:
        """Whether a backup may be put in the records' place."""
        return self.why.kind in RESTORABLE_TROUBLES | {TO_RESTORE}

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


def open_at_the_window(path: Path, kiosk_number: int, backups: Sequence[Path],
                       why: StoreUnavailable | None = None) -> YardRecords:
    """Open the records, or whatever of them or of a backup lets the kiosk go on showing and a supervisor restore.

    Args:
        backups: Newest first.
        why: Why records that may be sound are only to be read, of kind `TO_RESTORE`: a supervisor wants to put a
            backup in their place. None to open them as they are.

    Raises:
        StoreUnavailable: in use, or of a newer program: no backup helps there.
    """
    if why is None:
        try:
            return YardRecords.open(path, kiosk_number)
        except StoreUnavailable as error:
            why = error
    return _open_any(path, kiosk_number, backups, why)


def _open_any(path: Path, kiosk_number: int, backups: Sequence[Path], why: StoreUnavailable) -> ReadingRecords:
    """Open the file itself if it tells who the crew are, else the newest good backup, else an empty yard."""
    with suppress(StoreUnavailable):
        records = ReadingRecords.open_to_read(path, kiosk_number, why)
        if _knows_the_crew(records) or not records.is_restorable:
            return records
        records.close()
    if why.kind not in RESTORABLE_TROUBLES | {TO_RESTORE}:
        raise why
    for copy in backups:
        with suppress(RecordError, OSError):
            return ReadingRecords.open_backup(copy, path, kiosk_number, why)
    return ReadingRecords.open_blank(path, kiosk_number, why)


def _knows_the_crew(records: YardRecords) -> bool:
    try:
        return bool(records.people()) and records.labels_of_kind(LabelKind.BADGE) is not None
    except StoreUnavailable:
        return False


def _copied(path: Path, folder: Path) -> Path:
    copy = folder / path.name
    shutil.copyfile(path, copy)
    log = path.with_name(f"{path.name}-wal")
    if log.exists():
        shutil.copyfile(log, folder / log.name)
    return copy
