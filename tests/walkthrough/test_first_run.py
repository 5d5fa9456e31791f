"""A new yard in one real window, from an empty folder to the first greasing; afterwards records and files are read."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest

from kiosk.config import load_config
from kiosk.entities import JobType, Role
from kiosk.events import PinSet
from kiosk.records import YardRecords

pytestmark = [pytest.mark.window, pytest.mark.slow]


@pytest.mark.parametrize("size", ["1024x600"])  # the tighter panel; the other by hand
def test_empty_folder__to_first_greasing(size: str, tmp_path: Path) -> None:
    """Yard, supervisor with a PIN of their own, unit from a template, labels as PDF, a mechanic, one greasing saved."""
    shop, out = tmp_path / "shop", tmp_path / "out"
    environment = {**os.environ, "KIVY_HOME": str(tmp_path / "kivy"), "KIVY_NO_CONSOLELOG": "1", "KIVY_NO_ARGS": "1",
                   "PYTHONPATH": str(Path(__file__).parents[2])}
    script = Path(__file__).with_name("first_run.py")
    run = subprocess.run([sys.executable, str(script), str(shop), str(out), size], env=environment,
                         capture_output=True, text=True, timeout=240, check=False)
    assert run.returncode == 0, f"{run.stdout[-2000:]}\n{run.stderr[-4000:]}"
    account = json.loads((out / "account.json").read_text())
    assert load_config(shop).time_zone == "Europe/Madrid" and account["refused"] == "12x"
    records = YardRecords.open(shop / "kiosk.db", 1)
    try:
        assert records.yard_name() == "Kelp Lane"
        assert {person.name: person.role for person in records.people()} == {
            "Ana Peña": Role.SUPERVISOR, "Bo Lind": Role.MECHANIC}
        assert [entry.event.payload.person_id for entry in records.entries()
                if isinstance(entry.event.payload, PinSet)] == ["crew-ana-pena"]
        (record,) = records.unit_history("unit-1")
        assert record.job_type is JobType.GREASE and record.strokes == 2
        assert records.person(record.person_id).name == "Bo Lind"
        assert records.verify().first_bad is None and records.tables_unlike_journal() == []
        labels = pypdf.PdfReader(shop / "labels" / account["labels"])
        text = "".join(page.extract_text() for page in labels.pages)
        assert text.count("Lower shaft bearing, left") == 1 and "Unit 1" in text
        assert (shop / "labels" / account["badge_page"]).read_bytes().startswith(b"%PDF")
    finally:
        records.close()
