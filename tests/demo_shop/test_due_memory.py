"""What is due, kept from one look to the next, is what one worked out from nothing says, whatever came between."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from kiosk.entities import Finding, LabelSighting, ScanSource
from kiosk.events import (
    Event,
    FindingClosed,
    FindingOpened,
    HoursRead,
    JobDone,
    LabelSeen,
    Payload,
    PersonAdded,
    RecordCorrected,
    SignedIn,
    UnitHeld,
    UnitReleased,
)
from kiosk.presenters.due_memory import DueMemory
from kiosk.records.ids import new_id
from kiosk.shop import Shop, floor_settings

UNIT = "unit-01"


@pytest.fixture
def shop(small_folder: Path, tmp_path: Path) -> Iterator[Shop]:
    """A demo shop of the test's own."""
    shutil.copytree(small_folder, tmp_path / "shop")
    with Shop.open(tmp_path / "shop") as opened:
        yield opened


def _entries(shop: Shop, now: datetime) -> Iterator[tuple[str | None, Payload]]:
    """Yield what may happen at a kiosk, each after the one before is on record."""
    records = shop.records
    boss = next(person.id for person in records.people() if person.role == "supervisor")
    part = records.components_of_unit(UNIT)[0]
    last = records.unit_history(UNIT, limit=1)[0]
    yield boss, SignedIn("early")
    yield boss, HoursRead(UNIT, records.hours(UNIT).hours + 30)  # type: ignore[union-attr]
    again = replace(records.component_history(part.id, limit=1)[0], id=new_id(), at=now, person_id=boss)
    yield boss, JobDone(again)
    yield boss, FindingOpened(Finding("f-1", UNIT, part.position_id, part.id, "seal lifted", now, boss))
    yield boss, UnitHeld("unit-02", "brake")
    yield boss, FindingClosed("f-1", "seen to")
    yield boss, RecordCorrected(last.id, "not done", None)
    yield boss, UnitReleased("unit-02", "brake mended")
    for _ in range(5):
        yield None, LabelSeen(part.label, LabelSighting(now, ScanSource.KEYPAD, "plain", 9))
    yield None, PersonAdded(replace(records.person(boss), units="mm"))


def test_due__kept__is_as_worked_out_anew_after_every_kind_of_entry(shop: Shop, now: datetime) -> None:
    """Units, yard and board are the same after each entry, and the journal is read no further than it must be."""
    settings, today = floor_settings(shop.config), now.date()
    kept = DueMemory(shop.records, shop.sheets, settings)
    kept.of_yard(today)
    boards = set()
    for person_id, payload in _entries(shop, now):
        event_id = payload.record.id if isinstance(payload, JobDone) else new_id()
        shop.records.append(Event(event_id, now, person_id, payload))
        anew = DueMemory(shop.records, shop.sheets, settings)
        assert kept.of_yard(today) == anew.of_yard(today), type(payload)
        assert kept.of_unit(UNIT, today) == anew.of_unit(UNIT, today)
        assert kept.board(today) == anew.board(today), type(payload)
        boards.add(tuple(kept.board(today).items()))
    assert len(boards) >= 2


def test_due__another_day__is_worked_out_anew(shop: Shop, now: datetime) -> None:
    """What was due tomorrow is due once it is tomorrow."""
    kept = DueMemory(shop.records, shop.sheets, floor_settings(shop.config))
    today, later = now.date(), now.date().replace(day=now.day + 9)
    assert kept.of_yard(today) != kept.of_yard(later)


def test_news__of_one_save__names_its_unit_alone(shop: Shop, now: datetime) -> None:
    """An entry of one unit leaves the others as they were; a correction could be of any."""
    before = shop.records.news(0).arrival
    shop.records.append(Event(new_id(), now, None, HoursRead(UNIT, 9_999.0)))
    news = shop.records.news(before)
    assert (news.arrival, news.unit_ids) == (before + 1, frozenset({UNIT}))
    assert shop.records.news(news.arrival).unit_ids == frozenset()
    assert shop.records.news(0).unit_ids is None
