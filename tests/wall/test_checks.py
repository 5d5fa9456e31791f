"""What `kiosk selfcheck` and the health page say of a shop that is not well."""

from __future__ import annotations

import os
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from kiosk.presenters.ports import PartCheck
from kiosk.wall import checks
from kiosk.wall.checks import all_checks


def check(yard: Path, part: str) -> PartCheck:
    return next(one for one in all_checks(yard) if one.part == part)


def test_backup_older_than_twice_the_schedule_fails(yard: Path) -> None:
    """12 hours by default: a backup of the day before yesterday is told, with its age."""
    (yard / "backups").mkdir()
    two_days = datetime.now(UTC) - timedelta(days=2, hours=1)
    (yard / "backups" / f"records-{two_days:%Y%m%dT%H%M%SZ}.db").touch()
    assert not check(yard, "backups").works and "2 days" in check(yard, "backups").found
    (yard / "backups" / f"records-{datetime.now(UTC):%Y%m%dT%H%M%SZ}.db").touch()
    assert check(yard, "backups").works


def test_kiosk_that_ran_and_took_no_backup_fails(yard: Path) -> None:
    """A new kiosk has none yet, which is no fault."""
    assert check(yard, "backups").works
    (yard / "window.lock").touch()
    assert not check(yard, "backups").works


def test_second_disk_that_is_not_there_fails(yard: Path) -> None:
    """The stick was taken home."""
    (yard / "kiosk.toml").write_text(f'backup_second = "{yard / "stick"}"\n')
    assert "second disk" in check(yard, "backups").found


def test_scanner_that_is_not_plugged_in_fails_and_names_what_is(yard: Path) -> None:
    """Whoever sets it up sees the name to write down."""
    (yard / "kiosk.toml").write_text('scanner = "no such scanner"\n')
    assert not check(yard, "scanner").works and "no such scanner" in check(yard, "scanner").found


def test_clock_before_the_last_entries_fails(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A dead battery: the computer says last year."""

    class LongAgo(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:
            return datetime(2024, 1, 1, tzinfo=UTC)

    assert check(yard, "clock").works
    monkeypatch.setattr(checks, "datetime", LongAgo)
    assert "2024-01-01" in check(yard, "clock").found


@pytest.mark.skipif(os.geteuid() != 0 or not shutil.which("mount"), reason="a small disk takes root")
def test_disk_that_is_nearly_full_fails(tmp_path: Path) -> None:
    """A real file system of 1 MB."""
    import subprocess

    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(tmp_path)], check=False).returncode:
        pytest.skip("nothing may be mounted here")
    try:
        (tmp_path / "kiosk.toml").write_text("kiosk = 1\n")
        assert not check(tmp_path, "disk").works
    finally:
        subprocess.run(["umount", str(tmp_path)], check=True)
