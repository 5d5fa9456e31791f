"""What two kiosks can enter against each other: each has a rule, becomes something to settle, and loses nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from small_yard import at, done, event, finding, label_issued, record, replacement, yard_events
from yard_tables import digests, journal_rows

from kiosk.entities import ConflictKind, JobType
from kiosk.errors import RecordError
from kiosk.events import (
    CautionsConfirmed,
    ConflictSettled,
    Event,
    FindingClosed,
    FindingOpened,
    RecordCorrected,
    SheetAdopted,
    UnitHeld,
    UnitReleased,
)
from kiosk.records import YardRecords, incoming
from kiosk.records.chain import envelope, link

Kiosk = Callable[[int], YardRecords]


class Two:
    """Two kiosks that hold the same yard; what they enter is carried over when `meet` says so."""

    def __init__(self, one: YardRecords, two: YardRecords) -> None:
        self.one, self.two = one, two
        one.append_all(yard_events())
        one.append_all([label_issued(f"10000000{number}", number) for number in (11, 12)])
        self._carry(1, one, two)

    def meet(self) -> YardRecords:
        """Carry everything both ways, check that both came to the same, and return one of them."""
        self._carry(1, self.one, self.two)
        self._carry(2, self.two, self.one)
        assert digests(self.one.path) == digests(self.two.path)
        assert self.one.tables_unlike_journal() == self.two.tables_unlike_journal() == []
        return self.one

    def _carry(self, kiosk: int, source: YardRecords, target: YardRecords) -> None:
        target.take_in(journal_rows(source.path, kiosk), datetime.now(UTC))
        assert target.work_in()


@pytest.fixture
def two(kiosk: Kiosk) -> Two:
    """Return two kiosks of one yard."""
    return Two(kiosk(1), kiosk(2))


def _new_part(label: str, name: str, days: float) -> Event:
    return replacement(days, label, name)


def test_position__new_part_at_two_kiosks__later_sits_both_histories_stay(two: Two) -> None:
    """The later entry's part sits there; the other is told of, its record and its time at the position stay."""
    two.one.append(_new_part("1000000011", "part-of-1", 5))
    two.two.append(_new_part("1000000012", "part-of-2", 5.1))
    met = two.meet()
    sits = met.component_at("u1-left")
    assert sits is not None and sits.id == "part-of-2"
    gone = met.component("part-of-1")
    assert gone.retired_at == at(5.1) and gone.replaced_by == "part-of-2" and "another kiosk" in gone.retired_reason
    assert len([each for each in met.component_history("bearing-left-1") if each.job == "replace"]) == 2
    (conflict,) = met.open_conflicts()
    assert conflict.kind is ConflictKind.POSITION and conflict.finding_id is not None
    assert met.finding(conflict.finding_id).component_id == "part-of-2"


def test_part__greased_at_two_kiosks_within_the_hour__both_count_and_it_is_told(two: Two) -> None:
    """The strokes add up, and the bearing has a finding: it got more grease than anybody meant."""
    two.one.append(done(record(2, strokes=2)))
    two.two.append(done(record(2 + 40 / 1440, strokes=3)))
    met = two.meet()
    assert sum(strokes for _, strokes in met.strokes_since("bearing-left-1", at(0))) == 5
    (conflict,) = met.open_conflicts()
    assert conflict.kind is ConflictKind.GREASE
    assert "2 strokes at kiosk 1, 3 strokes at kiosk 2" in conflict.text


@pytest.mark.parametrize("apart", [timedelta(minutes=61), timedelta(days=3)])
def test_part__greased_at_two_kiosks_longer_apart__is_no_conflict(two: Two, apart: timedelta) -> None:
    """Two greasings of different days are what the sheet asks for."""
    two.one.append(done(record(2)))
    later = record(2)
    two.two.append(done(replace(later, at=later.at + apart)))
    assert two.meet().open_conflicts() == ()


def test_part__greased_again_by_who_had_seen_it__is_no_conflict(two: Two) -> None:
    """Who knew of the first greasing was told so on the screen."""
    two.one.append(done(record(2)))
    two.meet()
    two.two.append(event(CautionsConfirmed("u1", "2026-03-04 early", ("lock out",)), "mechanic", 2.01))
    two.two.append(done(record(2.02)))
    assert two.meet().open_conflicts() == ()


@pytest.mark.parametrize("came_while_open", [False, True], ids=["not-heard-of", "came-while-the-form-was-open"])
def test_unit__held_at_one_while_a_job_is_open_at_the_other__stays_held(two: Two, came_while_open: bool) -> None:
    """The work is on record, the unit stays held, and a finding says that it was worked on."""
    two.one.append(event(UnitHeld("u1", "the chain may jump"), "lead", 3))
    if came_while_open:
        two.meet()
    two.two.append(done(record(3.01, job="adjust", job_type=JobType.ADJUST, strokes=None)))
    met = two.meet()
    hold = met.hold_of("u1")
    assert hold is not None and hold.reason == "the chain may jump"
    assert met.component_history("bearing-left-1")[0].job == "adjust"
    (conflict,) = met.open_conflicts()
    assert conflict.kind is ConflictKind.HELD and "stays held" in conflict.text


def test_unit__held_at_both__only_who_knew_of_the_last_reason_lets_it_go(two: Two) -> None:
    """A release that knew of one reason leaves the other in force."""
    two.one.append(event(UnitHeld("u1", "the chain may jump"), "lead", 3))
    two.two.append(event(UnitHeld("u1", "brake pulls"), "boss", 3.1))
    two.one.append(event(UnitReleased("u1", "chain shortened"), "lead", 3.2))
    met = two.meet()
    hold = met.hold_of("u1")
    assert hold is not None and hold.reason == "brake pulls"
    assert [each.reason for each in met.holds_of("u1")] == ["brake pulls", "the chain may jump"]
    met.append(event(UnitReleased("u1", "brake set"), "boss", 3.3))
    assert two.meet().hold_of("u1") is None


