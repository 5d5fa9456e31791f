"""A part's page: what it is, since when, what is due, open findings, last records, trend, and the one-touch job."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from kiosk.entities import Component, DueItem, Finding, PhotoOf, Scan, Severity
from kiosk.errors import NotAllowed
from kiosk.events import FindingOpened
from kiosk.language import tr
from kiosk.presenters import label_life
from kiosk.presenters.base import action
from kiosk.presenters.due_list import due_mark, due_of_component, due_text
from kiosk.presenters.facts import component_facts, since_text
from kiosk.presenters.guided_jobs import GUIDED, guided_button, is_only_guided
from kiosk.presenters.helpers import part_of
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import ActionState, FigureRow, FrameState, JobButton, QuickPanel
from kiosk.presenters.photo_page import PhotoPage
from kiosk.presenters.quick import QuickJob, first_quick_job, quick_jobs
from kiosk.presenters.quick_keys import QuickKeys
from kiosk.presenters.rows import due_row, finding_row, record_row
from kiosk.presenters.states import ComponentState
from kiosk.presenters.trend_view import has_trend, trend_of_part
from kiosk.presenters.words import DUE_NOW, NOTHING, sentence_case, when_text
from kiosk.service_sheet import JobSpec
from labels.number import parse

LAST_RECORDS = 6
SHORTEST_FINDING = 3
_SEVERITIES = (Severity.BEFORE_USE, Severity.NEXT_SERVICE, Severity.WATCH)


class ComponentPresenter(QuickKeys):
    """One part; read-only while nobody is signed in or once it is retired."""

    def __init__(self, desk: Navigation, component_id: str) -> None:
        super().__init__(desk)
        self.part = part_of(self.helpers, component_id)
        self._label = label_life.LabelLife(self, self.part)
        self._quick: QuickJob | None = None
        self._group = ""
        self._shows_trend = False
        self._figures: tuple[FigureRow, ...] = ()

    def build(self, frame: FrameState) -> ComponentState:
        """Return the part's page."""
        helpers, part, units = self.helpers, self.part, self.desk.session.units
        due, today = due_of_component(helpers, part.component), helpers.today()
        records = helpers.records.component_history(part.component.id, limit=LAST_RECORDS)
        retired = self._retired(part.component)
        return ComponentState(
            frame=frame, component_id=part.component.id, title=part.title, place=part.place,
            label=parse(part.component.label).grouped, since=since_text(helpers, part.component), retired=retired,
            facts=component_facts(part.component, units),
            due=() if retired else tuple(due_row(helpers, item, part.place, today) for item in due),
            findings=tuple(finding_row(helpers, finding) for finding in self._findings()),
            records=tuple(record_row(helpers, record, units, helpers.clock()) for record in records),
            has_trend=has_trend(helpers, part),
            trend=trend_of_part(helpers, part, units) if self._shows_trend else None,
            now_id=self._now_id() if retired else "", begun=() if retired else self._begun(),
            quick=None if retired else self._quick_panel(due), quick_jobs=() if retired else self._quick_choices(),
            jobs=() if retired else (*self._job_buttons(due), self._label_button(due)),
            can_work=frame.header.is_signed_in and not retired,
            figure_groups=tuple(ActionState(name, sentence_case(tr(name)), name == self._group)
                                for name in dict.fromkeys(spec.name for spec in part.sheet.figures)),
            figures=self._figures,
        )

    def takes_scan(self, scan: Scan) -> bool:
        """Take a scan that is about this part's label itself."""
        return self._label.takes_scan(scan)

    def print_changed(self) -> None:
        """Ask when nobody but a person can know whether this part's label came out."""
        self._label.print_changed()

    # --- the one-touch job ---

    @action
    def pick_quick(self, job: str) -> None:
        """Choose another one-touch job."""
        known = {quick.key: quick for quick in quick_jobs(self.part)}
        if job in known:
            self._quick = self._new_quick(known[job])

    @action
    def save_quick(self) -> None:
        """Save the one-touch job; cautions and hour meter come first when they are not done this shift."""
        self._refuse_retired()
        self.the_quick()
        self.desk.when_free(self, self.part.unit.id, self._save_quick)

    def _save_quick(self) -> None:
        quick = self.the_quick()
        if not quick.is_cleared():
            self.desk.through_cautions(self.part.component.id, quick.job.key, self.desk.back)
            return
        saved = quick.save()
        self._quick = None
        self.desk.saved(saved)

    # --- going on from here ---

    @action
    def open_job(self, job: str) -> None:
        """Open a job's form; a one-touch job is chosen on this page."""
        self._refuse_retired()
        if job == label_life.KEY:
            self._label.ask()
            return
        if job in {quick.key for quick in quick_jobs(self.part)}:
            self._quick = self._new_quick(self.part.job(job))
            return
        if job.startswith(GUIDED):
            self.desk.open_guided(self.part.component.id, job.removeprefix(GUIDED))
            return
        self.desk.open_job(self.part.component.id, job)

    @action
    def show_figures(self, group: str) -> None:
        """Work out a group of the part's figures, '' for none; only now, as fits of lives take a moment."""
        from kiosk.presenters.figures import figures_of_part

        self._group, self._shows_trend = group, False
        self._figures = figures_of_part(self.helpers, self.part, self.desk.session.units, group) if group else ()

    @action
    def show_trend(self) -> None:
        """Show the trend of the main reading; only now, as fits take a moment."""
        self._shows_trend = True

    @action
    def hide_trend(self) -> None:
        """Go back to the part."""
        self._shows_trend = False

    @action
    def open_now(self) -> None:
        """Open the part that sits here now, in the place of this one."""
        now_id = self._now_id()
        if not now_id:
            raise NotAllowed(tr("No part is on record here now."))
        self.desk.open_component(now_id)

    @action
    def open_history(self) -> None:
        """Open the part's history."""
        self.desk.open_history(self.part.component.id)

    @action
    def open_record(self, record_id: str) -> None:
        """Open one record to everything."""
        self.desk.open_history(self.part.component.id, record_id)

    @action
    def open_unit(self) -> None:
        """Open the unit that the part sits on."""
        self.desk.open_unit(self.part.unit.id)

    @action
    def report_finding(self, text: str) -> None:
        """Write down something seen wrong, outside a job; asks how soon it must be put right."""
        self.desk.session.worker()
        if len(text.strip()) < SHORTEST_FINDING:
            raise NotAllowed(tr("Say in a few words what is wrong."))
        said = text.strip()
        self.ask(said, {severity.name: (_severity_text(severity), partial(self._report, said, severity))
                        for severity in _SEVERITIES}, tr("How soon must it be put right?"))

    def _report(self, text: str, severity: Severity) -> None:
        person = self.desk.session.worker()
        finding = Finding(self.helpers.new_id(), self.part.unit.id, self.part.position.id, self.part.component.id,
                          text, self.helpers.clock(), person.id, severity=severity)
        self.helpers.records.append(self.desk.session.event(FindingOpened(finding)))
        self.helpers.feedback("saved")
        if self.helpers.photos.has_camera:
            self.ask(tr("The finding is on record: {text}.").format(text=text), {
                "photo": (tr("Take a photo of it"), lambda: self.desk.open_page(
                    PhotoPage(self.desk, PhotoOf.FINDING, finding.id, self.part.place, takes=True))),
                "no": (tr("No photo"), lambda: None)})

    # --- parts of the state ---

    def _retired(self, component: Component) -> str:
        if component.retired_at is None:
            return ""
        when = when_text(component.retired_at, self.helpers.clock(), self.helpers.settings.zone)
        return tr("Taken off {when}: {retired_reason}. Its history stays.").format(
                   when=when, retired_reason=component.retired_reason)

    def _now_id(self) -> str:
        """Return the part at this one's position now, '' where there is none."""
        now = self.helpers.records.component_at(self.part.position.id)
        return now.id if now is not None else ""

    def _begun(self) -> tuple[str, ...]:
        """Return which jobs somebody began on this part and did not save."""
        told = []
        for job in self.part.sheet.jobs:
            draft = self.desk.drafts.begun(self.part.component.id, job.key)
            if draft is not None and draft.by is not None and draft.at is not None:
                when = when_text(draft.at, self.helpers.clock(), self.helpers.settings.zone)
                told.append(tr("{job}: begun by {name}, {when}, not saved").format(
                    job=job.title, name=draft.by, when=when))
        return tuple(told)

    def _refuse_retired(self) -> None:
        if self.part.component.retired_at is not None:
            raise NotAllowed(tr("This part is off the machine; no work can be saved on it. Scan the part that is on."))

    def _findings(self) -> tuple[Finding, ...]:
        return self.helpers.records.open_findings(component_id=self.part.component.id)

    def _new_quick(self, job: JobSpec) -> QuickJob:
        return QuickJob(self.helpers, self.desk.session, self.part, job)

    def the_quick(self) -> QuickJob:
        """Return the job in hand."""
        if self._quick is None:
            raise NotAllowed(tr("This part has no job that one touch saves."))
        return self._quick

    def _quick_panel(self, due: tuple[DueItem, ...]) -> QuickPanel | None:
        if self._quick is None:
            job = first_quick_job(self.part, due, self.helpers.today())
            self._quick = self._new_quick(job) if job else None
        return self._quick.panel(due) if self._quick else None

    def _quick_choices(self) -> tuple[ActionState, ...]:
        jobs = quick_jobs(self.part)
        if len(jobs) < 2 or self._quick is None:
            return ()
        return tuple(ActionState(job.key, job.title, job.key == self._quick.job.key) for job in jobs)

    def _job_buttons(self, due: tuple[DueItem, ...]) -> Iterator[JobButton]:
        """Yield each job's button, and beside it the one for guided work where the sheet has that."""
        for job in self.part.sheet.jobs:
            if not is_only_guided(job):
                yield self._job_button(job, due)
            guided = guided_button(self.helpers, self.part, job)
            if guided is not None:
                yield guided

    def _job_button(self, job: JobSpec, due: tuple[DueItem, ...]) -> JobButton:
        for item in due:
            if item.job == job.key:
                today = self.helpers.today()
                return JobButton(job.key, job.title, job.type.value, due_text(item, today), due_mark(item, today))
        return JobButton(job.key, job.title, job.type.value, "", NOTHING)

    def _label_button(self, due: tuple[DueItem, ...]) -> JobButton:
        is_worn = any(item.job == label_life.KEY for item in due)
        text, state = (tr("reads badly: print it again"), DUE_NOW) if is_worn else ("", NOTHING)
        return JobButton(label_life.KEY, tr(label_life.TITLE), label_life.TYPE, text, state)


def _severity_text(severity: Severity) -> str:
    return sentence_case(tr(severity.value))
