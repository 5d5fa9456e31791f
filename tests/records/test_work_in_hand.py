"""Work in hand and rounds as records: who has a unit, since when, handed over by whom, and what became of each job.

That a lock-out goes on through a change of people by an orderly transfer, and that a lock comes off without its owner
only by whoever answers for it, after care was taken: 29 CFR 1910.147 (f)(4) and (e)(3), from memory.
"""

from __future__ import annotations

import pytest
from small_yard import ROUND_JOBS, done, event, record

from kiosk.errors import KioskError, NotAllowed, RecordError
from kiosk.events import Event, RoundBegun, RoundEnded, RoundJobSkipped, WorkClosed, WorkHandedOver, WorkOpened
from kiosk.records import YardRecords
from kiosk.work_in_hand import HandOver, StepState, WorkKind

LEFT, RIGHT = ROUND_JOBS


def begin(yard: YardRecords, unit_id: str | None = "u1") -> str:
    """Begin a round of both bearings in the mechanic's name and return its id."""
    begun = event(RoundBegun(unit_id, "Round of Sweeper 1", "2026-03-03 early", ROUND_JOBS), "mechanic", 1)
    yard.append(begun)
    return begun.id


def hand_over(work_id: str, how: HandOver, by: str, reason: str = "", together: bool = False) -> Event:
    """Return the mechanic's work going over to somebody."""
    return event(WorkHandedOver(work_id, "mechanic", together, how, reason), by, 2)


def test_round__job_done_by_whomever__settles_its_step(yard: YardRecords) -> None:
    """The record of a job closes the step of that very part and job, and no other."""
    round_id = begin(yard)
    of = record(1.5, person_id="lead")
    yard.append(done(of))
    left, right = yard.round(round_id).steps
    assert (left.state, left.record_id, left.person_id, left.at) == (StepState.DONE, of.id, "lead", of.at)
    assert (right.job, right.state) == (RIGHT, StepState.OPEN)


def test_round__left_out_and_done_after_all__counts_as_done(yard: YardRecords) -> None:
    """Work done is work done, whatever was said before."""
    round_id = begin(yard)
    yard.append(event(RoundJobSkipped(round_id, "bearing-left-1", "grease", "no access"), "mechanic", 1.1))
    assert yard.round(round_id).steps[0].reason == "no access"
    yard.append(done(record(1.5)))
    step = yard.round(round_id).steps[0]
    assert (step.state, step.reason) == (StepState.DONE, "")


def test_round__taken_up__names_both_and_moves_to_the_taker(yard: YardRecords) -> None:
    """The first person's time ends where the next one's begins."""
    round_id = begin(yard)
    yard.append(hand_over(round_id, HandOver.GIVER_ABSENT, "lead"))
    first, second = yard.round(round_id).work.hands
    assert (first.person_id, first.until) == ("mechanic", second.since)
    assert (second.person_id, second.from_person_id, second.how) == ("lead", "mechanic", HandOver.GIVER_ABSENT)
    with pytest.raises(NotAllowed, match="Take it up"):
        yard.append(event(RoundJobSkipped(round_id, "bearing-left-1", "grease", "no access"), "mechanic", 3))


def test_round__with_a_job_open__is_not_ended(yard: YardRecords) -> None:
    """What was skipped is accounted for before the round is over; then it stands with its time and person."""
    round_id = begin(yard)
    yard.append(done(record(1.5)))
    with pytest.raises(RecordError, match="left out for a reason"):
        yard.append(event(RoundEnded(round_id), "mechanic", 2))
    yard.append(event(RoundJobSkipped(round_id, "bearing-right-1", "grease", "no access"), "mechanic", 2.1))
    ended = event(RoundEnded(round_id), "mechanic", 2.2)
    yard.append(ended)
    work = yard.round(round_id).work
    assert (work.closed_at, work.closed_by, work.holders) == (ended.at, "mechanic", ())
    assert yard.open_rounds() == () and yard.work_in_hand("u1") == ()


