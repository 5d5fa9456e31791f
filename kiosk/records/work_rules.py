"""What may be put on record of work in hand and of rounds: who may take, close, skip and end what."""

from __future__ import annotations

from kiosk.entities import Role
from kiosk.errors import NotAllowed, NotFound, RecordError
from kiosk.events import Event, RoundBegun, RoundEnded, RoundJobSkipped, WorkClosed, WorkHandedOver
from kiosk.records.known import Known, KnownWork
from kiosk.work_in_hand import HandOver, WorkKind

MOST_ROUND_JOBS = 5_000
_LEADS = (Role.LEAD, Role.SUPERVISOR)


def check_handed_over(payload: WorkHandedOver, event: Event, known: Known) -> None:
    """Refuse a hand-over of what is closed, by one who has not got it, or to one who has it already.

    What is in hand goes over by both badges. Without the giver's, a round may be taken up by anybody; other work, where
    hands may be in the machine or a lock hangs on it, takes a lead or supervisor and a reason.
    """
    work = _open_work(payload.work_id, known)
    if payload.giver_id not in work.holders:
        raise RecordError("Whoever hands this work over has not got it in hand.")
    if event.person_id in work.holders:
        raise RecordError("You have this work in hand already.")
    if payload.how is HandOver.BOTH_BADGES or work.kind is WorkKind.ROUND:
        return
    if known.role(event.person_id or "") not in _LEADS:
        raise NotAllowed("Without the badge of the one who has it, this takes a lead or a supervisor.")
    _check_reason(payload.reason)


def check_closed(payload: WorkClosed, event: Event, known: Known) -> None:
    """Refuse closing what is closed, or what others have in hand; a lead or supervisor may, with a reason."""
    work = _open_work(payload.work_id, known)
    _check_reason(payload.reason)
    if work.kind is WorkKind.ROUND:
        raise RecordError("A round is ended job by job, not closed.")
    if event.person_id not in work.holders and known.role(event.person_id or "") not in _LEADS:
        raise NotAllowed("Somebody else has this work in hand; only they close it, or a lead or supervisor.")


def check_begun(payload: RoundBegun, known: Known) -> None:
    """Refuse a round without jobs, of unknown parts, twice of a job, or of a job that is open in another round."""
    jobs = [(job.component_id, job.job) for job in payload.jobs]
    if not 0 < len(jobs) <= MOST_ROUND_JOBS:
        raise RecordError("Nothing is due here, so there is no round to begin.")
    if len(set(jobs)) != len(jobs):
        raise RecordError("A round has each job of a part once.")
    for job in payload.jobs:
        part = known.part(job.component_id)
        if part is None:
            raise NotFound(f"The part '{job.component_id}' is not on record.")
        if (part.position_id, part.unit_id) != (job.position_id, job.unit_id) or \
                payload.unit_id not in (None, job.unit_id):
            raise RecordError("A job of the round is on another unit or position than its part.")
        if known.is_in_open_round(job.component_id, job.job):
            raise RecordError("Another round has this job and is not ended. Take that round up, or end it.")


def check_skipped(payload: RoundJobSkipped, event: Event, known: Known) -> None:
    """Refuse leaving out a job without a reason, or one that is not of the round or was done."""
    _check_own_round(payload.round_id, event, known)
    _check_reason(payload.reason)
    state = known.step_state(payload.round_id, payload.component_id, payload.job)
    if state is None:
        raise NotFound("The round has no such job.")
    if state.value == "done":
        raise RecordError("This job of the round was done; it cannot be left out.")


def check_ended(payload: RoundEnded, event: Event, known: Known) -> None:
    """Refuse ending a round of which a job is open."""
    _check_own_round(payload.round_id, event, known)
    if known.open_steps(payload.round_id):
        raise RecordError("Not every job of the round was done or left out for a reason.")


def _check_own_round(round_id: str, event: Event, known: Known) -> None:
    work = _open_work(round_id, known)
    if work.kind is not WorkKind.ROUND:
        raise RecordError("That is no round.")
    if event.person_id not in work.holders:
        raise NotAllowed("Somebody else has this round in hand. Take it up first.")


def _open_work(work_id: str, known: Known) -> KnownWork:
    work = known.work(work_id)
    if work is None:
        raise NotFound(f"No work was opened as '{work_id}'.")
    if not work.is_open:
        raise RecordError("This work is closed already.")
    return work


def _check_reason(reason: str) -> None:
    if not reason.strip():
        raise RecordError("The reason is missing.")
