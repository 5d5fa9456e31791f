"""The power is cut at every write and sync: whatever the disk kept of it, the kiosk opens and nothing saved is lost.

The workloads run on the SQLite that Python's own sqlite3 uses and on apsw's; see `power_cuts` and `disk_log` for what
a disk may keep. The same look is shown to catch faults that are planted in the records or the disk.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import power_cuts
import pytest
from disk_log import DiskLog, images
from disk_watch import folder_opened, shipped_library, watched
from power_cuts import Recording, Tally, fresh, look_at_all, look_at_campaign, migration, recoveries, restoring, work

from kiosk.events import Event, JournalEntry
from kiosk.records import YardRecords, journal, store
from kiosk.records.head_note import HeadNote

ENOUGH_IMAGES = 50_000

needs_library = pytest.mark.skipif(shipped_library() is None, reason="this Python has its SQLite built in")
ways = pytest.mark.parametrize("by_apsw", [pytest.param(False, id="shipped", marks=needs_library),
                                           pytest.param(True, id="apsw")])


@ways
@pytest.mark.parametrize("make", [work, fresh, migration], ids=lambda make: make.__name__)
def test_log__replayed_to_the_end__is_the_folder(
    make: Callable[..., Recording], by_apsw: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was written down is what was done: the files that it makes are those that SQLite left."""
    left: dict[str, bytes] = {}
    clean_up = power_cuts.new_folder

    def look_before_it_goes() -> object:
        return _Seen(clean_up(), left)

    monkeypatch.setattr(power_cuts, "new_folder", look_before_it_goes)
    log = make(by_apsw=by_apsw).log
    *_, last = images(log, 0)
    assert last.kind in ("kept", "synced")
    assert last.files == {name: left[name] for name in last.files}
    assert power_cuts.NAME in last.files


class _Seen:
    """A folder whose files are read before it is removed."""

    def __init__(self, folder: object, left: dict[str, bytes]) -> None:
        self._folder, self._left = folder, left

    def __enter__(self) -> Path:
        self._path: Path = self._folder.__enter__()  # type: ignore[attr-defined]
        return self._path

    def __exit__(self, *error: object) -> None:
        self._left.update({path.name: path.read_bytes() for path in self._path.iterdir()})
        self._folder.__exit__(*error)  # type: ignore[attr-defined]


def _some(recording: Recording, of: int = 10) -> Tally:
    return look_at_all(recording, 4, (0, of))


@ways
def test_cut__while_working__some_disks__lose_nothing(by_apsw: bool) -> None:
    """A few hundred disks of each SQLite, for a quick answer; the slow test opens them all."""
    for recording in (work(by_apsw), fresh(by_apsw), migration(by_apsw)):
        tally = _some(recording, 20)
        assert tally.images > 10
        assert tally.bad == 0, tally.examples


@needs_library
def test_cut__while_recovering__some_disks__lose_nothing() -> None:
    """The power comes back and is cut again while the kiosk puts its files right."""
    for recording in [*recoveries(work(), 3), *recoveries(fresh(), 2)]:
        tally = _some(recording, 30)
        assert tally.bad == 0, tally.examples


@needs_library
@pytest.mark.parametrize("keep_newer", [True, False])
def test_cut__while_restoring__leaves_the_old_records_or_the_copy(keep_newer: bool) -> None:
    """Cut anywhere, the records are the old ones, whole, or those of the backup; with the newer entries, all are."""
    tally = look_at_all(restoring(keep_newer), 1)
    print(tally.by_kind())
    assert tally.bad == 0, tally.examples


@needs_library
@pytest.mark.slow
def test_cut__everywhere__50_000_disks__nothing_lost_doubled_or_half() -> None:
    """Every workload is cut at every step, and every disk that it could leave is opened."""
    tally = look_at_campaign()
    print(tally.by_kind())
    assert tally.bad == 0, tally.examples
    assert tally.images >= ENOUGH_IMAGES


# Planted faults: the look catches each


def _with_pragma(monkeypatch: pytest.MonkeyPatch, *pragmas: tuple[str, str]) -> None:
    original = store._pragmas
    monkeypatch.setattr(store, "_pragmas", lambda busy: [*original(busy), *pragmas])


