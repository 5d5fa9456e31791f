"""The five main jobs in one real window, by scanner keys and touches through the X server, from scan to saved record.

The kiosk runs in a process of its own on a copy of the demo yard; afterwards the database and the files are opened.
"""

from __future__ import annotations

import csv
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pypdf
import pytest
from pyzbar.pyzbar import ZBarSymbol, decode

from kiosk.entities import JobType, Phase, Verdict
from kiosk.records import YardRecords
from labels.pdf import picture_of

pytestmark = [pytest.mark.window, pytest.mark.slow]
LIMIT_S = 300


@dataclass
class Walk:
    """What the run left."""

    records: YardRecords
    jobs: dict[str, dict[str, Any]]
    files: dict[str, str]
    out: Path


@pytest.fixture(scope="module", params=["1280x800", "1024x600"])
def walk(request: pytest.FixtureRequest, built_yard: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Walk]:
    """Drive the kiosk through the jobs once for a screen size, then open what it left."""
    folder = tmp_path_factory.mktemp("walk")
    shop, out = folder / "shop", folder / "out"
    shutil.copytree(built_yard, shop)
    environment = {**os.environ, "KIVY_HOME": str(folder / "kivy"), "KIVY_NO_CONSOLELOG": "1"}
    run = subprocess.run(
        [sys.executable, "-m", "demo_shop.drive", "--shop", str(shop), "--out", str(out), "--size", request.param,
         "--in-place"], env=environment, capture_output=True, text=True, timeout=LIMIT_S, check=False,
        cwd=Path(__file__).parents[2],
    )
    assert run.returncode == 0, f"{run.stdout[-3000:]}\n{run.stderr[-5000:]}"
    account = json.loads((out / "account.json").read_text())
    records = YardRecords.open(shop / "kiosk.db", 1)
    yield Walk(records, account["jobs"], account["files"], out)
    records.close()


def test_greasing_in_the_round_costs_one_scan_and_one_touch(walk: Walk) -> None:
    """After badge and cautions, a bearing is greased and saved with one scan and one touch."""
    job = walk.jobs["grease again"]
    assert (job["scans"], job["touches"]) == (1, 1)
    record = walk.records.record(job["record_id"])
    assert record.job_type is JobType.GREASE and record.strokes == 2 and record.grease


def test_cautions_were_confirmed_by_the_badges_owner_before_the_first_job(walk: Walk) -> None:
    """The journal has the confirmation, in the mechanic's name, before the greasing."""
    record = walk.records.record(walk.jobs["grease"]["record_id"])
    entries = list(walk.records.entries())
    confirmed = next(entry for entry in reversed(entries) if type(entry.event.payload).__name__ == "CautionsConfirmed"
                     and entry.event.payload.unit_id == record.unit_id and entry.event.at <= record.at)
    assert confirmed.event.person_id == record.person_id
    assert set(record.cautions) <= set(confirmed.event.payload.cautions)


def test_adjustment_keeps_as_found_and_as_left_with_their_limits(walk: Walk) -> None:
    """Four readings as typed: found outside, left within, each with its limits and their source; advice is kept."""
    record = walk.records.record(walk.jobs["adjust"]["record_id"])
    typed = [(reading.phase, reading.side.value, reading.typed, reading.verdict) for reading in record.readings]
    assert typed == [
        (Phase.AS_FOUND, "left", "2 3/4 (in)", Verdict.OUTSIDE),
        (Phase.AS_FOUND, "right", "2 5/8 (in)", Verdict.OUTSIDE),
        (Phase.AS_LEFT, "left", "1 5/8 (in)", Verdict.WITHIN),
        (Phase.AS_LEFT, "right", "1 5/8 (in)", Verdict.WITHIN),
    ]
    assert all(reading.limit_source and reading.upper for reading in record.readings)
    assert record.readings[0].value == pytest.approx(2.75 * 25.4)
    assert any("take-ups" in line for line in record.advice)


def test_splice_changes_the_belts_recorded_length(walk: Walk) -> None:
    """The belt on record is shorter by whole cleat pitches and has one splice more."""
    record = walk.records.record(walk.jobs["splice"]["record_id"])
    belt = walk.records.component(record.component_id)
    assert record.job_type is JobType.SPLICE
    cleats = belt.properties["belt_length_mm"] / belt.properties["cleat_pitch_mm"]
    assert cleats == pytest.approx(round(cleats)) and len(belt.properties["splices_mm"]) >= 2


def test_joint_bolts_were_ticked_from_the_centre_outward(walk: Walk) -> None:
    """Common practice, no source: the middle bolt first, then alternately outward, the ends last."""
    order = walk.jobs["splice"]["bolts"]
    middle = (len(order) + 1) / 2
    distances = [abs(bolt - middle) for bolt in order]
    assert distances == sorted(distances) and sorted(order) == list(range(1, len(order) + 1))


def test_replaced_bearing_is_retired_and_the_new_one_bound_to_its_label(walk: Walk) -> None:
    """The old part keeps its history and reason; its label is retired; the new label finds the new part."""
    job = walk.jobs["replace"]
    old = walk.records.component(walk.records.record(job["record_id"]).component_id)
    assert old.retired_reason == "seized" and old.retired_at is not None
    new_label = walk.records.label(job["new_label"])
    assert new_label is not None and new_label.subject_id == old.replaced_by
    old_label = walk.records.label(job["label"])
    assert old_label is not None and old_label.retired_reason
    at_position = walk.records.component_at(old.position_id)
    assert at_position is not None and at_position.label == job["new_label"]


def test_printed_label_reads_as_the_new_number(walk: Walk) -> None:
    """An independent decoder reads the label's page at the printer's resolution."""
    picture = picture_of(Path(walk.files["label"]), dots_per_inch=203)
    assert [found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128])] == [
        walk.jobs["replace"]["new_label"]
    ]


def test_history_on_paper_and_as_file_has_the_whole_position(walk: Walk) -> None:
    """The position's history goes past the replacement to what was done on the old part, in print and as CSV."""
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(walk.files["history PDF"]).pages)
    assert walk.jobs["replace"]["new_label"] in text.replace(" ", "")
    assert "seized" in text and "Grease" in text and walk.records.head() in text.replace("\n", "")
    with Path(walk.files["history CSV"]).open(newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    assert {"replace", "grease"} <= {row["job_type"] for row in rows} and len(rows) > 50


def test_journal_is_whole_and_its_tables_are_what_a_rebuild_makes(walk: Walk) -> None:
    """After all of it the chain verifies and the live tables equal those made anew from the journal."""
    assert walk.records.verify().first_bad is None
    assert walk.records.tables_unlike_journal() == []


def test_every_screen_left_its_picture(walk: Walk) -> None:
    """The run shows each screen of the main job."""
    names = {path.stem for path in walk.out.glob("*.png")}
    assert names >= {"idle", "component", "cautions", "form-as-found", "form-as-left", "unit", "splice-plan",
                     "splice-joint", "replace", "history", "saved-grease"}
