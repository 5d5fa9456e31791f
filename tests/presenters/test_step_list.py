"""Step lists: labels in one go, each bound by a scan on the machine, ticks that survive a restart, bolts in order."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from kiosk.entities import Component, JobType, Label, LabelKind, Phase, Position, ScanSource, Side
from kiosk.events import ComponentReplaced, CourseBegun, CourseEnded, CourseStepped, JobDone, JobScheduled
from kiosk.guided import CourseKind, Outcome, StepKind
from kiosk.presenters.desk import Desk
from kiosk.presenters.due_list import due_of_component
from kiosk.service_sheet import AfterwardSpec, JobSpec, StepSpec
from labels.number import Kind, compose

STEPS = (
    StepSpec("Engine off, locked out, tried.", "make safe", "locked-out", "lock"),
    StepSpec("Fetch bearing, sling, torque key.", "fetch", picture="fetch"),
    StepSpec("Draw the old bearing off.", "take off"),
    StepSpec("Fit it; stick the label; scan it.", "fit", fits="bearing"),
    StepSpec("Housing bolts crosswise.", "fit", bolts=4, order="crosswise", torque_newton_metre=70),
    StepSpec("Run ten minutes.", "check", minutes=10),
    StepSpec("Read the temperature.", "check", reading="temperature"),
)


@pytest.fixture
def shop(yard: Any) -> Any:
    """The yard with a second bearing beside the first, and a step list for changing them."""
    number = compose(Kind.COMPONENT, 1, 77).digits
    yard.records.position_list.append(
        Position("p-right", "u4", "a1", "upper shaft bearing, right", "bearing", Side.RIGHT, 0.3, 0.9, 9))
    yard.records.components["c-right"] = Component(
        "c-right", "bearing", "p-right", "u4", "Insert bearing UC208", number, yard.clock(), 40.0)
    yard.records.labels[number] = Label(number, LabelKind.COMPONENT, "c-right", yard.clock())
    sheet = yard.sheets.known["bearing"]
    again = JobSpec("again", "Tighten again", JobType.INSPECT, ("locked-out",))
    jobs = tuple(replace(job, step_list=STEPS, new_parts=("bearing",), afterwards=(AfterwardSpec("again", 8, 1, "x"),))
                 if job.key == "replace" else job for job in sheet.jobs)
    yard.sheets.known["bearing"] = replace(sheet, jobs=(*jobs, again))
    return yard


def _open(yard: Any, component: str = "c-bearing") -> Any:
    yard.sign_in()
    yard.clear(component, "replace")
    yard.scan(yard.label_of(component))
    yard.screen.open_job("guided:replace")
    return yard.screen


def _to_the_labels(yard: Any, *also: str) -> None:
    """Begin, choose what is changed with it, print the labels, and do the first three steps."""
    _open(yard)
    yard.screen.choose_reason(yard.state.reasons[0].key)
    for key in also:
        yard.screen.choose_part(key)
    yard.screen.go_on()
    for _ in range(3):
        yard.screen.go_on()


def _restart(yard: Any) -> None:
    yard.desk = Desk(yard.helpers, yard._show)
    yard.desk.start()


def _numbers(yard: Any) -> list[str]:
    return [number for number, _ in yard.labels.printed]


def test_labels__two_parts__are_printed_in_one_go_with_their_places(shop: Any) -> None:
    """Both bearings of the shaft: one touch prints both labels, each with its own place on it."""
    _open(shop)
    shop.screen.choose_reason(shop.state.reasons[0].key)
    shop.screen.choose_part("p-right")
    shop.screen.go_on()
    assert [lines[1] for _, lines in shop.labels.printed] == ["upper shaft bearing, left", "upper shaft bearing, right"]
    assert shop.records.payloads(CourseBegun)[0].kind is CourseKind.STEP_LIST
    assert shop.state.stage == "step" and shop.state.progress == "step 1 of 7: make safe"
    assert shop.state.caution.signal == "DANGER"


def test_labels__without_a_reason__nothing_is_printed(shop: Any) -> None:
    """Why the old part goes is asked first; nothing is on record before."""
    _open(shop)
    shop.screen.go_on()
    assert shop.labels.printed == [] and shop.records.payloads(CourseBegun) == []
    assert "why" in shop.message.text


def test_scan__on_the_machine__binds_each_part_at_once(shop: Any) -> None:
    """Each new label is scanned once at its step: that part is on record from then on, the other not yet."""
    _to_the_labels(shop, "p-right")
    first, second = _numbers(shop)
    assert shop.state.kind == "label" and not shop.state.save.enabled
    shop.scan(first)
    assert shop.records.component_at("p-bearing").label == first
    assert shop.records.component_at("p-right").id == "c-right"
    shop.scan(second)
    assert shop.records.component_at("p-right").label == second
    assert [one.record.details["read_back"] for one in shop.records.payloads(ComponentReplaced)] == ["scanner"] * 2
    shop.screen.go_on()
    assert shop.state.kind == "bolts"


def test_scan__typed_number__binds_nothing(shop: Any) -> None:
    """A number on the pad does not show that the label can be read on the machine."""
    _to_the_labels(shop)
    shop.scan(_numbers(shop)[0], ScanSource.KEYPAD)
    assert shop.records.payloads(ComponentReplaced) == []


def test_scan__before_its_step__says_when(shop: Any) -> None:
    """A label scanned too early is told to wait for its step; the part is not on the machine yet."""
    _open(shop)
    shop.screen.choose_reason(shop.state.reasons[0].key)
    shop.screen.go_on()
    shop.scan(_numbers(shop)[0])
    assert "scan it at its step" in shop.message.text and shop.records.payloads(ComponentReplaced) == []


def test_bolts__crosswise_of_four__1_3_2_4(shop: Any) -> None:
    """Published rule for a circle of four bolts: opposite ones after each other."""
    _to_the_labels(shop)
    shop.scan(_numbers(shop)[0])
    shop.screen.go_on()
    order = []
    while shop.state.kind == "bolts":
        order.append(next(bolt.number for bolt in shop.state.bolts if bolt.next))
        shop.screen.tick_bolt()
    assert order == [1, 3, 2, 4]
    assert [step.details["bolt"] for step in shop.records.steps if step.kind is StepKind.BOLT_TIGHT] == order


def test_left_half_way__restart__is_taken_up_at_the_same_step_and_bolt(shop: Any) -> None:
    """Everything ticked is an event: another kiosk start, another person, the same bolt."""
    _to_the_labels(shop)
    shop.scan(_numbers(shop)[0])
    shop.screen.go_on()
    shop.screen.tick_bolt()
    _restart(shop)
    shop.sign_in("bo")
    new = shop.records.component_at("p-bearing")
    shop.clear(new.id, "replace", "bo")
    shop.scan(new.label)
    button = next(job for job in shop.state.jobs if job.key == "guided:replace")
    assert button.title == "Take up: Change the bearing" and "Ana" in button.due
    shop.screen.open_job(button.key)
    shop.screen.answer("absent")  # Bo is a lead
    assert shop.state.kind == "bolts" and sum(bolt.ticked for bolt in shop.state.bolts) == 1


def _finish(yard: Any) -> None:
    while yard.state.kind == "bolts":
        yard.screen.tick_bolt()
    yard.screen.go_on()
    yard.screen.go_on()
    yard.clock.move(minutes=10)
    new = yard.records.component_at("p-bearing")
    yard.clear(new.id, "replace")
    yard.screen.go_on()
    yard.type("110")
    yard.screen.go_on()


def test_to_the_end__reading_on_the_new_part_and_the_next_job_on_the_due_list(shop: Any) -> None:
    """The new part's own history begins with how it was fitted; what falls due once after it is on the due list."""
    _to_the_labels(shop)
    shop.scan(_numbers(shop)[0])
    shop.screen.go_on()
    _finish(shop)
    assert shop.state.stage == "end"
    shop.screen.go_on()
    new = shop.records.component_at("p-bearing")
    (done,) = shop.records.payloads(JobDone)
    record = done.record
    assert (record.component_id, record.job, record.job_type) == (new.id, "replace", JobType.INSPECT)
    (reading,) = record.readings
    assert (reading.phase, round(reading.value, 1)) == (Phase.AS_LEFT, 43.3)
    assert record.details["steps_done"] == list(range(1, 8)) and record.details["new_labels"] == [new.label]
    (ended,) = shop.records.payloads(CourseEnded)
    assert (ended.outcome, ended.record_id) == (Outcome.DONE, record.id)
    (scheduled,) = shop.records.payloads(JobScheduled)
    assert (scheduled.component_id, scheduled.job, scheduled.after_hours) == (new.id, "again", 8)
    due = {item.job: item for item in due_of_component(shop.helpers, new)}
    assert due["again"].hours_left == 8 and due["again"].last_at is None