def test_sheet__revised_at_both__first_counts_until_a_new_revision_settles_it(two: Two) -> None:
    """The first adopted text is the revision; the other stays in the journal; the next revision ends the quarrel."""
    two.one.append(event(SheetAdopted("bearing", 3, "x = 1"), "boss", 4))
    two.two.append(event(SheetAdopted("bearing", 3, "x = 2"), "boss", 4.1))
    met = two.meet()
    assert met.sheet_text("bearing", 3) == "x = 1"
    texts = {entry.event.payload.text for entry in met.entries() if isinstance(entry.event.payload, SheetAdopted)}
    assert texts == {"x = 1", "x = 2"}
    (conflict,) = met.open_conflicts()
    assert conflict.kind is ConflictKind.SHEET and conflict.finding_id is None
    met.append(event(SheetAdopted("bearing", 4, "x = 3"), "boss", 5))
    assert two.meet().open_conflicts() == ()


def test_record__corrected_at_both__second_is_set_aside_and_told(two: Two) -> None:
    """One correction holds; the other is kept in the journal and named, so that it can be entered again."""
    two.one.append(done(record(2, id="saved")))
    two.meet()
    for records, kiosk, strokes in ((two.one, 1, 3), (two.two, 2, 4)):
        better = record(2, strokes=strokes)
        records.append(Event(better.id, at(6 + kiosk / 10), "lead", RecordCorrected("saved", "miscounted", better)))
    met = two.meet()
    assert [strokes for _, strokes in met.strokes_since("bearing-left-1", at(0))] == [3]
    (conflict,) = met.open_conflicts()
    assert conflict.kind is ConflictKind.ASIDE and "of kiosk 2" in conflict.text
    assert met.entry(conflict.event_id).kiosk == 2


def test_conflict__settled_or_its_finding_closed__is_gone_everywhere(two: Two) -> None:
    """A supervisor's word at one kiosk settles it at both; it cannot be settled twice."""
    two.one.append(event(SheetAdopted("bearing", 3, "x = 1"), "boss", 4))
    two.two.append(event(SheetAdopted("bearing", 3, "x = 2"), "boss", 4.1))
    two.one.append(done(record(2)))
    two.two.append(done(record(2.01)))
    met = two.meet()
    grease, sheet = met.open_conflicts()
    assert grease.finding_id is not None
    met.append(event(FindingClosed(grease.finding_id, "seals looked at"), "lead", 5))
    two.two.append(event(ConflictSettled(sheet.id, "x = 1 is right"), "boss", 5))
    assert two.meet().open_conflicts() == ()
    with pytest.raises(RecordError, match="settled already"):
        met.append(event(ConflictSettled(sheet.id, "again"), "boss", 6))


def test_work_in__somebody_saves__gives_way_and_changes_nothing(two: Two) -> None:
    """Working others' entries in makes room for a save at the screen, and is done by the next try."""
    two.one.append(event(FindingOpened(finding("f1")), "mechanic", 3))
    two.two.take_in(journal_rows(two.one.path, 1), datetime.now(UTC))
    before = digests(two.two.path)
    with two.two._saving():
        assert not two.two.work_in()
    assert digests(two.two.path) == before
    assert two.two.work_in()
    assert digests(two.two.path) == digests(two.one.path)


def test_work_in__entries_that_come_long_after__tables_are_made_anew(two: Two) -> None:
    """Beyond what can be taken back, a rebuild brings the tables to the same."""
    two.two.append_all([done(record(4 + number / 10)) for number in range(5)])
    with two.two._store.transaction() as connection:
        incoming.forget_old_steps(connection, keep=1)
    two.one.append(done(record(3)))
    two.meet()


def test_take_in__from_whoever__only_what_the_journal_could_hold(two: Two) -> None:
    """What was changed on its way, is of no known kind, or rests on what is not here stays out, with a reason."""
    head: Any = two.two.heads()[1]

    def made(kind: str, body: str, **changes: Any) -> tuple[Any, ...]:
        plain = {"kiosk": 1, "seq": head.seq + 1, "event_id": "new-event", "at": "2026-03-09T05:00:00.000000Z",
                 "person_id": None, "kind": kind, "body": body} | changes
        own = link(head.hash, envelope(**plain))
        return (1, plain["seq"], plain["event_id"], plain["at"], None, kind, body, head.hash, own)

    def order(row: tuple[Any, ...]) -> tuple[Any, ...]:
        kiosk, seq, event_id, when, person, kind, body, before, own = row
        return (kiosk, seq, event_id, when, kind, person, body, before, own)

    good = order(made("yard named", '{"name":"Other Yard"}'))
    cases = {
        "newer": order(made("something newer", "{}")),
        "unreadable": order(made("yard named", '{"name":5}')),
        "changed": (*good[:6], '{"name":"Changed"}', *good[7:]),
        "waits": order(made("heads seen", '{"heads":{"3":{"digits":"0123456789abcdef","seq":9}}}')),
        "rests on another": order(made("heads seen", '{"heads":{"2":{"digits":"ffffffffffffffff","seq":1}}}')),
        "doubled": order(made("yard named", '{"name":"x"}', event_id=next(two.two.entries()).event.id)),
        "forked": (*good[:7], "ab" * 32, good[8]),
    }
    two.two.append(done(record(2)))
    for why, row in cases.items():
        taken, stops = two.two.take_in([row], datetime.now(UTC))
        assert (taken, str(stops[1].why)) == (0, why)
    assert two.two.yard_name() == "Quay Yard"
