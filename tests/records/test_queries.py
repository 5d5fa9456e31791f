"""What the records answer, by subject."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest
from small_yard import at, done, event, finding, label_issued, part, reading, record, replacement

from kiosk.entities import HistoryFilter, JobType, LabelKind, Person, Phase, Role, ServiceRecord, Side, Unit, Verdict
from kiosk.errors import NotFound
from kiosk.events import (
    CautionsConfirmed,
    FindingClosed,
    FindingOpened,
    HoursRead,
    LabelRetired,
    PersonAdded,
    RecordsRestored,
    SheetAdopted,
    UnitAdded,
)
from kiosk.records import YardRecords

LEFT, RIGHT = "bearing-left-1", "bearing-right-1"


# The yard


def test_yard__name_crew_and_fleet__come_back(yard: YardRecords) -> None:
    """What the set-up entered is what is asked."""
    assert yard.yard_name() == "Quay Yard"
    assert [person.name for person in yard.people()] == ["Ada Okoro", "Bo Lindqvist", "Cy Marek"]
    assert yard.person("lead").role is Role.LEAD
    assert [unit.name for unit in yard.units()] == ["Sweeper 1"]
    assert yard.unit("u1").design == "flight elevator"
    assert [assembly.id for assembly in yard.assemblies("u1")] == ["u1-elevator"]


def test_fleet__unit_2_comes_before_unit_10(yard: YardRecords) -> None:
    """Numbers in names are counted, not spelled."""
    for number in (10, 2):
        yard.append(event(UnitAdded(Unit(f"s{number}", f"Sweeper {number}", "none", f"200000001{number % 9}"), (), ())))
    assert [unit.name for unit in yard.units()] == ["Sweeper 1", "Sweeper 2", "Sweeper 10"]


def test_positions__come_in_walk_order(yard: YardRecords) -> None:
    """The order is that of a person walking round, not of entry or name."""
    assert [position.side for position in yard.positions("u1")] == [Side.RIGHT, Side.LEFT]
    assert yard.position("u1-left").walk_order == 1


def test_person__entered_again__is_changed(yard: YardRecords) -> None:
    """The same id again is the same person with new particulars."""
    yard.append(event(PersonAdded(Person("lead", "Bo Lindqvist", Role.SUPERVISOR, "3000000002", "in"))))
    assert yard.person("lead").role is Role.SUPERVISOR
    assert len(yard.people()) == 3


@pytest.mark.parametrize("ask", [
    lambda records: records.unit("x"), lambda records: records.position("x"), lambda records: records.person("x"),
    lambda records: records.component("x"), lambda records: records.record("x"), lambda records: records.finding("x"),
    lambda records: records.sheet_text("x", 1),
], ids=["unit", "position", "person", "component", "record", "finding", "sheet"])
def test_unknown__key__is_not_found_with_a_sentence(yard: YardRecords, ask: Callable[[YardRecords], object]) -> None:
    """Asking for what is not there names it."""
    with pytest.raises(NotFound, match="'x"):
        ask(yard)


def test_sheet__every_revision__is_kept(yard: YardRecords) -> None:
    """An old record can be judged by the limits of its day."""
    yard.append_all([event(SheetAdopted("belt", 1, "old")), event(SheetAdopted("belt", 2, "new"))])
    assert yard.sheet_revisions("belt") == (1, 2)
    assert yard.sheet_text("belt", 1) == "old"


# Parts and labels


def test_component__at_its_position__with_properties(yard: YardRecords) -> None:
    """A part says where it sits and what its computations need."""
    component = yard.component_at("u1-left")
    assert component == yard.component(LEFT)
    assert component == part(LEFT, "left", "1000000001")


def test_components_of_unit__sitting_now__in_walk_order(yard: YardRecords) -> None:
    """A replaced part is not on the unit any more."""
    yard.append(replacement())
    assert [component.id for component in yard.components_of_unit("u1")] == [RIGHT, "bearing-left-2"]


def test_components_at__through_a_replacement__newest_first(yard: YardRecords) -> None:
    """A position remembers every part that sat there."""
    yard.append(replacement(20))
    new, old = yard.components_at("u1-left")
    assert (new.id, old.id) == ("bearing-left-2", LEFT)
    assert (old.retired_at, old.retired_hours, old.retired_reason, old.replaced_by) == (
        at(20), 220.0, "seized", "bearing-left-2")


def test_label__of_a_replaced_part__is_retired_and_names_the_new_one(yard: YardRecords) -> None:
    """A scan of the old label can say which part is here now."""
    yard.append(replacement(20))
    old, new = yard.label("1000000001"), yard.label("1000000003")
    assert old is not None and new is not None
    assert old.retired_at == at(20)
    assert "2026-03-22" in old.retired_reason and "1000000003" in old.retired_reason
    assert (new.subject_id, new.retired_at) == ("bearing-left-2", None)


def test_label__bound_when_its_part_was_fitted(yard: YardRecords) -> None:
    """A number issued for a part belongs to it once it is fitted."""
    label = yard.label("1000000002")
    assert label is not None
    assert (label.kind, label.subject_id) == (LabelKind.COMPONENT, RIGHT)


def test_label__never_issued__is_none(yard: YardRecords) -> None:
    """A number that was never issued belongs to nothing."""
    assert yard.label("1999999999") is None


def test_label__retired__keeps_its_first_reason(yard: YardRecords) -> None:
    """Retiring a label twice does not rewrite why."""
    yard.append_all([event(LabelRetired("1000000003", "torn off"), "lead", 1),
                     event(LabelRetired("1000000003", "again"), "lead", 2)])
    label = yard.label("1000000003")
    assert label is not None and (label.retired_reason, label.retired_at) == ("torn off", at(1))


def test_issued_numbers__retired_ones_too(yard: YardRecords) -> None:
    """A retired number is never issued again."""
    yard.append(replacement())
    assert set(yard.issued_numbers()) == {"1000000001", "1000000002", "1000000003"}


def test_next_serial__counts_on_for_this_kiosk_alone(
    yard: YardRecords, opened: Callable[..., YardRecords]
) -> None:
    """Another kiosk's serials do not take this one's."""
    assert yard.next_serial() == 4
    other = opened(kiosk=8)
    assert other.next_serial() == 1
    other.append(label_issued("1000000099", 40))
    assert (other.next_serial(), yard.next_serial()) == (41, 4)


def test_next_serial__after_a_restore__leaves_out_what_lost_entries_may_have_issued(yard: YardRecords) -> None:
    """A label printed before and forgotten by the backup is on a part: its number must not go out again."""
    yard.append(event(RecordsRestored("records-1.db", 9, 0, 20, 124)))
    assert yard.next_serial() == 124
    yard.append(label_issued("1000000099", 124))
    assert yard.next_serial() == 125


# History


def _history(yard: YardRecords, count: int = 12) -> list[ServiceRecord]:
    """Save `count` records on the left bearing and return them newest first."""
    people = ("mechanic", "lead")
    made = [record(day, person_id=people[day % 2], job=("grease", "adjust", "clean")[day % 3],
                   verdict=Verdict.OUTSIDE if day % 4 == 0 else None, readings=(reading(80.0 + day),))
            for day in range(1, count + 1)]
    yard.append_all([done(each) for each in made])
    return made[::-1]


def test_component_history__newest_first__whole_records(yard: YardRecords) -> None:
    """A page gives the records as they were saved."""
    made = _history(yard)
    assert yard.component_history(LEFT) == tuple(made)
    assert yard.component_history(RIGHT) == ()


def test_component_history__page_by_page__is_the_whole(yard: YardRecords) -> None:
    """Pages follow one another without gap or double, at the same instant too."""
    made = _history(yard)
    same_time = [record(5) for _ in range(4)]
    yard.append_all([done(each) for each in same_time])
    pages: list[ServiceRecord] = []
    before = None
    while page := yard.component_history(LEFT, before=before, limit=5):
        pages += page
        before = (page[-1].at, page[-1].id)
    assert len(pages) == len(made) + 4
    assert pages == sorted(pages, key=lambda each: (each.at, each.id), reverse=True)


@pytest.mark.parametrize(("wanted", "days"), [
    pytest.param(HistoryFilter(job="adjust"), [10, 7, 4, 1], id="job"),
    pytest.param(HistoryFilter(verdict="outside"), [12, 8, 4], id="verdict"),
    pytest.param(HistoryFilter(person_id="lead"), [11, 9, 7, 5, 3, 1], id="person"),
    pytest.param(HistoryFilter(since=at(10)), [12, 11, 10], id="since-is-in"),
    pytest.param(HistoryFilter(until=at(3)), [2, 1], id="until-is-out"),
    pytest.param(HistoryFilter(job="adjust", person_id="lead", since=at(2)), [7], id="together"),
    pytest.param(HistoryFilter(job="weld"), [], id="nothing"),
])
def test_component_history__filtered(yard: YardRecords, wanted: HistoryFilter, days: list[int]) -> None:
    """Each filter alone and together lets through what it names."""
    _history(yard)
    assert [each.at for each in yard.component_history(LEFT, wanted)] == [at(day) for day in days]


def test_position_history__through_every_part_that_sat_there(yard: YardRecords) -> None:
    """The position's history goes on over a replacement, and is filtered like any other."""
    yard.append_all([done(record(1)), replacement(20), done(record(21, component_id="bearing-left-2"))])
    history = yard.position_history("u1-left")
    assert [each.component_id for each in history] == ["bearing-left-2", LEFT, LEFT]
    assert len(yard.position_history("u1-left", HistoryFilter(job="grease"))) == 2
    assert yard.position_history("u1-right") == ()