def test_scheduled__overdue_by_hours__stays_until_done(shop: Any) -> None:
    """Run over, it is overdue; done, it is gone."""
    _to_the_labels(shop)
    shop.scan(_numbers(shop)[0])
    shop.screen.go_on()
    _finish(shop)
    shop.screen.go_on()
    new = shop.records.component_at("p-bearing")
    meter = shop.records.hour_readings["u4"]
    shop.records.hour_readings["u4"] = replace(meter, hours=meter.hours + 9)
    due = {item.job: item for item in due_of_component(shop.helpers, new)}
    assert due["again"].overdue and due["again"].hours_left == -1


def test_not_done__unticks_the_last_step(shop: Any) -> None:
    """A step ticked by mistake is taken back, and that too is on record."""
    _open(shop)
    shop.screen.choose_reason(shop.state.reasons[0].key)
    shop.screen.go_on()
    shop.screen.go_on()
    shop.screen.take_back()
    assert shop.state.progress == "step 1 of 7: make safe"
    assert shop.records.steps[-1].kind is StepKind.UNDONE


def test_given_up__with_a_reason__the_step_where_it_was_left_is_a_finding(shop: Any) -> None:
    """What was begun and left is seen by whoever comes next."""
    _to_the_labels(shop)
    shop.screen.give_up("the new bearing does not fit")
    (ended,) = shop.records.payloads(CourseEnded)
    assert ended.outcome is Outcome.GIVEN_UP
    (finding,) = shop.records.open_findings(component_id="c-bearing")
    assert "left at step 4 of 7" in finding.text and "does not fit" in finding.text


