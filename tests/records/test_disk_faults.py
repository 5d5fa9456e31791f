"""A disk that is slow, fails or is pulled out, and files damaged, moved or lost while the kiosk works on them."""

from __future__ import annotations

import os
import signal
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from disk_faults import SQLITE_FULL, SQLITE_IOERR_FSYNC, SQLITE_IOERR_WRITE, BadDisk
from disk_watch import shipped_library, watched
from small_yard import done, record, yard_events

from kiosk.errors import StoreUnavailable
from kiosk.records import YardRecords
from kiosk.records.reading_only import ReadingRecords

KIOSK = 7
needs_library = pytest.mark.skipif(shipped_library() is None, reason="this Python has its SQLite built in")


def _refused(records: YardRecords) -> str:
    with pytest.raises(StoreUnavailable) as error:
        records.append(done(record(40)))
    assert error.value.operator_message.endswith("kept on the screen.")
    return error.value.kind


# The disk itself


@needs_library
def test_disk__slow__save_waits_and_is_saved(tmp_path: Path) -> None:
    """A disk that takes its time makes a save slow, not lost."""
    disk = BadDisk()
    with watched(tmp_path, disk):
        records = YardRecords.open(tmp_path / "yard.db", KIOSK)
        records.append_all(yard_events())
        disk.sync_s = 0.3
        started = time.monotonic()
        saved = records.append(done(record()))
        took_s = time.monotonic() - started
        disk.sync_s = 0.0
        records.close()
    assert took_s >= 0.3
    assert YardRecords.open(tmp_path / "yard.db", KIOSK).entry(saved.event.id) == saved


@needs_library
@pytest.mark.parametrize(("code", "kind"), [
    pytest.param(SQLITE_IOERR_WRITE, "failing", id="write-error"),
    pytest.param(SQLITE_IOERR_FSYNC, "failing", id="sync-error"), pytest.param(SQLITE_FULL, "full", id="full"),
])
@pytest.mark.parametrize("works_for", [0, 3, 17])
def test_disk__fails_and_comes_back__says_so_and_saves_again(
    tmp_path: Path, code: int, kind: str, works_for: int
) -> None:
    """A disk that fails in the middle of a save says so; what was saved stays, and the same save goes well later."""
    disk, tried = BadDisk(), done(record(40))
    with watched(tmp_path, disk):
        records = YardRecords.open(tmp_path / "yard.db", KIOSK)
        records.append_all(yard_events())
        disk.fails, disk.works_for = code, works_for
        with pytest.raises(StoreUnavailable) as error:
            records.append(tried)
        disk.fails = 0
        assert error.value.kind == kind
        records.append(tried)
        records.append(tried)
        report = records.verify()
        assert (report.entries, report.first_bad) == (len(yard_events()) + 1, None)
        assert records.tables_unlike_journal() == []
        records.close()


# Files that went away under the kiosk


def test_file__removed_while_open__refuses_to_save_into_nowhere(yard: YardRecords) -> None:
    """SQLite goes on writing into a file without a name: the kiosk does not."""
    yard.append(done(record()))
    yard.path.unlink()
    assert _refused(yard) == "moved"


def test_file__another_in_its_place__refuses(yard: YardRecords, tmp_path: Path) -> None:
    """A backup put in place of the open records is not written past."""
    yard.append(done(record()))
    yard.backup(tmp_path / "copy.db")
    os.replace(tmp_path / "copy.db", yard.path)
    assert _refused(yard) == "moved"


def test_log__removed_while_open__refuses(yard: YardRecords) -> None:
    """A save into a log that has no name any more would be gone after a power cut."""
    yard.append(done(record()))
    yard.path.with_name("yard.db-wal").unlink()
    assert _refused(yard) == "moved"


# Files as a crash and somebody's hand left them


