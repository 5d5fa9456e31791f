"""Damaged records restored at the kiosk's screen, in a real window with real touches."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from kiosk.commands import run
from kiosk.events import Event, HoursRead, RecordsRestored
from kiosk.records import YardRecords
from kiosk.records.ids import new_id
from kiosk.shop import Shop


@pytest.mark.window
@pytest.mark.slow
@pytest.mark.parametrize("size", ["1024x600"])  # the tighter panel; the other by hand
def test_damaged_records__supervisor_at_the_screen__are_restored_with_what_is_newer(
    size: str, built_yard: Path, tmp_path: Path
) -> None:
    """Badge, PIN, backup, trial, 'Restore now': nothing is lost, the damaged file is kept, and who did it is known."""
    shop, out = tmp_path / "shop", tmp_path / "out"
    shutil.copytree(built_yard, shop)
    entries = _with_backup_and_newer(shop)
    damaged = os.urandom(100) + (shop / "kiosk.db").read_bytes()[100:]
    (shop / "kiosk.db").write_bytes(damaged)
    environment = {**os.environ, "KIVY_HOME": str(tmp_path / "kivy"), "KIVY_NO_CONSOLELOG": "1", "KIVY_NO_ARGS": "1",
                   "PYTHONPATH": str(Path(__file__).parents[2])}
    script = Path(__file__).with_name("restore_walk.py")
    done = subprocess.run([sys.executable, str(script), str(shop), str(out), size], env=environment,
                          capture_output=True, text=True, timeout=240, check=False)
    assert done.returncode == 0, f"{done.stdout[-2000:]}\n{done.stderr[-4000:]}"
    assert json.loads((out / "account.json").read_text()) == {"again": "as it was"}
    records = YardRecords.open(shop / "kiosk.db", 1)
    *_, last = records.entries()
    assert isinstance(last.event.payload, RecordsRestored) and last.event.person_id == "crew-halloran"
    assert (last.event.payload.carried, last.event.payload.lost) == (1, 0)
    report = records.verify()
    assert (report.first_bad, report.entries) == (None, entries + 1)
    records.close()
    assert (shop / "kiosk.db.before-restore-1").read_bytes() == damaged


def _with_backup_and_newer(folder: Path) -> int:
    with Shop.open(folder) as shop:
        shop.pins.set("crew-halloran", "8264913")
        shop.keeper.take()
        unit = shop.records.units()[0]
        last = shop.records.hours(unit.id)
        assert last is not None
        shop.records.append(Event(new_id(), last.at, None, HoursRead(unit.id, last.hours + 1)))
        return shop.records.verify().entries


def test_kiosk_that_starts_again__is_the_same_command__with_or_without_the_records_closed(
    monkeypatch: pytest.MonkeyPatch
) -> None:
    """The next process has the options of this one; 'to restore' lasts for one start only."""
    started: list[list[str]] = []
    monkeypatch.setattr("os.execv", lambda program, words: started.append(words))
    monkeypatch.setattr(sys, "orig_argv", ["python", "-m", "kiosk", "run", "--shop", "x", "--to-restore"])
    run._start_anew(to_restore=False)
    run._start_anew(to_restore=True)
    assert [words[1:] for words in started] == [["-m", "kiosk", "run", "--shop", "x"],
                                                ["-m", "kiosk", "run", "--shop", "x", "--to-restore"]]