def test_history__record_keeps_the_limits_of_its_day(yard: YardRecords) -> None:
    """A reading comes back with limits, rule, uncertainty and what was typed."""
    saved = record(1, readings=(reading(),))
    yard.append(done(saved))
    assert yard.record(saved.id).readings == (reading(),)


# Last done, strokes, series


def test_last_done__latest_by_time_of_work__not_by_entry(yard: YardRecords) -> None:
    """Work entered late does not hide later work."""
    late, early = record(5), record(2)
    yard.append_all([done(late), done(early)])
    last = yard.last_done("u1")[(LEFT, "grease")]
    assert (last.record_id, last.at, last.hours, last.person_id) == (late.id, at(5), 130.0, "mechanic")


def test_last_done__of_a_replaced_part__is_not_asked(yard: YardRecords) -> None:
    """A new part starts with nothing done."""
    yard.append_all([done(record(1)), replacement(20)])
    assert yard.last_done("u1") == {}


def test_strokes_since__only_greasing__oldest_first(yard: YardRecords) -> None:
    """Strokes of the part since an instant, that instant included."""
    cleaned = record(4, job="clean", job_type=JobType.CLEAN, strokes=None)
    yard.append_all([done(record(1)), done(record(3, strokes=1)), done(cleaned), done(record(2)),
                     done(record(3, component_id=RIGHT, position_id="u1-right"))])
    assert yard.strokes_since(LEFT, at(2)) == ((at(2), 2), (at(3), 1))


