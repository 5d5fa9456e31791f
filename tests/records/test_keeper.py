"""Backups by schedule: taken when due, old ones give way by rule, a second disk gets its own, trouble is told."""

from __future__ import annotations

import errno
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from small_yard import done, record

from kiosk.backup_worker import BackupWorker
from kiosk.records import YardRecords, keeper
from kiosk.records.keeper import BackupKeeper

START = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    """Return a clock at the yard's first shift."""
    return Clock()


@pytest.fixture
def keep(yard: YardRecords, tmp_path: Path, clock: Clock) -> BackupKeeper:
    """Return a keeper with a second disk and a backup every twelve hours."""
    (tmp_path / "stick").mkdir()
    return BackupKeeper(yard.path, tmp_path / "backups", tmp_path / "stick", timedelta(hours=12), clock)


def test_schedule__first_then_every_twelve_hours(keep: BackupKeeper, clock: Clock) -> None:
    """A backup is due when there is none, and when the newest is twelve hours old."""
    assert keep.is_due()
    keep.take()
    assert not keep.is_due()
    clock.now += timedelta(hours=11, minutes=59)
    assert not keep.is_due()
    clock.now += timedelta(minutes=1)
    assert keep.is_due()


def test_schedule__clock_was_ahead__is_not_put_off_for_years(keep: BackupKeeper, clock: Clock) -> None:
    """A backup from the future says nothing about now."""
    clock.now += timedelta(days=3650)
    keep.take()
    clock.now = START
    assert keep.is_due()


def test_schedule__zero__never(yard: YardRecords, tmp_path: Path, clock: Clock) -> None:
    """A shop may take its backups by hand only."""
    assert not BackupKeeper(yard.path, tmp_path / "backups", None, timedelta(0), clock).is_due()


def test_take__both_copies_open_and_hold_everything(keep: BackupKeeper, yard: YardRecords) -> None:
    """The copy on the second disk is the same file, and opens by itself."""
    yard.append(done(record()))
    taken = keep.take()
    assert taken.trouble == "" and taken.second is not None
    assert taken.second.read_bytes() == taken.report.path.read_bytes()
    copy = YardRecords.open(taken.second, 7)
    assert copy.verify() == yard.verify()
    copy.close()


def test_take__twice_in_a_second__two_files(keep: BackupKeeper) -> None:
    """A backup never takes another's name."""
    assert keep.take().report.path != keep.take().report.path
    assert len(keep.backups()) == 2


def test_take__stick_pulled_out__first_copy_counts_and_the_trouble_is_told(keep: BackupKeeper, tmp_path: Path) -> None:
    """Without the second disk there is one copy and a sentence."""
    shutil.rmtree(tmp_path / "stick")
    taken = keep.take()
    assert taken.second is None and "second disk is not there" in taken.trouble
    assert taken.report.path.exists()


@pytest.mark.parametrize("fault", ["full", "reads back otherwise"])
def test_take__bad_stick__leaves_no_file_that_looks_like_a_backup(
    keep: BackupKeeper, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: str
) -> None:
    """A copy that is not the same is no copy."""
    copy = shutil.copyfile

    def bad(source: Path, target: Path) -> None:
        if fault == "full":
            raise OSError(errno.ENOSPC, "No space left on device")
        copy(source, target)
        with target.open("r+b") as file:
            file.write(b"x")

    monkeypatch.setattr(keeper.shutil, "copyfile", bad)
    taken = keep.take()
    assert taken.second is None and "look at the stick" in taken.trouble
    assert list((tmp_path / "stick").iterdir()) == []


def test_rotation__a_year_of_two_a_day__keeps_days_weeks_and_months(keep: BackupKeeper, tmp_path: Path) -> None:
    """The newest seven stay, one a week for five weeks, one a month for twelve; other files are left alone."""
    folder = tmp_path / "backups"
    folder.mkdir()
    days = [START - timedelta(hours=12 * number) for number in range(1, 2 * 400)]
    for day in days:
        (folder / f"records-{day:%Y%m%dT%H%M%SZ}.db").touch()
    for other in ("records-by-hand.db", "notes.txt", "records-20260230T000000Z.db"):
        (folder / other).touch()
    taken = keep.take()
    kept = keep.backups()
    assert kept[0] == taken.report.path
    assert [path.name for path in kept[1:7]] == [f"records-{day:%Y%m%dT%H%M%SZ}.db" for day in days[:6]]
    assert len({path.name[8:14] for path in kept}) == 12
    assert len(kept) <= 7 + 5 + 12
    assert {"records-by-hand.db", "notes.txt", "records-20260230T000000Z.db"} <= {
        path.name for path in folder.iterdir()}


def test_worker__due__takes_one_and_tells_trouble_once(keep: BackupKeeper, clock: Clock, tmp_path: Path) -> None:
    """The worker takes what is due; the same trouble is not told every twelve hours."""
    told: list[str] = []
    worker = BackupWorker(keep, told.append)
    worker.check()
    worker.check()
    assert (len(keep.backups()), told) == (1, [])
    shutil.rmtree(tmp_path / "stick")
    for _ in range(3):
        clock.now += timedelta(hours=12)
        worker.check()
    assert len(keep.backups()) == 4
    assert len(told) == 1 and "second disk" in told[0]


def test_worker__records_damaged__tells_and_goes_on(keep: BackupKeeper, yard: YardRecords) -> None:
    """A backup that cannot be taken is told in a sentence; no file is left that looks like one."""
    yard.close()
    with closing(sqlite3.connect(yard.path)) as connection, connection:
        connection.execute("DROP TRIGGER journal_is_never_changed")
        connection.execute("UPDATE journal SET body = replace(body, 'Ada', 'Ida') WHERE seq = 2")
    told: list[str] = []
    BackupWorker(keep, told.append).check()
    assert len(told) == 1 and told[0].startswith("No backup was taken. The copy is not good")
    assert keep.backups() == []


def test_worker__runs_on_its_thread_and_stops(
    keep: BackupKeeper, monkeypatch: pytest.MonkeyPatch, wait_for: Callable[[Callable[[], bool]], None]
) -> None:
    """Started, it takes the first backup by itself; stopped, it is gone."""
    monkeypatch.setattr("kiosk.backup_worker.FIRST_CHECK_S", 0.01)
    worker = BackupWorker(keep, print)
    worker.start()
    wait_for(lambda: bool(keep.backups()))
    worker.stop()
    assert not worker._thread.is_alive()


@pytest.fixture
def wait_for() -> Callable[[Callable[[], bool]], None]:
    """Return what waits until something holds, for ten seconds at most."""
    import time

    def wait(holds: Callable[[], bool]) -> None:
        end = time.monotonic() + 10
        while not holds():
            assert time.monotonic() < end
            time.sleep(0.02)

    return wait
