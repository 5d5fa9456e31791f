"""Jobs of a part that can be done as guided work, as buttons of its page: begun, or taken up where they were left."""

from __future__ import annotations

from kiosk.entities import JobType
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.parts import DUE, JobButton
from kiosk.presenters.rows import person_name
from kiosk.presenters.words import NOTHING, mark, when_text
from kiosk.service_sheet import JobSpec

GUIDED = "guided:"
"""Begins the key of a button that opens a job as guided work."""


def is_guided(job: JobSpec) -> bool:
    """Say whether a job can be done as guided work."""
    return job.session is not None or (bool(job.step_list) and job.type is not JobType.SPLICE)


def is_only_guided(job: JobSpec) -> bool:
    """Say whether a job's step list is the only way to do it: a form would have nothing to fill in."""
    return is_guided(job) and job.session is None and job.type is not JobType.REPLACE


def guided_button(helpers: Helpers, part: Part, job: JobSpec) -> JobButton | None:
    """Return the button that opens a job as guided work, None for a job that has none."""
    if not is_guided(job):
        return None
    course = helpers.records.open_course(part.position.id, job.key)
    if course is not None:
        when = when_text(course.begun_at, helpers.clock(), helpers.settings.zone)
        begun = tr("begun by {name}, {when}").format(name=person_name(helpers, course.begun_by), when=when)
        return JobButton(GUIDED + job.key, tr("Take up: {title}").format(title=job.title), job.type.value, begun,
                         mark(tr("under way"), DUE))
    text = tr("{title}: turn, run, measure") if job.session is not None else tr("{title}, step by step")
    return JobButton(GUIDED + job.key, text.format(title=job.title), job.type.value, "", NOTHING)
