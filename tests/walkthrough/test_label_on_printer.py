"""Replacing a bearing in a real window with a real IPP printer program that is off, then killed in the middle.

The window runs in a process of its own; afterwards the database and what came out of the printer are opened.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from label_checks import picture_of_raster
from printer_programs import NEEDED, missing

from kiosk.entities import PrintState
from kiosk.records import YardRecords
from labels.reading import Reader

ROOT = Path(__file__).parents[2]
pytestmark = [pytest.mark.window, pytest.mark.slow,
              pytest.mark.skipif(bool(missing(NEEDED)), reason=f"not installed: {missing(NEEDED)}")]


def test_bearing_is_replaced_though_the_printer_fails_twice(yard: Path, tmp_path: Path) -> None:
    """One label came out, only after the mechanic said that none had; it reads, and the part has its number."""
    out = tmp_path / "out"
    environment = {**os.environ, "KIVY_HOME": str(tmp_path / "kivy"), "KIVY_NO_CONSOLELOG": "1", "KIVY_NO_ARGS": "1",
                   "PYTHONPATH": f"{ROOT}:{ROOT / 'tests' / 'data'}"}
    run = subprocess.run(
        [sys.executable, str(ROOT / "tests" / "data" / "printing_walk.py"), str(yard), str(out),
         str(tmp_path / "printer")], env=environment, capture_output=True, text=True, timeout=180, check=False)
    assert run.returncode == 0, f"{run.stdout[-2000:]}\n{run.stderr[-4000:]}"
    account = json.loads((out / "account.json").read_text())
    assert account["before_the_word"] == 0 and len(account["came_out"]) == 1
    assert Reader(None).read(picture_of_raster(Path(account["came_out"][0]))).number == account["number"]
    records = YardRecords.open(yard / "kiosk.db", 1)
    try:
        record = records.record(account["record_id"])
        new = records.component(records.label(account["number"]).subject_id)
        assert new.label == account["number"] and new.position_id == record.position_id
        assert records.label(account["old"]).retired_at is not None
        assert records.last_label_print(account["number"]).state is PrintState.READ_BACK
        assert records.verify().first_bad is None
    finally:
        records.close()
