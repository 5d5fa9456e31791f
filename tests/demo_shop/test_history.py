"""The made history: as long, as mixed and as alive as a yard's, through events only, the same every time."""

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest

from demo_shop.history import Scope, this_morning, working_day
from demo_shop.wear import EATERS
from demo_shop.yard import MACHINES, position_id
from kiosk.calc.tolerance import judge
from kiosk.entities import JobType, Phase, ServiceRecord, Verdict
from kiosk.events import KIND_OF, ComponentInstalled, ComponentReplaced, Event, HoursRead, JobDone, LabelIssued
from labels.number import is_label_number


def records(events: list[Event]) -> list[ServiceRecord]:
    return [event.payload.record for event in events if isinstance(event.payload, JobDone | ComponentReplaced)]


def test_there_are_about_sixty_thousand_records(three_years: list[Event]) -> None:
    """Three years of a yard of twelve machines."""
    assert 55_000 <= len(records(three_years)) <= 66_000


def test_every_kind_of_event_that_a_yard_makes_is_there(three_years: list[Event]) -> None:
    """Set-up, daily work, replacements, findings, corrections."""
    kinds = {KIND_OF[type(event.payload)] for event in three_years}
    assert kinds >= {"yard named", "person added", "unit added", "sheet adopted", "label issued", "component installed",
                     "component replaced", "hours read", "cautions confirmed", "job done", "finding opened",
                     "record corrected"}


def test_events_are_in_the_order_of_time_and_end_before_now(three_years: list[Event]) -> None:
    """Nothing is told before it happened."""
    times = [event.at for event in three_years]
    assert times == sorted(times)
    assert times[-1] <= this_morning(datetime(2026, 3, 3, 15, tzinfo=UTC))


def test_event_ids_are_unique_version_7(three_years: list[Event]) -> None:
    """RFC 9562: the version digit is 7, the first 48 bits are the time."""
    ids = [event.id for event in three_years]
    assert len(set(ids)) == len(ids)
    for event in three_years[::997]:
        assert event.id[14] == "7" and event.id[19] in "89ab"
        milliseconds = int(event.id.replace("-", "")[:12], 16)
        assert abs(milliseconds / 1000 - event.at.timestamp()) < 0.001


def test_labels_are_issued_once_and_before_they_are_used(three_years: list[Event]) -> None:
    """Each part's number was issued by an earlier event."""
    issued: set[str] = set()
    for event in three_years:
        if isinstance(event.payload, LabelIssued):
            assert is_label_number(event.payload.label.number) and event.payload.label.number not in issued
            issued.add(event.payload.label.number)
        elif isinstance(event.payload, ComponentInstalled):
            assert event.payload.component.label in issued
        elif isinstance(event.payload, ComponentReplaced):
            assert event.payload.new_component.label in issued


def test_verdicts_are_those_of_the_decision_rule(three_years: list[Event]) -> None:
    """Each kept verdict is what the judging function says of the kept value, limits and uncertainty."""
    seen = Counter()
    for record in records(three_years)[::7]:
        for one in record.readings:
            judged = judge(one.value, one.lower, one.upper, one.standard_uncertainty, one.rule)
            assert one.verdict == judged.verdict
            seen[one.verdict] += 1
    assert all(seen[verdict] > 20 for verdict in Verdict)


def test_readings_are_typed_as_fractions_and_as_millimetres(three_years: list[Event]) -> None:
    """Four of the crew think in inches, two in millimetres."""
    typed = [one.typed for record in records(three_years) for one in record.readings if one.quantity == "strand-sag"]
    assert any("/" in text for text in typed) and any(text.isdigit() for text in typed)


def test_adjusting_is_found_and_left(three_years: list[Event]) -> None:
    """An adjustment that was needed brings the reading back inside, nearly always."""
    sags = [record for record in records(three_years)
            if record.job == "sag" and record.readings[-1].phase is Phase.AS_LEFT]
    assert len(sags) > 100
    assert sum(record.verdict is Verdict.WITHIN for record in sags) > 0.9 * len(sags)


def test_sag_drifts_with_running_hours_until_it_is_set(three_years: list[Event]) -> None:
    """Between two settings the as-found sag of a chain grows."""
    of_one = [record for record in records(three_years)
              if record.position_id == "unit-01-flight-chains" and record.job == "sag"]
    growth = []
    for before, after in pairwise(of_one):
        if before.component_id == after.component_id:
            growth.append(after.readings[0].value - before.readings[-2].value)
    assert sum(growth) / len(growth) > 1.0


def test_one_belt_was_spliced_twice(three_years: list[Event]) -> None:
    """Its length and its splices are on record."""
    splices = [event.payload for event in three_years
               if isinstance(event.payload, JobDone) and event.payload.record.job_type is JobType.SPLICE
               and event.payload.record.unit_id == "unit-07"]
    assert len({payload.record.component_id for payload in splices}) == 1
    assert len(splices) == 2
    assert len(splices[1].new_properties["splices_mm"]) > len(splices[0].new_properties["splices_mm"]) > 1
    assert splices[1].new_properties["belt_length_mm"] % 150 == pytest.approx(0, abs=0.2)


@pytest.mark.parametrize("eater", [eater for eater in EATERS if eater[0] != "unit-11"], ids="-".join)
def test_some_positions_eat_parts(three_years: list[Event], eater: tuple[str, str]) -> None:
    """More parts went there than at most places of its kind."""
    gone = Counter(record.position_id for record in records(three_years) if record.job_type is JobType.REPLACE)
    machine = next(machine for machine in MACHINES if machine.id == eater[0])
    assert gone[position_id(machine, eater[1])] >= 3


def test_hour_meters_only_go_up_and_never_too_fast(three_years: list[Event]) -> None:
    """No more than 24 h a day; spreaders stand in summer."""
    last: dict[str, tuple[float, datetime]] = {}
    for event in three_years:
        if isinstance(event.payload, HoursRead):
            hours, at = last.get(event.payload.unit_id, (0.0, event.at - timedelta(days=9999)))
            assert 0 <= event.payload.hours - hours <= 24 * max((event.at - at).total_seconds() / 86400, 0.1)
            last[event.payload.unit_id] = event.payload.hours, event.at
    run = {machine.id: last[machine.id][0] - machine.first_hours for machine in MACHINES}
    assert all(2500 < run[machine.id] < 4500 for machine in MACHINES if not machine.is_spreader)
    assert all(600 < run[machine.id] < 1800 for machine in MACHINES if machine.is_spreader)


def test_nobody_is_at_two_machines_at_once(three_years: list[Event]) -> None:
    """A person's records follow each other."""
    by_hand: dict[str, list[ServiceRecord]] = {}
    for record in records(three_years):
        by_hand.setdefault(record.person_id, []).append(record)
    for done in by_hand.values():
        assert all(before.at < after.at for before, after in pairwise(done))


def test_working_day_begins_with_the_early_shift() -> None:
    """Five in the morning in the yard's zone is still yesterday's night shift."""
    assert working_day(datetime(2026, 3, 3, 10, 0, tzinfo=UTC)) == date(2026, 3, 2)
    assert working_day(datetime(2026, 3, 3, 11, 0, tzinfo=UTC)) == date(2026, 3, 3)


@pytest.mark.parametrize("hour", range(0, 24, 3))
def test_a_history_never_ends_in_the_future(hour: int) -> None:
    """Whenever the demo is built."""
    now = datetime(2026, 7, 4, hour, 30, tzinfo=UTC)
    assert this_morning(now) <= now
    assert Scope(this_morning(now)).span.last == working_day(now)