def _apart(payload: object, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    connection.execute("COMMIT")
    connection.execute("BEGIN IMMEDIATE")
    _project(payload, entry, connection)


_project = journal.project


def _normal(monkeypatch: pytest.MonkeyPatch) -> Recording:
    _with_pragma(monkeypatch, ("synchronous", "NORMAL"))
    return work()


def _off(monkeypatch: pytest.MonkeyPatch) -> Recording:
    _with_pragma(monkeypatch, ("synchronous", "OFF"))
    return work()


def _early(_: pytest.MonkeyPatch) -> Recording:
    return work(early=True)


def _projection_apart(monkeypatch: pytest.MonkeyPatch) -> Recording:
    monkeypatch.setattr(journal, "project", _apart)
    return work(extras=False)


def _note_early(monkeypatch: pytest.MonkeyPatch) -> Recording:
    append = journal.Appender.append

    def append_and_note(appender: journal.Appender, event: Event) -> JournalEntry:
        entry = append(appender, event)
        for note in notes:
            note.write(appender.head)
        return entry

    notes: list[HeadNote] = []
    made = HeadNote.__init__

    def make(note: HeadNote, database: Path, kiosk: int) -> None:
        made(note, database, kiosk)
        notes[:] = [note]

    monkeypatch.setattr(HeadNote, "__init__", make)
    monkeypatch.setattr(journal.Appender, "append", append_and_note)
    return work(extras=False)


def _lying(_: pytest.MonkeyPatch) -> Recording:
    return work(lies=("-wal",))


@needs_library
@pytest.mark.parametrize(("plant", "found_as"), [
    pytest.param(_normal, {"lost"}, id="synchronous-normal"),
    pytest.param(_off, {"lost", "half", "unopened"}, id="synchronous-off"),
    pytest.param(_early, {"lost"}, id="saved-said-early"),
    pytest.param(_projection_apart, {"half"}, id="projection-outside-the-transaction"),
    pytest.param(_lying, {"lost"}, id="log-sync-lies"),
    pytest.param(_note_early, {"unopened"}, id="head-noted-before-the-save"),
])
def test_planted_fault__is_caught(
    plant: Callable[[pytest.MonkeyPatch], Recording], found_as: set[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Were the records or the disk to have this fault, the disks would show it."""
    recording = plant(monkeypatch)
    monkeypatch.undo()
    tally = look_at_all(recording, 2, enough=5)
    print(tally.examples[:1])
    assert tally.bad == 5
    assert found_as & {kind for kind in ("lost", "doubled", "half", "unopened") if getattr(tally, kind)}


def test_log__torn_write__keeps_whole_sectors_only() -> None:
    """A torn write leaves some of its 512-byte sectors and no part of one, counted from the file's beginning."""
    log = DiskLog()
    log.opened("a", False)
    log.sync_folder()
    log.write("a", 0, b"x" * 2048)
    log.sync("a")
    log.write("a", 256, b"y" * 1024)
    torn = [image.files["a"] for image in images(log, 0) if image.kind == "torn" and image.cut == 5]
    edges = (0, 256, 512, 1024, 1280, 2048)
    for content in torn:
        parts = [set(content[begin:end]) for begin, end in pairwise(edges)]
        assert all(len(part) == 1 for part in parts)
        assert b"y" in content and content.count(b"y") < 1024


@needs_library
def test_log__syncs_of_the_folder__are_those_that_sqlite_does() -> None:
    """SQLite opens a folder only to sync it; it does so as often as the log says."""
    synced: list[str] = []
    with folder_opened(synced.append):
        log = fresh().log
    synced = [path for path in synced if power_cuts.NAME in path]
    assert len(synced) == sum(step.kind == "sync folder" for step in log.steps) > 0


@needs_library
def test_watch__shipped_library__is_as_before_afterwards(tmp_path: Path) -> None:
    """A connection made after the watch ended is not told of."""
    log = DiskLog()
    with watched(tmp_path, log):
        YardRecords.open(tmp_path / "one.db", 7).close()
    before = len(log.steps)
    YardRecords.open(tmp_path / "two.db", 7).close()
    assert before > 0 and len(log.steps) == before
