"""Adjustment sessions: each step an event, the run survives a restart and rings, the whole is one story."""

from __future__ import annotations

import math
from typing import Any

import pytest

from kiosk.entities import Phase, Verdict
from kiosk.events import CourseBegun, CourseEnded, CourseStepped, JobDone
from kiosk.guided import Outcome, StepKind
from kiosk.presenters.advice.tracking_advice import logged_moves
from kiosk.presenters.desk import Desk


def _open(yard: Any, component: str = "c-belt", job: str = "track") -> Any:
    yard.sign_in()
    yard.clear(component, job)
    yard.scan(yard.label_of(component))
    yard.screen.open_job(f"guided:{job}")
    return yard.screen


def _measure(yard: Any, *values: str) -> None:
    for place, value in enumerate(values):
        if place:
            yard.screen.next_row()
        if yard.state.unit == "in":
            yard.screen.toggle_unit()
        yard.type(value)
    yard.screen.go_on()


def _restart(yard: Any) -> None:
    """Let the kiosk start anew on the same records."""
    yard.desk = Desk(yard.helpers, yard._show)
    yard.desk.start()


def test_step_by_step__every_step_is_an_event_in_its_order(yard: Any) -> None:
    """Measured, turned, run, measured: the journal has each by itself, the beginning before the first."""
    _open(yard)
    _measure(yard, "20", "18")
    yard.screen.go_on()
    yard.screen.go_on()
    yard.clock.move(minutes=20)
    yard.screen.go_on()
    _measure(yard, "8", "8")
    kinds = [event.payload for event in yard.records.events if isinstance(event.payload, CourseBegun | CourseStepped)]
    assert isinstance(kinds[0], CourseBegun)
    assert [one.kind for one in kinds[1:]] == [StepKind.MEASURED, StepKind.TURNED, StepKind.RUN_BEGAN,
                                               StepKind.RUN_ENDED, StepKind.MEASURED]
    assert yard.state.stage == "within"


def test_command_cards__lead_a_session_from_found_to_within(yard: Any) -> None:
    """Scanner alone: digits, next, save, start timer, save; a timer before its time is refused with a sentence."""
    def card(*keys: str) -> None:
        for key in keys:
            yard.scan(next(label.number for label in yard.records.labels.values() if label.subject_id == key))

    _open(yard)
    yard.screen.toggle_unit()
    card("timer")
    assert "after the turning" in yard.message.text
    card("2", "0", "next", "1", "8", "save", "save", "timer")
    assert yard.state.stage == "run"
    yard.clock.move(minutes=20)
    card("save")
    yard.screen.toggle_unit()
    card("8", "next", "8", "save")
    assert yard.state.stage == "within"


def test_nothing_typed__nothing_on_record(yard: Any) -> None:
    """Looking at the session's screen begins nothing."""
    _open(yard)
    yard.screen.go_on()
    assert yard.records.payloads(CourseBegun) == []
    assert "Still to measure" in yard.message.text


def test_bad_reading__stays_typed_and_is_refused(yard: Any) -> None:
    """What is no number is told and kept; nothing goes on record."""
    _open(yard)
    yard.type("1..2")
    yard.screen.go_on()
    assert yard.state.rows[0].typed == "1..2" and "Cannot be read" in yard.message.text
    assert yard.records.payloads(CourseStepped) == []


def test_turned__what_was_really_turned_goes_on_record_beside_what_was_advised(yard: Any) -> None:
    """The advice stands ready; a key more or less makes it what the hand did."""
    _open(yard)
    _measure(yard, "20", "18")
    advised = yard.state.turns
    assert any("flat" in row.amount for row in advised)
    yard.screen.turn("left", 1)
    yard.screen.turn("right", -1)
    yard.screen.turn("right", -1)
    yard.screen.go_on()
    step = yard.records.steps[-1]
    assert step.kind is StepKind.TURNED and step.details["unit"] == "flats"
    assert step.details["turned"]["left"] == step.details["advised"]["left"] + 1
    assert step.details["turned"]["right"] == step.details["advised"]["right"] - 2


