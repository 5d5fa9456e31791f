"""A supervisor's morning in one real window: what was touched is in the journal, and the report opens."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest

from kiosk.entities import PhotoOf, Severity
from kiosk.records import YardRecords

pytestmark = [pytest.mark.window, pytest.mark.slow]


@pytest.mark.parametrize("size", ["1024x600"])  # the tighter panel; the other by hand
def test_supervisors_morning__from_badge_to_printed_report(size: str, built_yard: Path, tmp_path: Path) -> None:
    """A finding closed, histories on a stick, a unit held, strokes put right, a photo taken, the summary written."""
    shop, out = tmp_path / "shop", tmp_path / "out"
    shutil.copytree(built_yard, shop)
    environment = {**os.environ, "KIVY_HOME": str(tmp_path / "kivy"), "KIVY_NO_CONSOLELOG": "1", "KIVY_NO_ARGS": "1",
                   "PYTHONPATH": str(Path(__file__).parents[2])}
    script = Path(__file__).with_name("supervisor_morning.py")
    run = subprocess.run([sys.executable, str(script), str(shop), str(out), size], env=environment,
                         capture_output=True, text=True, timeout=480, check=False)
    assert run.returncode == 0, f"{run.stdout[-2000:]}\n{run.stderr[-4000:]}"
    account = json.loads((out / "account.json").read_text())
    records = YardRecords.open(shop / "kiosk.db", 1)
    correction = records.corrections([account["record"]])[account["record"]]
    assert correction.reason == "Miscounted" and correction.replacement_id is not None
    assert records.record(correction.replacement_id).strokes == 3
    hold = records.hold_of("unit-02")
    assert hold is not None and hold.reason == "Brake"
    assert records.verify().first_bad is None and records.tables_unlike_journal() == []
    page = pypdf.PdfReader(account["on stick"]).pages[0]
    assert Path(account["on stick"]).parent.name == "STICK"
    assert (round(page.mediabox.width), round(page.mediabox.height)) == (595, 842)  # A4, ISO 216: 210 x 297 mm
    finding = next(each for each in records.open_findings() if each.text == "Link cracked")
    assert finding.severity is Severity.BEFORE_USE
    (kept,) = records.photos_of(PhotoOf.FINDING, [finding.id])
    assert hashlib.sha256(Path(account["photo"]).read_bytes()).hexdigest() == kept.photo.sha256
    text = pypdf.PdfReader(account["report"]).pages[0].extract_text()
    assert "Monthly summary" in text
    records.close()
