"""Units held out of service: by whom, one hold at a time, and let go with a reason. Histories of units and people."""

from __future__ import annotations

import pytest
from small_yard import event

from kiosk.entities import HistoryFilter
from kiosk.errors import NotAllowed, RecordError
from kiosk.events import UnitHeld, UnitReleased
from kiosk.records import YardRecords


def test_hold__by_lead__stands_until_it_is_released(yard: YardRecords) -> None:
    """The hold names who, why and since when; a release with a reason ends it, and both stay on record."""
    assert yard.hold_of("u1") is None
    held = event(UnitHeld("u1", "chain may jump"), "lead", 1)
    yard.append(held)
    hold = yard.hold_of("u1")
    assert hold is not None and (hold.reason, hold.held_by, hold.held_at) == ("chain may jump", "lead", held.at)
    yard.append(event(UnitReleased("u1", "chain shortened"), "boss", 2))
    assert yard.hold_of("u1") is None
    (past,) = yard.holds_of("u1")
    assert (past.released_by, past.released_reason) == ("boss", "chain shortened")


@pytest.mark.parametrize("payload", [UnitHeld("u1", "why"), UnitReleased("u1", "why")])
def test_hold__by_mechanic_or_nobody__is_refused(yard: YardRecords, payload: object) -> None:
    """Holding and releasing take a lead or a supervisor."""
    for person in ("mechanic", None):
        with pytest.raises(NotAllowed):
            yard.append(event(payload, person, 1))


def test_hold__twice__is_refused(yard: YardRecords) -> None:
    """One hold at a time, so that one release lets the unit go."""
    yard.append(event(UnitHeld("u1", "why"), "lead", 1))
    with pytest.raises(RecordError, match="already"):
        yard.append(event(UnitHeld("u1", "again"), "boss", 2))


def test_release__not_held_or_without_reason__is_refused(yard: YardRecords) -> None:
    """Nothing to let go, and no letting go without a word."""
    with pytest.raises(RecordError, match="not held"):
        yard.append(event(UnitReleased("u1", "why"), "lead", 1))
    with pytest.raises(RecordError, match="reason"):
        yard.append(event(UnitHeld("u1", "  "), "lead", 1))


def test_unit_history__holds_the_records_of_all_its_parts(story: YardRecords) -> None:
    """A unit's history is its parts' histories in one, newest first."""
    parts = {record.id for part in ("bearing-left-1", "bearing-left-2", "bearing-right-1")
             for record in story.component_history(part)}
    records = story.unit_history("u1")
    assert {record.id for record in records} == parts
    assert [record.at for record in records] == sorted((record.at for record in records), reverse=True)


def test_person_history__by_pages__is_the_same_as_at_once(story: YardRecords) -> None:
    """A person's history in pages of one misses nothing and repeats nothing."""
    whole = story.person_history("mechanic")
    paged, before = [], None
    while page := story.person_history("mechanic", before=before, limit=1):
        paged += page
        before = (page[-1].at, page[-1].id)
    assert tuple(paged) == whole and len(whole) > 3


def test_history__between_hours__since_is_in_until_is_out(story: YardRecords) -> None:
    """Records are found by what the hour meter said."""
    hours = sorted(record.hours for record in story.unit_history("u1"))
    low, high = hours[1], hours[-1]
    found = story.unit_history("u1", HistoryFilter(hours_from=low, hours_until=high))
    assert sorted(record.hours for record in found) == [each for each in hours if low <= each < high]
