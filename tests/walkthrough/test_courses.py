"""Guided work in a real window by scanner keys and touches: what was saved, and what it cost in touches and scans."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from kiosk.entities import Phase, Verdict
from kiosk.events import CourseBegun, CourseEnded, CourseStepped, JobScheduled
from kiosk.guided import CourseKind, Outcome, StepKind
from kiosk.presenters.advice.tracking_advice import logged_moves
from kiosk.records import YardRecords

pytestmark = [pytest.mark.window, pytest.mark.slow]
LIMIT_S = 240
Walk = Callable[[str, str], dict[str, Any]]


@pytest.fixture
def shop(built_yard: Path, tmp_path: Path) -> Path:
    """A copy of the yard whose run-in takes two belt revolutions, so that nobody waits a quarter of an hour for it."""
    folder = tmp_path / "shop"
    shutil.copytree(built_yard, folder)
    sheet = folder / "sheets" / "cleated-belt.toml"
    text = sheet.read_text("utf-8")
    assert text.count("\nrevolutions = 120\n") == 1
    text = re.sub(r"^revision = (\d+)$", lambda found: f"revision = {int(found[1]) + 1}", text, count=1, flags=re.M)
    sheet.write_text(text.replace("\nrevolutions = 120\n", "\nrevolutions = 2\n"), "utf-8")
    return folder


@pytest.fixture
def walk(shop: Path, tmp_path: Path) -> Walk:
    """Run one part of the work in a process of its own and return its account."""
    out = tmp_path / "out"
    out.mkdir()

    def run(part: str, size: str) -> dict[str, Any]:
        environment = {**os.environ, "KIVY_HOME": str(out / "kivy"), "KIVY_NO_CONSOLELOG": "1", "KIVY_NO_ARGS": "1",
                       "PYTHONPATH": str(Path(__file__).parents[2])}
        script = Path(__file__).with_name("courses_walk.py")
        done = subprocess.run([sys.executable, str(script), str(shop), str(out), size, part], env=environment,
                              capture_output=True, text=True, timeout=LIMIT_S, check=False)
        assert done.returncode == 0, f"{done.stdout[-2000:]}\n{done.stderr[-4000:]}"
        account = json.loads((out / f"{part}.json").read_text("utf-8"))
        print(f"{part}: {account['touches']} touches, {account['scans']} scans")
        return dict(account)

    return run


def _opened(shop: Path) -> YardRecords:
    return YardRecords.open(shop / "kiosk.db", 1)


def test_tracking_session__three_cycles_with_a_restart_in_a_run(walk: Walk, shop: Path) -> None:
    """Begun in one process, shut down while the belt runs, taken up in another: one record tells all three cycles."""
    walk("session-1", "1280x800")
    account = walk("session-2", "1280x800")
    records = _opened(shop)
    try:
        record = records.record(account["jobs"]["session"]["record_id"])
        course = next(entry.event for entry in records.entries() if isinstance(entry.event.payload, CourseBegun))
        steps = records.course_steps(course.id)
        assert [step.kind for step in steps] == [
            StepKind.MEASURED, *([StepKind.TURNED, StepKind.RUN_BEGAN, StepKind.RUN_ENDED, StepKind.MEASURED] * 3)]
        top = "belt-edge-top|left"
        cycles = record.details["cycles"]
        assert [(round(one["before"][top] / 25.4 * 32), round(one["after"][top] / 25.4 * 32)) for one in cycles] == [
            (26, 24), (24, 23), (23, 14)]
        assert all(one["revolutions"] == pytest.approx(2, abs=0.01) for one in cycles)
        assert record.verdict is Verdict.WITHIN
        assert {reading.phase for reading in record.readings} == {Phase.AS_FOUND, Phase.AS_LEFT}
        assert len(logged_moves((record,))) == 3
        assert records.course(course.id).outcome is Outcome.WITHIN
        assert records.tables_unlike_journal() == []
    finally:
        records.close()


def test_splice_with_a_piece__two_joints_in_their_order_run_in_and_re_tightening(walk: Walk, shop: Path) -> None:
    """Each joint is ticked from its centre outward (published rule); what follows is on record with the splice."""
    account = walk("splice", "1024x600")
    job = account["jobs"]["splice"]
    for order in job["orders"]:
        middle = (len(order) + 1) / 2
        distances = [abs(bolt - middle) for bolt in order]
        assert sorted(order) == list(range(1, 12)) and distances == sorted(distances)
    records = _opened(shop)
    try:
        record = records.record(job["record_id"])
        belt = records.component(record.component_id)
        assert record.details["joints"] == 2 and "cleat section" in record.details["parts_used"]
        cleats = belt.properties["belt_length_mm"] / belt.properties["cleat_pitch_mm"]
        assert cleats == pytest.approx(round(cleats))
        course = records.open_course(record.position_id, "track")
        assert course is not None and course.kind is CourseKind.SESSION
        assert [step.kind for step in records.course_steps(course.id)] == [StepKind.RUN_BEGAN]
        assert [job.job for job in records.scheduled_jobs(record.unit_id)] == ["re-tighten"]
    finally:
        records.close()


def test_bearing_change__two_labels_printed_in_one_go_and_scanned_on_the_machine(walk: Walk, shop: Path) -> None:
    """Both parts are bound by their scans; the new one's history begins with its readings; the screws fall due."""
    account = walk("bearing", "1024x600")
    job = account["jobs"]["bearing"]
    records = _opened(shop)
    try:
        record = records.record(job["record_id"])
        new = records.component(record.component_id)
        assert new.label == job["labels"][0] and new.retired_at is None
        other = records.label(job["labels"][1])
        assert other is not None and other.subject_id is not None
        assert records.component(other.subject_id).sheet == "shaft-bearing"
        assert {reading.quantity for reading in record.readings} == {"shaft-play", "housing-temperature"}
        entries = [entry.event.payload for entry in records.entries()]
        assert sum(isinstance(one, CourseStepped) and one.kind is StepKind.FITTED for one in entries) == 2
        assert any(isinstance(one, CourseEnded) and one.record_id == record.id for one in entries)
        assert [one.job for one in entries if isinstance(one, JobScheduled)][-1] == "fixings"
        assert records.verify().first_bad is None and records.tables_unlike_journal() == []
    finally:
        records.close()
