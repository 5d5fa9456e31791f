"""Guided work under way, its steps, and jobs that were put on the due list once."""

from __future__ import annotations

from typing import Any

from kiosk.events import CourseStepped
from kiosk.guided import Course, CourseKind, CourseStep, Outcome, ScheduledJob
from kiosk.records import journal
from kiosk.records.instants import from_utc_text
from kiosk.records.models import CourseRow, JournalRow, column_names
from kiosk.records.queries.base import Queries, found

_STEPS = f"""SELECT {", ".join(f"journal.{column}" for column in column_names(JournalRow))}
    FROM course_step CROSS JOIN journal ON journal.id = course_step.id
    WHERE course_step.course_id = ? ORDER BY course_step.at, course_step.id"""
# By hand: a due list asks this for every unit of the yard.
_SCHEDULED = """SELECT s.id, s.unit_id, s.component_id, s.job, s.reason, s.at, s.hours, s.after_hours, s.after_days
    FROM scheduled_job s JOIN component c ON c.id = s.component_id AND c.retired_at IS NULL
    LEFT JOIN last_done d ON d.component_id = s.component_id AND d.job = s.job
    WHERE s.unit_id = ? AND (d.at IS NULL OR d.at <= s.at) ORDER BY s.at, s.id"""


class CourseQueries(Queries):
    """Questions about guided work."""

    def course(self, course_id: str) -> Course:
        """Return one course, open or ended; NotFound if there is none."""
        row = self._store.row(CourseRow.select().where(CourseRow.id == course_id))
        return _course(found(row, "work", course_id))

    def open_courses(self, unit_id: str | None = None) -> tuple[Course, ...]:
        """Return the courses under way on a unit or in the whole yard, oldest first."""
        query = CourseRow.select().where(CourseRow.ended_at.is_null())
        if unit_id is not None:
            query = query.where(CourseRow.unit_id == unit_id)
        return tuple(map(_course, self._store.rows(query.order_by(CourseRow.begun_at, CourseRow.id))))

    def open_course(self, position_id: str, job: str) -> Course | None:
        """Return a job's course that is under way at a position, None if there is none."""
        row = self._store.row(CourseRow.select().where(
            (CourseRow.position_id == position_id) & (CourseRow.job == job) & CourseRow.ended_at.is_null()))
        return None if row is None else _course(row)

    def course_steps(self, course_id: str) -> tuple[CourseStep, ...]:
        """Return the steps of a course in their order, each as the journal holds it."""
        return tuple(_step(journal.entry_of_row(row).event) for row in self._store.sql(_STEPS, (course_id,)))

    def scheduled_jobs(self, unit_id: str) -> tuple[ScheduledJob, ...]:
        """Return the jobs put on the due list once that were not done since, on the parts that sit on a unit now."""
        return tuple(
            ScheduledJob(key, unit, component_id, job, reason, from_utc_text(at), hours, after_hours, after_days)
            for key, unit, component_id, job, reason, at, hours, after_hours, after_days
            in self._store.sql(_SCHEDULED, (unit_id,)))


def _course(row: Any) -> Course:
    (course_id, kind, unit_id, position_id, component_id, job, sheet, sheet_revision, begun_at, begun_by, ended_at,
     outcome, reason, record_id) = row
    return Course(
        course_id, CourseKind(kind), unit_id, position_id, component_id, job, sheet, sheet_revision,
        from_utc_text(begun_at), begun_by, None if ended_at is None else from_utc_text(ended_at),
        None if outcome is None else Outcome(outcome), reason, record_id)


def _step(event: Any) -> CourseStep:
    payload = event.payload
    assert isinstance(payload, CourseStepped)
    return CourseStep(event.id, payload.course_id, payload.kind, event.at, event.person_id, payload.details,
                      payload.readings)
