"""Which jobs a round takes and in which order, what must be confirmed before it, and how far it is. Pure.

A round takes what comes due often: grease points, washing out, shafts to clear, look-overs, sag, scrapers. What comes
due once in months is work of its own. The order is that of the walk, so that nobody walks twice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from kiosk.entities import DueItem, JobType, Unit
from kiosk.errors import KioskError
from kiosk.language import tr
from kiosk.presenters.cautions import Briefing, cautions_of
from kiosk.presenters.due_list import is_due
from kiosk.presenters.helpers import Helpers, part_of
from kiosk.presenters.navigation import Navigation
from kiosk.service_sheet import CautionSpec, IntervalSpec, JobSpec
from kiosk.work_in_hand import Round, RoundJob, StepState

ROUND_HOURS, ROUND_DAYS = 50.0, 14
"""A job that comes due at least this often belongs to a round (our own rule)."""
_OF_A_ROUND = (JobType.GREASE, JobType.CLEAN, JobType.INSPECT, JobType.ADJUST)
_SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")


def is_round_job(job: JobSpec) -> bool:
    """Say whether a job comes due so often that it belongs to a round."""
    return job.type in _OF_A_ROUND and job.interval is not None and _is_often(job.interval)


def _is_often(interval: IntervalSpec) -> bool:
    return (interval.hours is not None and interval.hours <= ROUND_HOURS) or (
        interval.days is not None and interval.days <= ROUND_DAYS)


def round_jobs(desk: Navigation, unit_id: str | None) -> tuple[RoundJob, ...]:
    """Return the jobs that a round of a unit, or of the yard (None), takes now, in the order of the walk."""
    units = [unit.id for unit in desk.helpers.records.units()] if unit_id is None else [unit_id]
    in_rounds = {(step.job.component_id, step.job.job) for one in desk.helpers.records.open_rounds()
                 for step in one.in_state(StepState.OPEN)}
    return tuple(job for unit in units for job in _jobs_of_unit(desk, unit)
                 if (job.component_id, job.job) not in in_rounds)


def _jobs_of_unit(desk: Navigation, unit_id: str) -> list[RoundJob]:
    helpers = desk.helpers
    today, walk = helpers.today(), {place.id: place.walk_order for place in helpers.records.positions(unit_id)}
    due = [item for item in desk.due.of_unit(unit_id, today) if is_due(item, today) and _is_of_a_round(helpers, item)]
    walked = sorted(due, key=lambda item: walk.get(item.position_id, 0))
    return [RoundJob(item.unit_id, item.position_id, item.component_id, item.job) for item in walked]


def _is_of_a_round(helpers: Helpers, item: DueItem) -> bool:
    spec = job_of(helpers, RoundJob(item.unit_id, item.position_id, item.component_id, item.job))
    return spec is not None and is_round_job(spec)


def job_of(helpers: Helpers, job: RoundJob) -> JobSpec | None:
    """Return a round's job by the sheet in force, None where the sheet has it no more."""
    try:
        return part_of(helpers, job.component_id).job(job.job)
    except KioskError:
        return None


def briefing_of_round(helpers: Helpers, unit: Unit, jobs: Iterable[RoundJob]) -> Briefing:
    """Return the cautions of all of a round's jobs on one unit, each once, most dangerous first."""
    found: dict[str, CautionSpec] = {}
    for job in jobs:
        spec = job_of(helpers, job) if job.unit_id == unit.id else None
        if spec is not None:
            sheet = part_of(helpers, job.component_id).sheet
            found |= {caution.key: caution for caution in cautions_of(sheet, spec)}
    cautions = sorted(found.values(), key=lambda caution: _SIGNALS.index(caution.signal))
    return Briefing(unit, round_title(unit), unit.name, tuple(cautions))


def round_title(unit: Unit | None) -> str:
    """Return what a round of a unit, or of the yard, is called."""
    return tr("Round of the yard") if unit is None else tr("Round of {unit}").format(unit=unit.name)


def progress_text(one: Round) -> str:
    """Return how far a round is: '5 of 12 done, 1 left out'."""
    text = tr("{done} of {all} done").format(done=len(one.in_state(StepState.DONE)), all=len(one.steps))
    skipped = len(one.in_state(StepState.SKIPPED))
    return text + (tr(", {skipped} left out").format(skipped=skipped) if skipped else "")


def open_round_of(rounds: Sequence[Round], unit_id: str | None) -> Round | None:
    """Return the round of a unit, or of the yard (None), that goes on; None if none does."""
    return next((one for one in rounds if one.work.unit_id == unit_id), None)