@pytest.fixture
def crashed(tmp_path: Path) -> Path:
    """Return records whose last saves stand in the log only."""
    path = tmp_path / "yard.db"
    pid = os.fork()
    if pid == 0:
        records = YardRecords.open(path, KIOSK)
        records.append_all(yard_events())
        records.append(done(record()))
        os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(pid, 0)
    return path


def _wal(path: Path) -> Path:
    return path.with_name(f"{path.name}-wal")


def _missing(path: Path) -> None:
    _wal(path).unlink()


def _cut(path: Path) -> None:
    os.truncate(_wal(path), _wal(path).stat().st_size - 3 * 4120)


def _flipped(path: Path) -> None:
    with _wal(path).open("r+b") as file:
        file.seek(-2000, os.SEEK_END)
        byte = file.read(1)
        file.seek(-2000, os.SEEK_END)
        file.write(bytes([byte[0] ^ 1]))


def _random(path: Path) -> None:
    _wal(path).write_bytes(os.urandom(50_000))


def test_log__after_a_crash__brings_everything_back(crashed: Path) -> None:
    """Nothing is wrong with records that only crashed."""
    records = YardRecords.open(crashed, KIOSK)
    assert records.verify().entries == len(yard_events()) + 1
    records.close()


@pytest.mark.parametrize("spoil", [_cut, _flipped], ids=["cut-short", "one-bit"])
def test_log__its_end_damaged__says_how_many_entries_are_gone(crashed: Path, spoil: Callable[[Path], None]) -> None:
    """SQLite opens such records as if nothing had been there; the note beside them knows better."""
    spoil(crashed)
    with pytest.raises(StoreUnavailable, match="last 1 saved entries are not in the records") as error:
        YardRecords.open(crashed, KIOSK)
    assert error.value.kind == "damaged"


@pytest.mark.parametrize("spoil", [_missing, _random], ids=["missing", "random-bytes"])
def test_log__gone_as_a_whole__says_how_many_entries_are_gone(crashed: Path, spoil: Callable[[Path], None]) -> None:
    """With the whole log all that was in it is gone: the sentence says so and what to do."""
    spoil(crashed)
    with pytest.raises(StoreUnavailable, match="Put it back, or restore the last backup") as error:
        YardRecords.open(crashed, KIOSK)
    assert error.value.kind == "damaged"


def test_log__gone__and_the_note_removed__goes_on_without(crashed: Path) -> None:
    """The way on that the sentence names works: the records open as far as they go."""
    _missing(crashed)
    crashed.with_name("yard.db-head-07").unlink()
    records = YardRecords.open(crashed, KIOSK)
    records.append_all(yard_events())
    records.close()


def test_note__unreadable__is_no_reason_to_stay_shut(crashed: Path) -> None:
    """A note that a power cut left half is no note."""
    crashed.with_name("yard.db-head-07").write_bytes(b"000000000012 ab")
    YardRecords.open(crashed, KIOSK).close()


def _flip_in_journal(path: Path, text: bytes, to: bytes) -> None:
    content = path.read_bytes()
    assert text in content
    path.write_bytes(content.replace(text, to))