def test_round__of_the_yard__has_a_unit_in_hand_from_its_first_job_to_its_last(yard: YardRecords) -> None:
    """A round of many units does not close the ones it has not come to."""
    begin(yard, unit_id=None)
    assert yard.work_in_hand("u1") == ()
    yard.append(done(record(1.5)))
    assert [work.kind for work in yard.work_in_hand("u1")] == [WorkKind.ROUND]
    yard.append(done(record(1.6, component_id="bearing-right-1", position_id="u1-right")))
    assert yard.work_in_hand("u1") == ()


def test_round__with_a_job_of_another_open_round__is_refused(yard: YardRecords) -> None:
    """Nobody walks twice: the open round is taken up, or ended first."""
    begin(yard)
    with pytest.raises(RecordError, match="Take that round up"):
        begin(yard)


@pytest.mark.parametrize("jobs", [(), (LEFT, LEFT)], ids=["nothing due", "a job twice"])
def test_round__of_nothing_or_of_a_job_twice__is_refused(yard: YardRecords, jobs: tuple[object, ...]) -> None:
    """A round has each job once, and at least one."""
    with pytest.raises(RecordError):
        yard.append(event(RoundBegun("u1", "Round", "early", jobs), "mechanic", 1))  # type: ignore[arg-type]


def test_lock_out__noted__stands_in_its_persons_name_until_they_take_it_back(yard: YardRecords) -> None:
    """By name and time; a mechanic cannot take another's note away."""
    noted = event(WorkOpened("u1", WorkKind.LOCK_OUT, "lock-out noted"), "boss", 1)
    yard.append(noted)
    (work,) = yard.work_in_hand("u1")
    assert (work.opened_by, work.opened_at, work.is_held_by("boss")) == ("boss", noted.at, True)
    with pytest.raises(NotAllowed):
        yard.append(event(WorkClosed(noted.id, "lock taken off"), "mechanic", 2))
    yard.append(event(WorkClosed(noted.id, "lock taken off"), "boss", 2))
    assert yard.work_in_hand("u1") == ()


def test_lock_out__without_its_owners_badge__takes_a_lead_and_a_reason(yard: YardRecords) -> None:
    """29 CFR 1910.147 (e)(3), from memory: the employer's own procedure, and somebody who answers for it."""
    noted = event(WorkOpened("u1", WorkKind.LOCK_OUT, "lock-out noted"), "mechanic", 1)
    yard.append(noted)
    with pytest.raises(RecordError, match="reason"):
        yard.append(hand_over(noted.id, HandOver.GIVER_ABSENT, "lead"))
    yard.append(hand_over(noted.id, HandOver.GIVER_ABSENT, "lead", "called at home, lock cut by procedure"))
    assert [hand.person_id for hand in yard.work(noted.id).holders] == ["lead"]


def test_work__of_two__is_in_both_hands(yard: YardRecords) -> None:
    """A repair that takes two people names both."""
    opened = event(WorkOpened("u1", WorkKind.JOB, "Change the bearing", "bearing-left-1", "replace"), "mechanic", 1)
    yard.append(opened)
    yard.append(hand_over(opened.id, HandOver.BOTH_BADGES, "lead", together=True))
    assert [hand.person_id for hand in yard.work(opened.id).holders] == ["mechanic", "lead"]


@pytest.mark.parametrize("payload", [
    WorkHandedOver("nowhere", "mechanic", False, HandOver.BOTH_BADGES), WorkClosed("nowhere", "why"),
    RoundEnded("nowhere"), RoundJobSkipped("nowhere", "bearing-left-1", "grease", "why"),
])
def test_work__unknown__is_not_found(yard: YardRecords, payload: object) -> None:
    """Nothing is handed over, closed or ended that was never opened."""
    with pytest.raises(KioskError, match="No work"):
        yard.append(event(payload, "lead", 1))  # type: ignore[arg-type]