def test_series__of_one_quantity__oldest_first_by_side(yard: YardRecords) -> None:
    """A trend gets time, hours, value, phase and side."""
    both = (reading(70.0), reading(71.0, Side.RIGHT), reading(90.0, phase=Phase.AS_LEFT),
            reading(5.0, quantity="other"))
    yard.append_all([done(record(2, readings=both)), done(record(1, readings=(reading(69.0),)))])
    assert [point.value for point in yard.series(LEFT, "strand-sag")] == [69.0, 70.0, 71.0, 90.0]
    right, = yard.series(LEFT, "strand-sag", Side.RIGHT)
    assert (right.at, right.hours, right.value, right.phase, right.side) == (at(2), 112.0, 71.0, "as found", "right")


def test_series__same_quantity_twice_in_a_record__keeps_both(yard: YardRecords) -> None:
    """Measured again within the same job, both readings stand in their order."""
    yard.append(done(record(1, readings=(reading(70.0), reading(71.0)))))
    assert [point.value for point in yard.series(LEFT, "strand-sag")] == [70.0, 71.0]


# Findings and cautions


def test_open_findings__by_unit_part_and_yard(yard: YardRecords) -> None:
    """Open findings are asked for the unit, the part or all, oldest first."""
    yard.append_all([event(FindingOpened(finding("b", days=2)), "mechanic"),
                     event(FindingOpened(finding("a", RIGHT, "u1-right", days=3)), "mechanic")])
    assert [each.id for each in yard.open_findings(unit_id="u1")] == ["b", "a"]
    assert [each.id for each in yard.open_findings(component_id=RIGHT)] == ["a"]
    assert [each.id for each in yard.open_findings()] == ["b", "a"]


def test_finding__closed_by_a_lead__says_who_when_why(yard: YardRecords) -> None:
    """A closed finding is kept with its end."""
    yard.append_all([event(FindingOpened(finding("f")), "mechanic"),
                     event(FindingClosed("f", "seal is in"), "lead", 3)])
    closed = yard.finding("f")
    assert (closed.closed_by, closed.closed_at, closed.closed_reason) == ("lead", at(3), "seal is in")
    assert yard.open_findings() == ()
    assert yard.findings_of(LEFT) == (closed,)