def test_turned__nothing__is_refused(yard: Any) -> None:
    """A cycle without a turn teaches nothing."""
    _open(yard)
    _measure(yard, "20", "18")
    for row in yard.state.turns:
        while "not turned" not in next(one.amount for one in yard.state.turns if one.key == row.key):
            way = -1 if "up" in next(one.amount for one in yard.state.turns if one.key == row.key) else 1
            yard.screen.turn(row.key, way)
    yard.screen.go_on()
    assert "Nothing was turned" in yard.message.text and yard.state.stage == "turn"


def test_run__time_by_hand__revolutions_times_loop_over_girth_and_speed(yard: Any) -> None:
    """150 revolutions of a 6000 mm loop on a 200 mm roller at 95.5 r/min take 15 min (v = pi D n, by hand)."""
    _open(yard)
    _measure(yard, "20", "18")
    yard.screen.go_on()
    assert yard.state.run.left == "150 revolutions, 15:00 min"
    yard.screen.go_on()
    by_hand = 150 * 6000 / (math.pi * 200 * 95.5)
    assert yard.records.steps[-1].details["minutes"] == pytest.approx(by_hand, abs=0.01)
    yard.clock.move(minutes=5)
    yard.desk.tick()
    assert yard.state.run.left == "100 revolutions, 10:00 min left" and yard.state.run.mark.word == "running"


def test_run__restart_in_the_middle__goes_on_and_rings(yard: Any) -> None:
    """The timer is read out of the records: after a restart it has run on, and rings when its time is up."""
    _open(yard)
    _measure(yard, "20", "18")
    yard.screen.go_on()
    yard.screen.go_on()
    yard.clock.move(minutes=6)
    _restart(yard)
    yard.desk.tick()
    assert "timer" not in yard.sounds
    _open(yard)
    assert yard.state.run.left == "90 revolutions, 9:00 min left"
    yard.desk.home()
    yard.clock.move(minutes=9.1)
    yard.desk.tick()
    assert yard.sounds[-1] == "timer" and "Time is up: Track the belt" in yard.message.text
    yard.screen.answer("go")
    assert yard.state.stage == "run" and yard.state.run.mark.word == "time is up"
    assert yard.state.go_on_text == "Measure again"


def test_ring__not_answered__rings_again_and_stops_when_the_run_is_ended(yard: Any) -> None:
    """It rings every half minute until somebody goes on with the work."""
    _open(yard)
    _measure(yard, "20", "18")
    yard.screen.go_on()
    yard.screen.go_on()
    yard.clock.move(minutes=16)
    for _ in range(40):
        yard.desk.tick()
        yard.clock.move(seconds=1)
    assert yard.sounds.count("timer") == 2  # on the idle screen: whoever was signed in has gone
    _open(yard)
    yard.screen.go_on()
    yard.clock.move(seconds=60)
    yard.desk.tick()
    assert yard.sounds.count("timer") == 2 and yard.state.stage == "measure"


def test_run__stopped_early__asks_first_and_keeps_what_was_run(yard: Any) -> None:
    """Ended before its time it says so, with the revolutions that were run."""
    _open(yard)
    _measure(yard, "20", "18")
    yard.screen.go_on()
    yard.screen.go_on()
    yard.clock.move(minutes=3)
    yard.screen.go_on()
    assert "not over" in yard.message.text
    yard.screen.answer("cut")
    details = yard.records.steps[-1].details
    assert details["cut_short"] and details["revolutions"] == pytest.approx(30, abs=0.2)


def test_three_cycles__one_record_with_first_found_last_left_and_every_cycle(yard: Any) -> None:
    """The record tells the whole session: found first, left last, each turn with its run, before and after."""
    _open(yard)
    for top, bottom in (("24", "18"), ("20", "18"), ("16", "18")):
        _measure(yard, top, bottom)
        yard.screen.go_on()
        yard.screen.go_on()
        yard.clock.move(minutes=16)
        yard.clear("c-belt", "track")
        yard.screen.go_on()
    _measure(yard, "8", "8")
    yard.screen.go_on()
    (done,), (ended,) = yard.records.payloads(JobDone), yard.records.payloads(CourseEnded)
    record = done.record
    assert (ended.outcome, ended.record_id, record.verdict) == (Outcome.WITHIN, record.id, Verdict.WITHIN)
    found = [one.value for one in record.readings if one.phase is Phase.AS_FOUND]
    left = [one.value for one in record.readings if one.phase is Phase.AS_LEFT]
    assert (found, left) == ([24.0, 18.0], [8.0, 8.0])
    cycles = record.details["cycles"]
    assert [(one["before"]["belt-edge-top|both"], one["after"]["belt-edge-top|both"]) for one in cycles] == [
        (24.0, 20.0), (20.0, 16.0), (16.0, 8.0)]
    assert all(one["revolutions"] == pytest.approx(150, abs=0.1) for one in cycles)


