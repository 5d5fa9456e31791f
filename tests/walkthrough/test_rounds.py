"""Rounds in a real window: twelve fittings, broken off and taken up by another after a restart; and without a touch.

Each part of the walk is a process of its own, so that the program really starts anew. Counts of scans and touches are
printed by `tests/bench/run touches`.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from kiosk.events import CautionsConfirmed, JobDone, RoundBegun, WorkHandedOver
from kiosk.records import YardRecords
from kiosk.work_in_hand import HandOver, StepState

pytestmark = [pytest.mark.window, pytest.mark.slow]
ROOT = Path(__file__).parents[2]
UNSERVED_DAYS = 15
"""So long nothing was done in this yard: every job of a round is due."""


def work(part: str, shop: Path, size: str) -> dict[str, Any]:
    """Work one part of the walk in a process of its own and return its account."""
    environment = {**os.environ, "KIVY_HOME": str(shop.parent / "kivy"), "KIVY_NO_CONSOLELOG": "1",
                   "PYTHONPATH": str(ROOT)}
    run = subprocess.run(
        [sys.executable, str(ROOT / "tests/data/round_walk.py"), part, str(shop), str(shop.parent / "out"), size],
        env=environment, capture_output=True, text=True, timeout=400, check=False, cwd=ROOT)
    assert run.returncode == 0, f"{run.stdout[-2000:]}\n{run.stderr[-4000:]}"
    account: dict[str, Any] = json.loads(run.stdout.splitlines()[-1])
    return account


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a yard in which nothing was done for two weeks, with its command card printed."""
    from demo_shop.build import build_small

    folder = build_small(tmp_path_factory.mktemp("rounds") / "shop", datetime.now(UTC) - timedelta(days=UNSERVED_DAYS))
    subprocess.run([sys.executable, "-m", "kiosk", "label", "--command-cards", "--sheet", "A4", "--shop", str(folder)],
                   check=True, capture_output=True, cwd=ROOT)
    return folder


@pytest.fixture(scope="module")
def broken_off(shop: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Any, Any, YardRecords]]:
    """Begin a round, end the program half-way, start it anew, and let somebody else end it."""
    own = tmp_path_factory.mktemp("broken-off") / "shop"
    shutil.copytree(shop, own)
    begun, taken_up = work("begin", own, "1280x800"), work("take-up", own, "1280x800")
    records = YardRecords.open(own / "kiosk.db", 1)
    yield begun, taken_up, records
    records.close()


@pytest.fixture(scope="module")
def by_scanner(shop: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Any, YardRecords]]:
    """Do a whole round by the scanner alone, on the small panel."""
    own = tmp_path_factory.mktemp("by-scanner") / "shop"
    shutil.copytree(shop, own)
    account = work("hands-free", own, "1024x600")
    records = YardRecords.open(own / "kiosk.db", 1)
    yield account, records
    records.close()


def _the_round(records: YardRecords) -> Any:
    (entry,) = [entry for entry in records.entries() if isinstance(entry.event.payload, RoundBegun)]
    return records.round(entry.event.id)


def test_round__of_twelve_fittings__broken_off_and_taken_up__is_one_story(broken_off: Any) -> None:
    """Both people are named, every job is settled once, and what was left out has its reason."""
    begun, taken_up, records = broken_off
    assert begun["fittings"] == 12
    one = _the_round(records)
    names = [records.person(hand.person_id).name for hand in one.work.hands]
    assert names == ["Mette Sandvik", "Tomas Reyl"]
    assert {step.state for step in one.steps} == {StepState.DONE, StepState.SKIPPED} and one.work.closed_at is not None
    assert [step.reason for step in one.in_state(StepState.SKIPPED)] == ["cannot get at it"]
    assert {step.person_id for step in one.in_state(StepState.DONE)} == {"crew-sandvik", "crew-reyl"}
    assert taken_up["story"][1].startswith("Taken up by Tomas Reyl from Mette Sandvik")


def test_round__next_person__is_told_by_name_and_time_before_anything(broken_off: Any) -> None:
    """Scanning the unit says in whose hands it is, since when; taking it up is an act of its own, on record."""
    _, taken_up, records = broken_off
    assert taken_up["told"].startswith("Unit 1 Gannet is in the hands of Mette Sandvik since today")
    (handed,) = [entry.event for entry in records.entries() if isinstance(entry.event.payload, WorkHandedOver)]
    assert (handed.person_id, handed.payload.giver_id) == ("crew-reyl", "crew-sandvik")  # type: ignore[union-attr]
    assert handed.payload.how is HandOver.GIVER_ABSENT  # type: ignore[union-attr]


def test_round__each_fitting__costs_one_scan_and_one_touch(broken_off: Any) -> None:
    """Jobs without readings: the label, then the large button; a part's second job needs no second scan."""
    begun, taken_up, _ = broken_off
    counted = [tuple(pair) for account in (begun, taken_up) for pair in account["counted"]["fitting"]]
    assert len(counted) >= 9 and set(counted) <= {(1, 1, 0), (0, 1, 0)}


def test_round__job_with_readings__costs_four_touches_and_the_digits_at_most(broken_off: Any) -> None:
    """The yard's budget: opening, the next side, saving; whatever else is touched is a digit."""
    begun, taken_up, _ = broken_off
    counted = [pair for account in (begun, taken_up) for pair in account["counted"]["job with readings"]]
    assert counted and all(touches - digits <= 4 for _, touches, digits in counted), counted


def test_budget__small_things__cost_what_the_yard_allows(shop: Path, tmp_path: Path) -> None:
    """Greasing 1 touch, hour meter 3 and the digits, last three jobs 0, history on paper 3 (our own budget)."""
    own = tmp_path / "shop"
    shutil.copytree(shop, own)
    counted = work("budget", own, "1280x800")["counted"]
    touches = {name: [touched - digits for _, touched, digits in counts] for name, counts in counted.items()}
    assert touches["grease"] == [1] and touches["last three jobs"] == [0]
    assert touches["hour meter"][0] <= 3 and touches["history on paper"][0] <= 3


def test_round__walk__goes_round_the_machine_once(broken_off: Any) -> None:
    """The jobs stand in the order of the walk."""
    records = broken_off[2]
    order = [records.position(step.job.position_id).walk_order for step in _the_round(records).steps]
    assert order == sorted(order)


def test_hands_free__whole_round__without_a_single_touch(by_scanner: Any) -> None:
    """Cautions, hour meter, fittings, readings and the reason for what was left: all by the scanner."""
    account, records = by_scanner
    assert account["touches"] == 0 and account["fittings"] == 12
    one = _the_round(records)
    assert one.work.closed_at is not None
    assert [step.reason for step in one.in_state(StepState.SKIPPED)] == ["no time in this shift"]
    done = [entry for entry in records.entries() if isinstance(entry.event.payload, JobDone)
            and entry.event.at >= one.work.opened_at]
    assert len(done) == len(one.steps) - 1


def test_hands_free__cautions__were_confirmed_by_the_own_badge_and_say_so(by_scanner: Any) -> None:
    """The journal keeps whose badge it was and that it was no touch."""
    _, records = by_scanner
    confirmed = [entry.event for entry in records.entries() if isinstance(entry.event.payload, CautionsConfirmed)][-1]
    assert confirmed.payload.how == "own badge" and confirmed.person_id == "crew-reyl"  # type: ignore[union-attr]