def test_finding__opened_and_closed_by_jobs(yard: YardRecords) -> None:
    """A job opens what it left wrong and closes what it put right, in one act."""
    found, righted = record(1), record(2)
    yard.append(done(found, findings_opened=(finding("f", record_id=found.id),)))
    yard.append(done(righted, findings_closed=("f",)))
    closed = yard.finding("f")
    assert (closed.record_id, closed.closed_at, closed.closed_by) == (found.id, at(2), "mechanic")


def test_findings__of_a_replaced_part__are_closed(yard: YardRecords) -> None:
    """What was wrong with the old part went with it; the other side's stays open."""
    yard.append_all([event(FindingOpened(finding("left")), "mechanic"),
                     event(FindingOpened(finding("right", RIGHT, "u1-right")), "mechanic"), replacement(20)])
    assert [each.id for each in yard.open_findings()] == ["right"]
    assert yard.finding("left").closed_reason == "the part was replaced"


def test_cautions_confirmed__hold_for_unit_person_and_shift(yard: YardRecords) -> None:
    """Another shift, person or unit has confirmed nothing."""
    confirmed = CautionsConfirmed("u1", "2026-03-02 early", ("lock out",))
    yard.append_all([event(confirmed, "mechanic"), event(replace(confirmed, cautions=("hopper",)), "mechanic"),
                     event(confirmed, "mechanic")])
    assert yard.cautions_confirmed("u1", "mechanic", "2026-03-02 early") == {"lock out", "hopper"}
    assert yard.cautions_confirmed("u1", "lead", "2026-03-02 early") == frozenset()
    assert yard.cautions_confirmed("u1", "mechanic", "2026-03-02 late") == frozenset()


# Hours


def test_hours__latest_of_meter_and_records(yard: YardRecords) -> None:
    """A job's hours count as a reading; the latest by time holds."""
    assert yard.hours("u1") is None
    yard.append_all([event(HoursRead("u1", 107.5), "lead", 1.2), done(record(1))])
    hours = yard.hours("u1")
    assert hours is not None and (hours.hours, hours.at, hours.person_id) == (107.5, at(1.2), "lead")
    yard.append(done(record(2)))
    hours = yard.hours("u1")
    assert hours is not None and hours.hours == 112.0


def _meter(yard: YardRecords, *points: tuple[float, float]) -> None:
    yard.append_all([event(HoursRead("u1", hours), "mechanic", days) for days, hours in points])


START = date(2026, 3, 2)


@pytest.mark.parametrize(("points", "rate"), [
    pytest.param([], None, id="no-reading"),
    pytest.param([(0, 100)], None, id="one-reading"),
    pytest.param([(9.8, 100), (9.9, 104)], None, id="all-within-a-day"),
    pytest.param([(0, 100), (10, 160)], 6.0, id="two-readings"),
    pytest.param([(0, 100), (5, 160), (10, 160)], 6.0, id="days-standing-still-count"),
    pytest.param([(0, 100), (5, 160)], 6.0, id="days-without-a-reading-count"),
    pytest.param([(0, 100), (4, 130), (4, 130), (10, 140)], 4.0, id="same-instant-twice"),
])
def test_hours_per_day__derived__ten_days(yard: YardRecords, points: list[tuple[float, float]],
                                          rate: float | None) -> None:
    """Hours over calendar days up to today, by hand: (last - first) / 10."""
    _meter(yard, *points)
    got = yard.hours_per_day("u1", START + timedelta(days=10))
    assert got == (None if rate is None else pytest.approx(rate))


def test_hours_per_day__derived__window_cuts_the_line_between_readings(yard: YardRecords) -> None:
    """By hand: the meter at the window's beginning lies on the line from 100 h to 140 h."""
    _meter(yard, (0, 100), (20, 140), (25, 190))
    # The window of 10 days ends on day 30 and begins at midnight UTC of day 20, 5 hours before the reading.
    at_start = 100 + 40 * (20 - 5 / 24) / 20
    got = yard.hours_per_day("u1", START + timedelta(days=30), over_days=10)
    assert got == pytest.approx((190 - at_start) / 10)


def test_hours_per_day__no_reading_in_the_window__is_unknown(yard: YardRecords) -> None:
    """Whether a unit ran that nobody has read for so long cannot be said."""
    _meter(yard, (0, 100), (2, 112))
    assert yard.hours_per_day("u1", START + timedelta(days=90), over_days=30) is None