@pytest.mark.parametrize("to", [b"lithium 3", b"lithium \xff"], ids=["other-letter", "no-text-at-all"])
def test_record__one_byte_wrong__is_not_shown_not_exported_and_named(yard: YardRecords, to: bytes) -> None:
    """SQLite's own check says 'ok'; the record's hash is asked before it is shown or sent out."""
    saved = done(record())
    yard.append(saved)
    yard.close()
    _flip_in_journal(yard.path, b"lithium 2", to)
    with closing(sqlite3.connect(yard.path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    records = YardRecords.open(yard.path, KIOSK)
    for ask in (lambda: records.record(saved.id), lambda: records.component_history("bearing-left-1"),
                lambda: records.position_history("u1-left"), lambda: list(records.entries()),
                lambda: records.entry(saved.id)):
        with pytest.raises(StoreUnavailable) as error:
            ask()
        assert error.value.kind == "damaged"
    bad = records.verify().first_bad
    assert bad is not None and bad.seq == len(yard_events()) + 1
    assert records.component_history("bearing-right-1") == ()
    records.close()


def test_page__random_bytes_in_the_middle__is_named_when_met(yard: YardRecords) -> None:
    """One page of the file gone bad is found where it is read, or by the walk, and never shown."""
    for day in range(60):
        yard.append(done(record(1 + day, note="dark grease " * 60)))
    yard.close()
    whole = yard.path.read_bytes()
    wrong = []
    for page in range(2, len(whole) // 4096, 3):
        yard.path.write_bytes(whole[:page * 4096] + os.urandom(4096) + whole[page * 4096 + 4096:])
        wrong += [] if _finds(yard.path) else [page]
    assert wrong == []


def _finds(path: Path) -> bool:
    """Return whether the kiosk says that something is damaged, or that nothing of what it keeps is."""
    try:
        records = YardRecords.open(path, KIOSK)
    except StoreUnavailable as error:
        return error.kind == "damaged"
    try:
        if records.verify().first_bad is not None:
            return True
        with closing(sqlite3.connect(path)) as connection:
            if connection.execute("PRAGMA integrity_check(1)").fetchone() != ("ok",):
                return True
        return records.tables_unlike_journal() == []
    except StoreUnavailable as error:
        return error.kind == "damaged"
    finally:
        records.close()


# Read although nothing can be saved


@pytest.mark.parametrize("damage", ["a table's page", "the log is gone", "folder is read-only"])
def test_reading__nothing_can_be_saved__histories_are_shown_and_the_file_is_left_alone(
    crashed: Path, damage: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The kiosk opens a copy to be read, says why, refuses to save, and leaves the file as it is."""
    if damage == "a table's page":
        YardRecords.open(crashed, KIOSK).close()
        with closing(sqlite3.connect(crashed)) as connection:
            page = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'unit'").fetchone()[0]
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        with crashed.open("r+b") as file:
            file.seek((page - 1) * 4096)
            file.write(os.urandom(4096))
        why = StoreUnavailable("damaged", kind="damaged")
    elif damage == "the log is gone":
        records = YardRecords.open(crashed, KIOSK)
        records.close()
        crashed.with_name("yard.db-head-07").write_bytes(b"000000000099 " + b"a" * 64 + b"\n")
        with pytest.raises(StoreUnavailable) as error:
            YardRecords.open(crashed, KIOSK)
        why = error.value
    else:
        why = StoreUnavailable("read-only", kind="read-only")
    before = crashed.read_bytes()
    with closing(ReadingRecords.open_to_read(crashed, KIOSK, why)) as records:
        assert [each.job for each in records.component_history("bearing-left-1")] == ["grease"]
        with pytest.raises(StoreUnavailable) as refused:
            records.append(done(record(40)))
        assert refused.value is why
        copy = records.path
    assert not copy.exists()
    assert crashed.read_bytes() == before


@pytest.mark.parametrize("kind", ["locked", "gone", "foreign", "newer", "damaged"])
def test_reading__nothing_to_read__says_what_opening_said(tmp_path: Path, kind: str) -> None:
    """Where nothing can be read either, the first sentence stands."""
    path = tmp_path / "yard.db"
    path.write_bytes(os.urandom(20_000))
    why = StoreUnavailable("why", kind=kind)
    with pytest.raises(StoreUnavailable) as error:
        ReadingRecords.open_to_read(path, KIOSK, why)
    assert error.value is why


def test_file__removed_between_two_openings__is_not_replaced_by_an_empty_one(yard: YardRecords) -> None:
    """A file that was there and is gone is said to be gone; no empty yard takes its place."""
    yard.append(done(record()))
    yard.close()
    yard.path.unlink()
    with pytest.raises(StoreUnavailable) as error:
        YardRecords.open(yard.path, KIOSK)
    assert error.value.kind == "gone"
    assert not yard.path.exists()
