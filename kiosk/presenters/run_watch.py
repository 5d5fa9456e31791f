"""Watches every run that was begun and rings when its time is up, on whatever screen is shown, until somebody goes on.

The timers are read out of the records, so a restart in the middle changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from kiosk.guided import Course
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.run_timer import Timer, running
from kiosk.presenters.words import place_text

RINGS_AGAIN_AFTER = timedelta(seconds=30)


@dataclass(frozen=True)
class WatchedRun:
    """A run of a course. `title`: the job's; `place`: where."""

    course: Course
    timer: Timer
    title: str
    place: str

    @property
    def sentence(self) -> str:
        """Say that its time is up."""
        return tr("Time is up: {title}, {place}.").format(title=self.title, place=self.place)


class RunWatch:
    """The runs of the yard. `rings` says which one to ring for now."""

    def __init__(self, helpers: Helpers) -> None:
        self._helpers = helpers
        self._head = ""
        self._runs: tuple[WatchedRun, ...] = ()
        self._rang: dict[str, datetime] = {}

    def runs(self) -> tuple[WatchedRun, ...]:
        """Return every run that was begun and not ended; looked up again only when something was put on record."""
        head = self._helpers.records.head()
        if head != self._head:
            self._head, self._runs = head, tuple(self._look_up())
        return self._runs

    def rings(self, now: datetime) -> WatchedRun | None:
        """Return a run whose time is up and that was not rung for just now, None if there is none."""
        for run in self.runs():
            rang = self._rang.get(run.timer.step_id)
            if run.timer.is_over(now) and (rang is None or now - rang >= RINGS_AGAIN_AFTER):
                self._rang[run.timer.step_id] = now
                return run
        return None

    def _look_up(self) -> Iterator[WatchedRun]:
        records = self._helpers.records
        for course in records.open_courses():
            timer = running(records.course_steps(course.id))
            if timer is not None:
                place = place_text(records.unit(course.unit_id), records.position(course.position_id))
                yield WatchedRun(course, timer, job_title(self._helpers, course), place)


def job_title(helpers: Helpers, course: Course) -> str:
    """Return the title of a course's job, or its key where the sheet has it no more."""
    jobs = {job.key: job.title for job in helpers.sheets.sheet(course.sheet).jobs}
    return jobs.get(course.job, course.job)
