"""A restore keeps what the old records hold beyond the backup, as far as it can be read, and says what is lost."""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from small_yard import done, record, story_events, yard_events

from kiosk.errors import StoreUnavailable
from kiosk.records import YardRecords, salvage
from kiosk.records.keeper import BackupKeeper
from kiosk.records.restore import rehearse, restore

NEWER = 12
OLD_FILE = Path(__file__).parents[1] / "data" / "records_of_migration_1.sql"
OLD_ENTRIES = 26
NOW = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)


@pytest.fixture
def spare(yard: YardRecords, tmp_path: Path) -> Path:
    """Return a backup of the small yard; the records have twelve entries more and are closed."""
    copy = yard.backup(tmp_path / "spare.db").path
    for event in story_events()[:NEWER]:
        yard.append(event)
    yard.close()
    return copy


def _entries(path: Path) -> int:
    records = YardRecords.open(path, 7)
    report = records.verify()
    assert report.first_bad is None
    assert records.tables_unlike_journal() == []
    records.close()
    return report.entries


def _spoil(path: Path, offset: int, content: bytes) -> None:
    with path.open("r+b") as file:
        file.seek(offset)
        file.write(content)


def _tables_page(path: Path) -> None:
    """Damage the root page of a table that is not the journal."""
    with closing(sqlite3.connect(path)) as connection:
        page = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'component'").fetchone()[0]
    _spoil(path, (page - 1) * 4096, os.urandom(4096))


@pytest.mark.parametrize("damage", [
    pytest.param(lambda path: None, id="none"),
    pytest.param(lambda path: _spoil(path, 0, os.urandom(100)), id="header"),
    pytest.param(lambda path: _spoil(path, 0, os.urandom(4096)), id="first-page"),
    pytest.param(_tables_page, id="page-of-a-table"),
])
def test_restore__damaged_file__carries_all_newer_entries_over(
    spare: Path, yard: YardRecords, damage: Callable[[Path], object]
) -> None:
    """What the backup does not have comes from the damaged file, chain and tables whole; the file stays as it is."""
    damage(yard.path)
    before = yard.path.read_bytes()
    would = rehearse(spare, yard.path)
    assert yard.path.read_bytes() == before
    did = restore(spare, yard.path)
    assert (would.carried, would.lost) == (did.carried, did.lost) == (NEWER, 0)
    assert did.kept is not None and did.kept.read_bytes() == before
    assert _entries(yard.path) == len(yard_events()) + NEWER


def test_restore__entry_changed_in_between__keeps_those_before_and_says_how_many_are_lost(
    spare: Path, yard: YardRecords
) -> None:
    """An entry that is not as it was saved, and those after it, are not carried over: they do not follow."""
    good, changed = 4, len(yard_events()) + 5
    with closing(sqlite3.connect(yard.path)) as connection, connection:
        connection.execute("DROP TRIGGER journal_is_never_changed")
        connection.execute("UPDATE journal SET at = '2020-01-01T00:00:00.000000Z' WHERE seq = ?", (changed,))
    would = rehearse(spare, yard.path)
    assert (would.carried, would.lost, would.stranded) == (good, NEWER - good, NEWER - good)
    restore(spare, yard.path)
    assert _entries(yard.path) == len(yard_events()) + good


def test_restore__file_is_rubbish__says_how_many_are_lost(spare: Path, yard: YardRecords) -> None:
    """Nothing can be read; the note beside the records still knows how many entries there were."""
    yard.path.write_bytes(os.urandom(80_000))
    would = rehearse(spare, yard.path)
    assert (would.can_be_read, would.carried, would.lost) == (False, 0, NEWER)
    restore(spare, yard.path)
    assert _entries(yard.path) == len(yard_events())


def test_restore__log_of_a_crash__is_read_too(spare: Path, yard: YardRecords) -> None:
    """Entries that stand in the log only are carried over."""
    pid = os.fork()
    if pid == 0:
        records = YardRecords.open(yard.path, 7)
        records.append(done(record(3.5)))
        os._exit(9)
    os.waitpid(pid, 0)
    assert yard.path.with_name("yard.db-wal").exists()
    assert restore(spare, yard.path).carried == NEWER + 1


def test_restore__without_newer__goes_back_and_counts_what_is_given_up(spare: Path, yard: YardRecords) -> None:
    """Who wants the backup's state gets it, and is told what that costs."""
    assert rehearse(spare, yard.path, keep_newer=False).lost == NEWER
    restore(spare, yard.path, keep_newer=False)
    assert _entries(yard.path) == len(yard_events())


def test_restore__tells_its_progress(spare: Path, yard: YardRecords) -> None:
    """Copying the backup reports pages done and in all."""
    steps: list[tuple[int, int]] = []
    restore(spare, yard.path, progress=lambda done_pages, all_pages: steps.append((done_pages, all_pages)))
    assert steps[-1][0] == steps[-1][1] > 0


def test_restore__no_room_for_the_old_file__says_so_and_changes_nothing(
    spare: Path, yard: YardRecords, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk without room ends in its sentence; the records are as they were, and nothing half is left behind."""
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(salvage.shutil, "copyfile", full)
    before = yard.path.read_bytes()
    with pytest.raises(StoreUnavailable) as error:
        restore(spare, yard.path)
    assert error.value.kind == "full"
    assert yard.path.read_bytes() == before
    assert list(yard.path.parent.glob("*restoring*")) == []


def test_restore__of_a_copy_taken_by_hand(spare: Path, yard: YardRecords) -> None:
    """The plainest copy brings the records back."""
    yard.path.write_bytes(b"gone")
    restore(spare, yard.path)
    assert _entries(yard.path) == len(yard_events())


def test_restore__of_a_copy_taken_before_a_migration(tmp_path: Path) -> None:
    """The copy is of an older version: it takes the place, and is brought to the newest when it is opened."""
    path = tmp_path / "old.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(OLD_FILE.read_text("utf-8"))
    YardRecords.open(path, 7).close()
    path.write_bytes(b"gone")
    restore(tmp_path / "old.before-migration-0002.db", path)
    assert _entries(path) == OLD_ENTRIES


def test_restore__of_what_an_earlier_restore_kept_aside(spare: Path, yard: YardRecords) -> None:
    """Who restored by mistake goes back: the file that was kept aside is a copy like any other."""
    kept = restore(spare, yard.path, keep_newer=False).kept
    assert kept is not None
    restore(kept, yard.path)
    assert _entries(yard.path) == len(yard_events()) + NEWER


def test_restore__of_the_second_disks_copy(yard: YardRecords, tmp_path: Path) -> None:
    """What the keeper put on a stick brings the records back by itself."""
    (tmp_path / "stick").mkdir()
    second = BackupKeeper(yard.path, tmp_path / "backups", tmp_path / "stick", timedelta(0), lambda: NOW).take().second
    yard.close()
    yard.path.unlink()
    assert second is not None
    restore(second, yard.path)
    assert _entries(yard.path) == len(yard_events())
