"""What may be put on record of guided work: an open course at a time, steps of an open one, an end with its reason."""

from __future__ import annotations

from kiosk.errors import NotFound, RecordError
from kiosk.events import CourseBegun, CourseEnded, CourseStepped, JobScheduled
from kiosk.guided import Outcome
from kiosk.records.ids import MAX_ID_LENGTH
from kiosk.records.known import Known


def check_begun(payload: CourseBegun, known: Known) -> None:
    """Refuse a course on a part that is not there, and a second one of the same job.

    Raises:
        NotFound, RecordError: why it may not begin.
    """
    part = known.part(payload.component_id)
    if part is None:
        raise NotFound(f"The part '{payload.component_id}' is not on record.")
    _demand((part.position_id, part.unit_id) == (payload.position_id, payload.unit_id),
            "The part sits at another position.")
    _demand(part.retired_at is None, "This part was replaced; begin with the part that sits here now.")
    _demand(0 < len(payload.job) <= MAX_ID_LENGTH, f"The job's id must have 1 to {MAX_ID_LENGTH} characters.")
    _demand(not known.has_open_course(payload.position_id, payload.job),
            "This job is under way here already. Take it up where it was left.")


def check_stepped(payload: CourseStepped, known: Known) -> None:
    """Refuse a step of a course that is not open.

    Raises:
        NotFound, RecordError: why the step may not be put on record.
    """
    _check_open(payload.course_id, known)
    for reading in payload.readings:
        _demand(reading.standard_uncertainty >= 0, f"The uncertainty of '{reading.quantity}' is negative.")


def check_ended(payload: CourseEnded, known: Known) -> None:
    """Refuse the end of a course that is not open, and giving up without a reason.

    Raises:
        NotFound, RecordError: why it may not end so.
    """
    _check_open(payload.course_id, known)
    _demand(payload.outcome is not Outcome.GIVEN_UP or bool(payload.reason.strip()),
            "Say why the work is given up.")
    if payload.record_id is not None and not known.is_record(payload.record_id):
        raise NotFound(f"The record '{payload.record_id}' is not there.")


def check_scheduled(payload: JobScheduled, known: Known) -> None:
    """Refuse a job without a part, a time or a reason.

    Raises:
        NotFound, RecordError: why it may not be put on the due list.
    """
    part = known.part(payload.component_id)
    if part is None:
        raise NotFound(f"The part '{payload.component_id}' is not on record.")
    _demand(part.unit_id == payload.unit_id, "The part is on another unit.")
    _demand(0 < len(payload.job) <= MAX_ID_LENGTH, f"The job's id must have 1 to {MAX_ID_LENGTH} characters.")
    _demand(bool(payload.reason.strip()), "The reason is missing.")
    _demand((payload.after_hours or 0) > 0 or (payload.after_days or 0) > 0,
            "A job is put on the due list after some hours or some days.")


def _check_open(course_id: str, known: Known) -> None:
    is_open = known.is_open_course(course_id)
    if is_open is None:
        raise NotFound(f"The work '{course_id}' is not on record.")
    _demand(is_open, "This work has ended already; begin it anew.")


def _demand(holds: bool, sentence: str) -> None:
    if not holds:
        raise RecordError(sentence)
