"""The first-day tour in a real window: every step done, and not a byte of the real records touched."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from kiosk.records import YardRecords

pytestmark = [pytest.mark.window, pytest.mark.slow]


def head_of(shop: Path) -> tuple[str, int]:
    """Return the chain's head and how many entries there are."""
    records = YardRecords.open(shop / "kiosk.db", 1)
    try:
        return records.head(), records.verify().entries
    finally:
        records.close()


def test_newcomers_first_five_minutes__leave_real_records_alone(built_yard: Path, tmp_path: Path) -> None:
    """Seven steps on the practice yard; afterwards the journal's head is what it was, the practice folder is gone."""
    shop, out = tmp_path / "shop", tmp_path / "out"
    shutil.copytree(built_yard, shop)
    before = head_of(shop)
    sheets = {path.name: hashlib.sha256(path.read_bytes()).digest() for path in (shop / "sheets").iterdir()}
    places = tmp_path / "temp"
    places.mkdir()
    environment = {**os.environ, "KIVY_HOME": str(tmp_path / "kivy"), "KIVY_NO_CONSOLELOG": "1", "KIVY_NO_ARGS": "1",
                   "PYTHONPATH": str(Path(__file__).parents[2]), "TMPDIR": str(places)}
    script = Path(__file__).with_name("first_day.py")
    run = subprocess.run([sys.executable, str(script), str(shop), str(out), "1024x600"], env=environment,
                         capture_output=True, text=True, timeout=240, check=False)
    assert run.returncode == 0, f"{run.stdout[-2000:]}\n{run.stderr[-4000:]}"
    assert head_of(shop) == before
    assert {path.name: hashlib.sha256(path.read_bytes()).digest() for path in (shop / "sheets").iterdir()} == sheets
    assert list(places.glob("kiosk-practice-*")) == [] and tempfile.gettempdir() != str(places)
