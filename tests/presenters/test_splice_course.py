"""A splice with a piece put in: steps first, each joint with its own ticks, what follows once it is saved."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from kiosk.entities import JobType
from kiosk.events import CourseBegun, CourseStepped, JobDone, JobScheduled
from kiosk.guided import CourseKind, StepKind
from kiosk.presenters.desk import Desk
from kiosk.presenters.due_list import due_of_component
from kiosk.presenters.states import SpliceState
from kiosk.service_sheet import AfterwardSpec, JobSpec, StepSpec

STEPS = (StepSpec("Engine off, locked out, tried.", "make safe", "locked-out", "lock"),
         StepSpec("Cut away from yourself.", "take off", picture="cut"))


@pytest.fixture
def splice(yard: Any) -> Any:
    """The splice of a 6,000 mm belt open, cleats every 250 mm, with steps, a run-in and what falls due after it."""
    sheet = yard.sheets.known["belt"]
    plan = sheet.job("splice").computation
    assert plan is not None
    small = replace(plan, parameters={**plan.parameters, "min_insert_mm": 250})
    after = (AfterwardSpec("again", 8, 1, "first shift"),)
    jobs = tuple(replace(job, step_list=STEPS, begins="track", computation=small, afterwards=after)
                 if job.key == "splice" else job for job in sheet.jobs)
    again = JobSpec("again", "Tighten the joint again", JobType.ADJUST, ("locked-out",))
    yard.sheets.known["belt"] = replace(sheet, jobs=(*jobs, again))
    yard.open_job("c-belt", "splice")
    yard.screen.toggle_unit()
    return yard


def _plan(yard: Any, words: str) -> None:
    """Type a bad length away from the old splice and choose a plan by its words."""
    yard.type("2800")
    yard.screen.key("next")
    yard.type("2950")
    yard.screen.go_on()
    plan = next(plan for plan in yard.state.plans if plan.feasible and words in plan.title)
    yard.screen.choose_plan(plan.key)
    yard.screen.go_on()


def _steps(yard: Any) -> None:
    while yard.state.stage == "steps":
        yard.screen.go_on()


def _tick(yard: Any, bolts: int) -> None:
    for _ in range(bolts):
        yard.screen.tick_bolt(next(bolt.number for bolt in yard.state.bolts if bolt.next))


def test_steps__come_one_by_one_before_the_joint(splice: Any) -> None:
    """The list is gone through with its cautions; the joint comes after the last of them."""
    _plan(splice, "cleat section")
    assert splice.state.step.text == STEPS[0].text and splice.state.step.caution.signal == "DANGER"
    splice.screen.go_on()
    assert splice.state.step.progress == "step 2 of 2: take off"
    splice.screen.back()
    assert splice.state.step.text == STEPS[0].text
    _steps(splice)
    assert splice.state.stage == "joint"


def test_insert__has_two_joints_each_with_its_own_ticks(splice: Any) -> None:
    """By hand: a piece has two ends, seven bolts each; fourteen ticks, and the second joint begins with none."""
    _plan(splice, "cleat section")
    _steps(splice)
    assert splice.state.joint.startswith("Joint 1 of 2")
    _tick(splice, 7)
    assert splice.state.joint.startswith("Joint 2 of 2")
    assert not any(bolt.ticked for bolt in splice.state.bolts) and not splice.state.save.enabled
    _tick(splice, 7)
    assert splice.state.save.enabled
    splice.screen.save()
    (done,) = splice.records.payloads(JobDone)
    assert (done.record.details["joints"], done.record.details["bolts_tightened"]) == (2, 14)
    assert len(done.new_properties["splices_mm"]) == 3


def test_insert__second_joint__its_own_order(splice: Any) -> None:
    """Each joint goes from its own centre outward: bolt 4 is first in both (published rule)."""
    _plan(splice, "cleat section")
    _steps(splice)
    _tick(splice, 7)
    splice.screen.tick_bolt(1)
    assert "Bolt 4 comes next" in splice.message.text


def test_untick__at_the_second_joint__goes_back_to_the_first(splice: Any) -> None:
    """The last tick taken back is the last bolt of the first joint."""
    _plan(splice, "cleat section")
    _steps(splice)
    _tick(splice, 7)
    splice.screen.untick_bolt()
    assert splice.state.joint.startswith("Joint 1 of 2") and sum(bolt.ticked for bolt in splice.state.bolts) == 6


def test_drawing__after__is_to_the_scale_of_the_belt_as_it_is(splice: Any) -> None:
    """By hand: 250 mm put into a 6,000 mm loop are 1/24 of it; the loop is drawn as long as it will be."""
    _plan(splice, "cleat section")
    after = splice.state.drawing.after
    low, high = after.insert
    record = next(plan for plan in [splice.state.drawing])
    assert (high - low) * 24 == pytest.approx(round((high - low) * 24))
    assert after.length * 24 == pytest.approx(round(after.length * 24)) and record.cut is not None
    assert len(after.cleats) == round(after.length * 24)


def test_half_way__restart__goes_on_at_the_same_bolt(splice: Any) -> None:
    """What was ticked comes back after a restart of the kiosk's desk on the same drafts."""
    _plan(splice, "cleat section")
    _steps(splice)
    _tick(splice, 9)
    store: dict[Any, Any] = {}

    class Store:
        def load(self) -> dict[Any, Any]:
            return store

        def save(self, drafts: Any) -> None:
            store.update(drafts)

    Store().save(splice.desk.drafts._kept)
    splice.desk = Desk(replace(splice.helpers, draft_store=Store()), splice._show)
    splice.desk.start()
    splice.open_job("c-belt", "splice")
    assert isinstance(splice.state, SpliceState) and splice.state.joint.startswith("Joint 2 of 2")
    assert sum(bolt.ticked for bolt in splice.state.bolts) == 2


def test_saved__run_in_begins_and_re_tightening_is_on_the_due_list(splice: Any) -> None:
    """The tracking session begins by itself with its run on the new length; the joint falls due after 8 h or a day."""
    _plan(splice, "close up")
    _steps(splice)
    _tick(splice, 7)
    splice.screen.save()
    (begun,), (run,) = splice.records.payloads(CourseBegun), splice.records.payloads(CourseStepped)
    assert (begun.kind, begun.job) == (CourseKind.SESSION, "track")
    belt = splice.records.component("c-belt")
    length = belt.properties["belt_length_mm"]
    assert (run.kind, run.details["revolutions"]) == (StepKind.RUN_BEGAN, 150)
    assert run.details["minutes"] == pytest.approx(150 * length / (628.3185 * 95.5), abs=0.01)
    (scheduled,) = splice.records.payloads(JobScheduled)
    assert (scheduled.job, scheduled.after_hours, scheduled.after_days) == ("again", 8, 1)
    assert "again" in {item.job for item in due_of_component(splice.helpers, belt)}
    assert any("rings" in line for line in splice.state.lines)


def test_saved__parts_used_are_on_record(splice: Any) -> None:
    """What it took from the shelf stands in the record in words."""
    _plan(splice, "cleat section")
    _steps(splice)
    _tick(splice, 14)
    splice.screen.save()
    (done,) = splice.records.payloads(JobDone)
    used = done.record.details["parts_used"]
    assert "cleat section" in used and "2 sets of joint bolts" in used


def test_entry__bare_number__shows_the_unit_it_is_read_in(splice: Any) -> None:
    """A field says mm or in behind what is typed; a text that names its own unit needs none."""
    splice.type("48")
    assert splice.state.entries[0].unit == "mm"
    splice.screen.toggle_unit()
    assert splice.state.entries[0].unit == "in"