def test_bad_reading__stays_typed(shop: Any) -> None:
    """What is no number is kept with its sentence."""
    _to_the_labels(shop)
    shop.scan(_numbers(shop)[0])
    shop.screen.go_on()
    while shop.state.kind == "bolts":
        shop.screen.tick_bolt()
    shop.screen.go_on()
    shop.screen.go_on()
    shop.clock.move(minutes=10)
    shop.clear(shop.records.component_at("p-bearing").id, "replace")
    shop.screen.go_on()
    shop.type("9..")
    shop.screen.go_on()
    assert shop.state.rows[0].typed == "9.." and "Cannot be read" in shop.message.text
    assert StepKind.MEASURED not in [step.kind for step in shop.records.payloads(CourseStepped)]


def test_timer_of_a_step__rings_on_any_screen(shop: Any) -> None:
    """Waiting is watched like a run-in."""
    _to_the_labels(shop)
    shop.scan(_numbers(shop)[0])
    shop.screen.go_on()
    while shop.state.kind == "bolts":
        shop.screen.tick_bolt()
    shop.screen.go_on()
    shop.screen.go_on()
    shop.desk.home()
    shop.clock.move(minutes=9.99)
    shop.desk.session.touched()
    shop.clock.move(minutes=0.1)
    shop.desk.tick()
    assert shop.sounds[-1] == "timer" and "Change the bearing" in shop.message.text


def test_take_out__no_new_parts__goes_straight_to_its_steps(shop: Any) -> None:
    """A step list that changes no part needs no labels; its record is of the job's own kind."""
    sheet = shop.sheets.known["chain"]
    job = JobSpec("take-out", "Take it out", JobType.INSPECT, ("locked-out",), step_list=STEPS[:3])
    shop.sheets.known["chain"] = replace(sheet, jobs=(*sheet.jobs, job))
    shop.sign_in()
    shop.clear("c-chain", "take-out")
    shop.scan(shop.label_of("c-chain"))
    assert "take-out" not in {job.key for job in shop.state.jobs}
    shop.screen.open_job("guided:take-out")
    for _ in range(4):
        shop.screen.go_on()
    (done,) = shop.records.payloads(JobDone)
    assert (done.record.job, done.record.job_type, done.record.details["steps_done"]) == (
        "take-out", JobType.INSPECT, [1, 2, 3])
