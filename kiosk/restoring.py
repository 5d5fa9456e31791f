"""Putting a backup in the place of the records, as the screen and the command ask for it.

The records are closed while it is done: at the kiosk only a copy of them is open then. What was done is put on record
in the restored journal, in the name of whoever did it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from kiosk.events import Event, RecordsRestored
from kiosk.presenters.ports import BackupCopy, RestoreOutcome
from kiosk.records import YardRecords
from kiosk.records.backup import Progress
from kiosk.records.head_note import noted_heads
from kiosk.records.ids import new_id
from kiosk.records.instants import from_utc_text
from kiosk.records.keeper import backups_in, time_of
from kiosk.records.reading_only import ReadingRecords
from kiosk.records.restore import Restored, rehearse, restore

# Where nobody knows how many entries are lost, so many labels may have been issued by them.
UNKNOWN_LOSS = 1000
# The note of how far the journal came may lag behind it by a save or two after a power cut.
NOTE_LAG = 10


def backups_of(folders: Sequence[Path]) -> list[Path]:
    """Return the backups in some folders, newest first, each once; the first folder's before another's of that time."""
    found: dict[str, Path] = {}
    for folder in folders:
        for copy in backups_in(folder):
            found.setdefault(copy.name, copy)
    return sorted(found.values(), key=lambda copy: copy.name, reverse=True)


def restore_and_record(copy: Path, target: Path, kiosk: int, now: Callable[[], datetime], person_id: str | None = None,
                       keep_newer: bool = True, progress: Progress | None = None) -> Restored:
    """Put a backup in the place of the records and put that on record.

    Args:
        kiosk: This kiosk's number. `person_id`: who did it, None for the set-up.

    Raises:
        RecordError, StoreUnavailable: nothing was changed.
    """
    noted = bool(noted_heads(target))
    found = restore(copy, target, keep_newer, progress)
    records = YardRecords.open(target, kiosk)
    try:
        serial = records.next_serial() + _serials_in_doubt(found, noted)
        records.append(Event(new_id(), now(), person_id, RecordsRestored(
            copy.name, found.copy_entries, found.carried, found.lost, serial)))
    finally:
        records.close()
    return found


def _serials_in_doubt(found: Restored, noted: bool) -> int:
    if not (found.can_be_read or noted):
        return UNKNOWN_LOSS
    return found.lost + NOTE_LAG if found.lost else 0


class RestoreDesk:
    """Answers `ports.Restores`.

    Args:
        records: As the kiosk has them open. `target`: their file.
        folders: Where backups are: the shop's folder, then the second disk's.
        start_again: Ends the kiosk and opens it again; called with whether to open the records only to restore them.
        tell: Called with the share of the work that is done, 0..1, on the worker's thread.
    """

    def __init__(self, records: YardRecords, target: Path, kiosk: int, folders: Sequence[Path],
                 clock: Callable[[], datetime], start_again: Callable[[bool], None], tell: Callable[[float], None]
                 ) -> None:
        self._records, self._target, self._kiosk, self._folders = records, target, kiosk, folders
        self._clock, self._start_again, self._tell = clock, start_again, tell

    @property
    def can_restore(self) -> bool:
        """Whether the records are open to be read only, so that a backup may take their place now."""
        return isinstance(self._records, ReadingRecords) and self._records.is_restorable

    @property
    def shown(self) -> str:
        """Name of the backup that is shown in the records' place, '' if they are themselves."""
        shown = self._records.shown if isinstance(self._records, ReadingRecords) else None
        return shown.name if shown else ""

    def backups(self) -> tuple[BackupCopy, ...]:
        """Return the backups that are there, newest first."""
        return tuple(BackupCopy(str(copy), time_of(copy), copy.stat().st_size, copy.parent == self._folders[0])
                     for copy in backups_of(self._folders))

    def rehearse(self, copy: str) -> RestoreOutcome:
        """Do it all on the side and say what would come of it."""
        return _outcome(rehearse(Path(copy), self._target, progress=self._progress), self._is_noted())

    def restore(self, copy: str, person_id: str) -> RestoreOutcome:
        """Put the backup in the place of the records, in a person's name."""
        noted = self._is_noted()  # the notes go with the old records
        return _outcome(restore_and_record(Path(copy), self._target, self._kiosk, self._clock, person_id,
                                           progress=self._progress), noted)

    def make_tables_anew(self) -> int:
        """Make all tables again from the journal."""
        return self._records.rebuild()

    def start_again(self, to_restore: bool = False) -> None:
        """End the kiosk and open it again."""
        self._start_again(to_restore)

    def _is_noted(self) -> bool:
        return bool(noted_heads(self._target))

    def _progress(self, copied: int, total: int) -> None:
        self._tell(copied / max(1, total))


def _outcome(found: Restored, noted: bool) -> RestoreOutcome:
    until = from_utc_text(found.copy_until) if found.copy_until else None
    return RestoreOutcome(found.copy_entries, until, found.carried, found.lost, found.stranded,
                          found.can_be_read or noted, str(found.kept) if found.kept else "")
