"""What a saved job brings with it by its sheet: a run-in that begins by itself, and a job that falls due once."""

from __future__ import annotations

from kiosk.events import CourseBegun, CourseStepped, Event, JobScheduled
from kiosk.guided import CourseKind, StepKind
from kiosk.language import number, tr
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.hours import current_hours
from kiosk.presenters.run_timer import run_minutes
from kiosk.presenters.session import Session
from kiosk.service_sheet import AfterwardSpec, JobSpec


def follow_up(helpers: Helpers, session: Session, part: Part, job: JobSpec
              ) -> tuple[tuple[Event, ...], tuple[str, ...]]:
    """Return the events that go on record with a job's own, and what the screen says of them.

    Args:
        part: The part that sits there afterwards: the new one, or the belt as it was spliced.
    """
    scheduled = tuple(session.event(_scheduled(helpers, part, job, after)) for after in job.afterwards)
    words = tuple(_scheduled_words(part, after) for after in job.afterwards)
    begun, said = _run_in(helpers, session, part, job)
    return (*scheduled, *begun), (*words, *said)


def _scheduled(helpers: Helpers, part: Part, job: JobSpec, after: AfterwardSpec) -> JobScheduled:
    return JobScheduled(part.unit.id, part.component.id, after.job, tr("after: {title}").format(title=job.title),
                        current_hours(helpers, part.unit.id), after.hours, after.days)


def _scheduled_words(part: Part, after: AfterwardSpec) -> str:
    times = [tr("{hours} h").format(hours=number(after.hours, "g"))] if after.hours is not None else []
    times += [tr("{days} days").format(days=after.days)] if after.days is not None else []
    return tr("On the due list: {title}, after {times}.").format(
        title=part.job(after.job).title, times=tr(" or ").join(times))


def _run_in(helpers: Helpers, session: Session, part: Part, job: JobSpec
            ) -> tuple[tuple[Event, ...], tuple[str, ...]]:
    """Return the beginning of the session that the job names, with its run; none while one is under way already."""
    if not job.begins or helpers.records.open_course(part.position.id, job.begins) is not None:
        return (), ()
    tracked = part.job(job.begins)
    begun = session.event(CourseBegun(CourseKind.SESSION, part.unit.id, part.position.id, part.component.id,
                                      tracked.key, part.sheet.key, part.sheet.revision))
    if tracked.run is None:
        return (begun,), (tr("Begun: {title}.").format(title=tracked.title),)
    minutes = run_minutes(tracked.run, part.component)
    run = session.event(CourseStepped(begun.id, StepKind.RUN_BEGAN, {
        "revolutions": tracked.run.revolutions, "minutes": round(minutes, 3), "shaft_rpm": tracked.run.shaft_rpm}))
    said = tr("Run-in begun: {revolutions} revolutions, {minutes} min; it rings when its time is up.").format(
        revolutions=number(tracked.run.revolutions, ".0f"), minutes=number(minutes, ".0f"))
    return (begun, run), (said,)
