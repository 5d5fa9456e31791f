"""A correction leaves the old record in sight; everything derived follows the record that holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from small_yard import at, done, event, finding, reading, record, replacement

from kiosk.entities import JobType, ServiceRecord
from kiosk.events import ComponentReplaced, Event, RecordCorrected
from kiosk.records import YardRecords
from kiosk.records.ids import new_id

LEFT, RIGHT = "bearing-left-1", "bearing-right-1"


def _correct(old: ServiceRecord, reason: str = "typed wrong", **changes: object) -> tuple[Event, ServiceRecord]:
    new = replace(old, id=new_id(), **changes)  # type: ignore[arg-type]
    return Event(new.id, at(9), "lead", RecordCorrected(old.id, reason, new)), new


def _annul(old: ServiceRecord) -> Event:
    return event(RecordCorrected(old.id, "never done", None), "lead", 9)


@pytest.fixture(autouse=True)
def rebuild_agrees(yard: YardRecords) -> object:
    """After every test of this file, a rebuild still makes the same tables."""
    yield
    assert yard.tables_unlike_journal() == []


def test_corrected__old_record__stays_and_names_its_correction(yard: YardRecords) -> None:
    """Both records are in the history; the old one is flagged with reason, person and what took its place."""
    old = record(1)
    yard.append(done(old))
    correction, new = _correct(old, "three strokes", strokes=3)
    yard.append(correction)
    assert {each.id for each in yard.component_history(LEFT)} == {old.id, new.id}
    assert yard.record(old.id) == old
    found = yard.corrections([old.id, new.id])
    assert list(found) == [old.id]
    assert (found[old.id].reason, found[old.id].person_id, found[old.id].replacement_id) == (
        "three strokes", "lead", new.id)
    assert yard.correction_that_made(new.id) == found[old.id]
    assert yard.correction_that_made(old.id) is None


def test_corrected__strokes__follow(yard: YardRecords) -> None:
    """Only the strokes of the record that holds are counted."""
    old = record(1)
    yard.append(done(old))
    yard.append(_correct(old, strokes=3)[0])
    assert yard.strokes_since(LEFT, at(0)) == ((at(1), 3),)


def test_annulled__strokes__are_gone(yard: YardRecords) -> None:
    """Strokes that were never given do not count."""
    old = record(1)
    yard.append_all([done(old), _annul(old)])
    assert yard.strokes_since(LEFT, at(0)) == ()


def test_annulled__last_done__goes_back_to_the_time_before(yard: YardRecords) -> None:
    """Due dates follow the last time that holds."""
    first, last = record(1), record(3)
    yard.append_all([done(first), done(last), _annul(last)])
    assert yard.last_done("u1")[(LEFT, "grease")].record_id == first.id


def test_annulled__only_record__was_never_done(yard: YardRecords) -> None:
    """Where no record holds, the job was not done."""
    only = record(1)
    yard.append_all([done(only), _annul(only)])
    assert yard.last_done("u1") == {}


def test_corrected__to_an_earlier_time__last_done_is_the_other_record(yard: YardRecords) -> None:
    """A record moved back in time gives way to one that is now later."""
    first, last = record(2), record(3)
    yard.append_all([done(first), done(last), _correct(last, at=at(1))[0]])
    assert yard.last_done("u1")[(LEFT, "grease")].record_id == first.id


def test_corrected__readings__series_follows(yard: YardRecords) -> None:
    """The trend shows the corrected value, once."""
    old = record(1, readings=(reading(700.0), reading(80.0, quantity="belt-height")))
    yard.append(done(old))
    yard.append(_correct(old, readings=(reading(70.0),))[0])
    assert [point.value for point in yard.series(LEFT, "strand-sag")] == [70.0]
    assert yard.series(LEFT, "belt-height") == ()


def test_corrected__hours__meter_follows(yard: YardRecords) -> None:
    """A meter reading that was typed wrong is no longer the unit's."""
    old = record(1, hours=1060.0)
    yard.append(done(old))
    yard.append(_correct(old, hours=106.0)[0])
    hours = yard.hours("u1")
    assert hours is not None and hours.hours == 106.0


def test_annulled__splice__belt_is_as_long_as_before(yard: YardRecords) -> None:
    """A part's properties are those of the records that hold, in the order of time."""
    one = record(1, job="splice", job_type=JobType.SPLICE, strokes=None)
    two = replace(one, id=new_id(), at=at(2))
    yard.append(done(one, new_properties={"belt_length_mm": 3800.0, "splices_mm": [100]}))
    yard.append(done(two, new_properties={"belt_length_mm": 3500.0}))
    assert yard.component(LEFT).properties["belt_length_mm"] == 3500
    yard.append(_annul(two))
    assert yard.component(LEFT).properties["belt_length_mm"] == 3800
    yard.append(_annul(one))
    assert yard.component(LEFT).properties == {"bearing": "UC208", "belt_length_mm": 4000}


