"""Guided work on record: one course of a job at a position, its steps in order, its end, scheduled jobs."""

from __future__ import annotations

import pytest
from small_yard import at, course_begun, done, event, reading, record, replacement

from kiosk.entities import JobType
from kiosk.errors import NotFound, RecordError
from kiosk.events import CourseEnded, CourseStepped, JobScheduled
from kiosk.guided import Outcome, StepKind
from kiosk.records import YardRecords


def _scheduled(days: float = 1.0, job: str = "adjust", component_id: str = "bearing-left-1", **changes: object):
    fields = {"reason": "new joint", "hours": 106.0, "after_hours": 8.0, "after_days": None, **changes}
    return event(JobScheduled("u1", component_id, job, **fields), "mechanic", days)  # type: ignore[arg-type]


def test_course__with_steps__comes_back_in_order(yard: YardRecords) -> None:
    """What was measured, turned and run is there step by step, by whom and when."""
    begun = course_begun("mechanic", 1)
    measured = event(CourseStepped(begun.id, StepKind.MEASURED, {}, (reading(70.0),)), "mechanic", 1.1)
    turned = event(CourseStepped(begun.id, StepKind.TURNED, {"left": 2, "right": -1}), "lead", 1.2)
    yard.append_all([begun, measured, turned])
    course = yard.open_course("u1-right", "adjust")
    assert course is not None and (course.id, course.begun_by, course.begun_at) == (begun.id, "mechanic", at(1))
    steps = yard.course_steps(course.id)
    assert [(step.kind, step.person_id) for step in steps] == [
        (StepKind.MEASURED, "mechanic"), (StepKind.TURNED, "lead")]
    assert steps[0].readings == (reading(70.0),) and steps[1].details == {"left": 2, "right": -1}


def test_course__ended_with_its_record__is_open_no_more(yard: YardRecords) -> None:
    """The end names how it ended and the record that tells it."""
    begun, saved = course_begun("mechanic", 1), record(2)
    yard.append_all([begun, done(saved), event(CourseEnded(begun.id, Outcome.WITHIN, "", saved.id), "mechanic", 2)])
    assert yard.open_courses() == () and yard.open_courses("u1") == ()
    course = yard.course(begun.id)
    assert (course.outcome, course.record_id, course.ended_at) == (Outcome.WITHIN, saved.id, at(2))


def test_course__second_of_the_same_job_at_the_place__is_refused(yard: YardRecords) -> None:
    """The one that is open is taken up, not begun twice; another job may run beside it."""
    yard.append(course_begun())
    with pytest.raises(RecordError, match="under way"):
        yard.append(course_begun())
    yard.append(course_begun(job="other"))
    assert len(yard.open_courses("u1")) == 2


def test_course__on_a_part_that_was_replaced__is_refused(yard: YardRecords) -> None:
    """Work begins on the part that sits there now."""
    yard.append(replacement())
    gone = course_begun(component_id="bearing-left-1")
    with pytest.raises(RecordError, match="another position"):
        yard.append(gone)


def test_step__of_an_unknown_or_ended_course__is_refused(yard: YardRecords) -> None:
    """A step belongs to work that is under way."""
    with pytest.raises(NotFound, match="not on record"):
        yard.append(event(CourseStepped("nothing", StepKind.DONE), "mechanic"))
    begun = course_begun()
    yard.append_all([begun, event(CourseEnded(begun.id, Outcome.DONE), "mechanic", 23)])
    with pytest.raises(RecordError, match="ended already"):
        yard.append(event(CourseStepped(begun.id, StepKind.DONE), "mechanic", 24))


def test_end__given_up_without_reason_or_with_an_unknown_record__is_refused(yard: YardRecords) -> None:
    """Giving up says why, and a record that is named is there."""
    begun = course_begun()
    yard.append(begun)
    with pytest.raises(RecordError, match="why"):
        yard.append(event(CourseEnded(begun.id, Outcome.GIVEN_UP, " "), "mechanic", 23))
    with pytest.raises(NotFound, match="not there"):
        yard.append(event(CourseEnded(begun.id, Outcome.DONE, "", "nothing"), "mechanic", 23))


def test_scheduled__until_the_job_is_done__is_listed_once(yard: YardRecords) -> None:
    """A record of the job later than the scheduling takes it off the list; an earlier one does not."""
    yard.append(done(record(0.5, job="adjust", job_type=JobType.ADJUST, strokes=None)))
    yard.append(_scheduled())
    (job,) = yard.scheduled_jobs("u1")
    assert (job.component_id, job.job, job.hours, job.after_hours, job.after_days) == (
        "bearing-left-1", "adjust", 106.0, 8.0, None)
    yard.append(done(record(2, job="adjust", job_type=JobType.ADJUST, strokes=None)))
    assert yard.scheduled_jobs("u1") == ()


def test_scheduled__on_a_part_that_went__is_listed_no_more(yard: YardRecords) -> None:
    """What was planned for the old part goes with it."""
    yard.append_all([_scheduled(), replacement()])
    assert yard.scheduled_jobs("u1") == ()


@pytest.mark.parametrize(("changes", "says"), [
    ({"after_hours": None}, "some hours or some days"), ({"after_hours": 0.0}, "some hours or some days"),
    ({"reason": " "}, "reason is missing"), ({"hours": -1.0}, "hour meter"), ({"component_id": "x"}, "not on record"),
    ({"job": ""}, "job's id"),
])
def test_scheduled__what_cannot_be_right__is_refused(yard: YardRecords, changes: dict[str, object], says: str) -> None:
    """Each refusal has its sentence."""
    with pytest.raises(RecordError) as error:
        yard.append(_scheduled(**changes))  # type: ignore[arg-type]
    assert says in error.value.operator_message
