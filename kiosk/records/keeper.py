"""Takes backups by schedule into a folder, keeps a choice of them, and puts each on a second disk as well.

Kept are the newest seven, and of the older ones the newest of each week for five weeks and of each month for twelve
(our own rule). Nothing is removed before a newer copy was verified, and nothing that the keeper did not name itself.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from kiosk.errors import RecordError
from kiosk.language import tr
from kiosk.records.backup import BackupReport, Progress, backup, sync

NEWEST_KEPT, WEEKS_KEPT, MONTHS_KEPT = 7, 5, 12
_NAME = re.compile(r"records-(\d{8}T\d{6}Z)(-\d+)?\.db", re.ASCII)
_CHUNK_BYTES = 1 << 20


@dataclass(frozen=True)
class Taken:
    """A backup that was taken.

    Args:
        report: What was copied and verified.
        second: Where the second copy is, None if none is wanted or none could be made.
        trouble: Why there is no second copy, in a sentence; '' if all is well.
        removed: Old backups that gave way, by name.
    """

    report: BackupReport
    second: Path | None = None
    trouble: str = ""
    removed: tuple[str, ...] = ()


class BackupKeeper:
    """Keeps the backups of one database.

    Args:
        database: The records.
        folder: Where backups go; made with the first.
        second: A folder on another disk, such as a USB stick; it must be there already. None for no second copy.
        every: How old the newest backup may become; zero for no schedule.
        clock: The time now. Aware UTC.
    """

    def __init__(self, database: Path, folder: Path, second: Path | None, every: timedelta,
                 clock: Callable[[], datetime]) -> None:
        self._database, self._folder, self._second, self._every, self._clock = database, folder, second, every, clock

    def is_due(self) -> bool:
        """Return whether the schedule wants a backup now; a newest one from the future does not count."""
        if not self._every:
            return False
        now = self._clock()
        return not any(timedelta(0) <= now - taken_at < self._every
                       for taken_at in map(time_of, self.backups()) if taken_at is not None)

    def backups(self) -> list[Path]:
        """Return the backups in the folder, newest first."""
        return backups_in(self._folder)

    def take(self, progress: Progress | None = None) -> Taken:
        """Take a verified backup, put it on the second disk, and let old ones go.

        Raises:
            RecordError: the copy is not good. StoreUnavailable: it cannot be made.
        """
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise RecordError(tr("There is no folder for backups at {folder}: {strerror}.").format(
                                  folder=self._folder, strerror=error.strerror)) from error
        report = backup(self._database, self._free_name(), progress)
        second, trouble = self._to_second(report.path)
        return Taken(report, second, trouble, tuple(_rotate(self._folder)))

    def _free_name(self) -> Path:
        stem = f"records-{self._clock().astimezone(UTC):%Y%m%dT%H%M%SZ}"
        names = (f"{stem}{again}.db" for again in ("", *(f"-{number}" for number in range(2, 1000))))
        return next(path for path in map(self._folder.joinpath, names) if not path.exists())

    def _to_second(self, copy: Path) -> tuple[Path | None, str]:
        if self._second is None:
            return None, ""
        if not self._second.is_dir():
            return None, tr("The second disk is not there ({second}); the backup is on this kiosk's disk only.").format(
                             second=self._second)
        target = self._second / copy.name
        try:
            _copy_alike(copy, target)
            _rotate(self._second)
        except OSError as error:
            return None, tr("The second disk did not take the backup ({value}); look at the stick.").format(
                             value=error.strerror or error)
        return target, ""


def backups_in(folder: Path) -> list[Path]:
    """Return the keeper's backups in a folder, newest first; [] if there is no such folder."""
    named = [path for path in folder.glob("records-*.db") if time_of(path) is not None]
    return sorted(named, key=lambda path: (time_of(path), path.stat().st_mtime), reverse=True)


def newest_backup(folder: Path) -> datetime | None:
    """Return when the keeper's newest backup in a folder was taken, None if there is none. Aware UTC."""
    return next((time_of(path) for path in backups_in(folder)), None)


def time_of(path: Path) -> datetime | None:
    """Return when a backup was taken by its name, None if the keeper did not name it."""
    match = _NAME.fullmatch(path.name)
    if match is None:
        return None
    try:
        return datetime.strptime(match[1], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
    except ValueError:
        return None


def _copy_alike(copy: Path, target: Path) -> None:
    """Copy a file to another disk, read it back from there, and give it its name only if it is the same."""
    part = target.with_name(f"{target.name}.part")
    try:
        shutil.copyfile(copy, part)
        sync(part)
        _forget_cached(part)
        if _digest(part) != _digest(copy):
            raise OSError("what was read back is not what was written")
        os.replace(part, target)
        sync(target.parent)
    finally:
        part.unlink(missing_ok=True)


def _forget_cached(path: Path) -> None:
    """Have the next read come from the disk, not from memory, where the system can do so."""
    if hasattr(os, "posix_fadvise"):
        descriptor = os.open(path, os.O_RDONLY)
        try:
            os.posix_fadvise(descriptor, 0, 0, os.POSIX_FADV_DONTNEED)
        finally:
            os.close(descriptor)


def _digest(path: Path) -> bytes:
    found = hashlib.sha256()
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            found.update(chunk)
    return found.digest()


def _rotate(folder: Path) -> Iterable[str]:
    backups = backups_in(folder)
    keep = _chosen(backups)
    removed = [path for path in backups if path not in keep]
    for path in removed:
        path.unlink(missing_ok=True)
    return [path.name for path in removed]


def _chosen(backups: list[Path]) -> set[Path]:
    """Return which of the backups, newest first, stay."""
    keep = set(backups[:NEWEST_KEPT])
    for many, period in ((WEEKS_KEPT, "%G week %V"), (MONTHS_KEPT, "%Y-%m")):
        newest_of: dict[str, Path] = {}
        for path in backups:
            taken_at = time_of(path)
            assert taken_at is not None
            newest_of.setdefault(taken_at.strftime(period), path)
        keep.update(list(newest_of.values())[:many])
    return keep