def test_cycles__feed_the_adviser_during_and_after_the_session(yard: Any) -> None:
    """Each turn is a logged move of this very machine: for the next turn at once, and for the next session."""
    _open(yard)
    _measure(yard, "24", "18")
    assert any("No moves are logged yet" in line.text for line in yard.state.advice)
    yard.screen.go_on()
    yard.screen.go_on()
    yard.clock.move(minutes=16)
    yard.screen.go_on()
    _measure(yard, "20", "18")
    assert any("1 logged move" in line.text for line in yard.state.advice)
    yard.screen.give_up("no time left")
    (record,) = [one.record for one in yard.records.payloads(JobDone)]
    (move,) = logged_moves((record,))
    assert (move.edge_top_before_mm, move.edge_top_after_mm) == (24.0, 20.0)
    assert move.turns_left + move.turns_right != 0 and move.revolutions == pytest.approx(150, abs=0.1)


def test_given_up__with_a_reason__is_told_and_opens_a_finding(yard: Any) -> None:
    """What is left outside its limits stays on the list, with why it was left so; without a reason nothing ends."""
    _open(yard)
    _measure(yard, "24", "18")
    yard.screen.give_up(" ")
    assert yard.records.payloads(CourseEnded) == []
    yard.screen.give_up("thread seized")
    (ended,) = yard.records.payloads(CourseEnded)
    assert (ended.outcome, ended.reason) == (Outcome.GIVEN_UP, "thread seized")
    (finding,) = yard.records.open_findings(component_id="c-belt")
    assert "thread seized" in finding.text


def test_taken_up_by_another_person__both_are_named_in_the_story(yard: Any) -> None:
    """The page offers to take it up and says who began; the story names each for each step."""
    _open(yard)
    _measure(yard, "24", "18")
    yard.desk.home()
    yard.sign_in("bo")
    yard.clear("c-belt", "track", "bo")
    yard.scan(yard.label_of("c-belt"))
    button = next(job for job in yard.state.jobs if job.key == "guided:track")
    assert button.title == "Take up: Track the belt" and "Ana" in button.due
    yard.screen.open_job(button.key)
    assert "in the hands of Ana" in yard.message.text
    yard.screen.answer("absent")  # Bo is a lead
    yard.screen.go_on()
    assert "Ana" in yard.state.story[0] and "Bo" in yard.state.story[1]


def test_chain_sag__without_a_run__is_measured_again_at_once(yard: Any) -> None:
    """Sag needs no run: turned by what the advice says for both sides, then measured again."""
    _open(yard, "c-chain", "sag")
    _measure(yard, "120", "118")
    assert [row.plus for row in yard.state.turns] == ["out", "out"]
    yard.screen.go_on()
    assert yard.state.stage == "measure" and yard.state.phase == "as left"
    _measure(yard, "89", "89")
    assert yard.state.stage == "within"


def test_within_at_once__is_saved_without_a_turn(yard: Any) -> None:
    """Found within, there is nothing to turn: one touch saves."""
    _open(yard)
    _measure(yard, "8", "8")
    yard.screen.go_on()
    (done,) = yard.records.payloads(JobDone)
    assert done.record.verdict is Verdict.WITHIN and done.record.details["cycles"] == []


def test_typed_and_not_saved__comes_back(yard: Any) -> None:
    """What was typed before it was put on record is a draft, and asks before it is left."""
    _open(yard)
    yard.type("12")
    yard.scan(yard.label_of("c-bearing"))
    assert "not saved yet" in yard.message.text
    yard.screen.answer("go")
    yard.scan(yard.label_of("c-belt"))
    yard.screen.open_job("guided:track")
    assert yard.state.rows[0].typed == "12"