def test_annulled__earlier_of_two_splices__later_length_holds(yard: YardRecords) -> None:
    """Taking back the first change leaves the second."""
    one = record(1, job="splice", job_type=JobType.SPLICE, strokes=None)
    two = replace(one, id=new_id(), at=at(2))
    yard.append(done(one, new_properties={"belt_length_mm": 3800.0, "splices_mm": [100]}))
    yard.append(done(two, new_properties={"belt_length_mm": 3500.0}))
    yard.append(_annul(one))
    assert yard.component(LEFT).properties == {"bearing": "UC208", "belt_length_mm": 3500}


def test_corrected__splice_with_its_note_only__length_is_kept(yard: YardRecords) -> None:
    """A correction that says nothing of the length leaves the length that the old record set."""
    old = record(1, job="splice", job_type=JobType.SPLICE, strokes=None)
    yard.append(done(old, new_properties={"belt_length_mm": 3800.0}))
    correction, new = _correct(old, note="bolts of the new kind")
    yard.append(correction)
    assert yard.component(LEFT).properties["belt_length_mm"] == 3800
    yard.append(_annul(new))
    assert yard.component(LEFT).properties["belt_length_mm"] == 4000


def test_corrected__splice_with_another_length__length_follows(yard: YardRecords) -> None:
    """A correction may name what the record really changed."""
    old = record(1, job="splice", job_type=JobType.SPLICE, strokes=None)
    yard.append(done(old, new_properties={"belt_length_mm": 3800.0}))
    new = replace(old, id=new_id())
    yard.append(Event(new.id, at(9), "lead", RecordCorrected(old.id, "slip", new, {"belt_length_mm": 3880.0})))
    assert yard.component(LEFT).properties["belt_length_mm"] == 3880


def test_corrected__onto_the_other_side__everything_moves(yard: YardRecords) -> None:
    """Work saved on the wrong bearing goes over to the right one, with its findings and readings."""
    old = record(1, readings=(reading(),))
    yard.append(done(old, findings_opened=(finding("f1", record_id=old.id),)))
    yard.append(_correct(old, component_id=RIGHT, position_id="u1-right")[0])
    assert set(yard.last_done("u1")) == {(RIGHT, "grease")}
    assert yard.strokes_since(LEFT, at(0)) == ()
    assert (len(yard.series(LEFT, "strand-sag")), len(yard.series(RIGHT, "strand-sag"))) == (0, 1)
    assert [each.id for each in yard.open_findings(component_id=RIGHT)] == ["f1"]
    assert len(yard.component_history(RIGHT)) == 1


def test_annulled__findings__opened_are_closed_and_closed_are_open(yard: YardRecords) -> None:
    """What an annulled record opened is closed with the reason; what it closed is open again."""
    first, second = record(1), record(2)
    yard.append(done(first, findings_opened=(finding("old", record_id=first.id),)))
    yard.append(done(second, findings_opened=(finding("new", record_id=second.id),), findings_closed=("old",)))
    yard.append(_annul(second))
    assert [each.id for each in yard.open_findings()] == ["old"]
    assert "annulled: never done" in yard.finding("new").closed_reason


def test_corrected_twice_then_annulled__findings__follow_the_last_record(yard: YardRecords) -> None:
    """A finding belongs to the record that holds, through any number of corrections."""
    old = record(1)
    yard.append(done(old, findings_opened=(finding("f1", record_id=old.id),)))
    first, new = _correct(old, strokes=3)
    second, newest = _correct(new, strokes=4)
    yard.append_all([first, second])
    assert yard.finding("f1").record_id == newest.id
    yard.append(_annul(newest))
    assert yard.open_findings() == ()


def test_corrected__replacement__old_end_and_new_beginning_follow(yard: YardRecords) -> None:
    """The day and hours of a replacement that were typed wrong are put right on both parts."""
    swap = replacement(20)
    yard.append(swap)
    assert isinstance(swap.payload, ComponentReplaced)
    yard.append(_correct(swap.payload.record, at=at(19), hours=214.0)[0])
    old, new = yard.component(LEFT), yard.component("bearing-left-2")
    assert (old.retired_at, old.retired_hours) == (at(19), 214.0)
    assert (new.installed_at, new.installed_hours) == (at(19), 214.0)


def test_annulled__hours_per_day__is_worked_out_without_it(yard: YardRecords) -> None:
    """A wild meter reading does not stay in the rate after it was annulled."""
    wild = record(10, hours=9000.0)
    yard.append_all([done(record(0)), done(record(10)), done(wild), _annul(wild)])
    assert yard.hours_per_day("u1", date(2026, 3, 12)) == pytest.approx(6.0)
