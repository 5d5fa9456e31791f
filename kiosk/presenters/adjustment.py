"""An adjustment session: as found, what was really turned, the run, measured again, until within or given up.

Every step is an event of its own; where the session stands is read out of them, so that a restart or another person
goes on where it was left. What is typed and turned before a step is saved is a draft.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from kiosk.entities import Finding, HistoryFilter, Phase, Reading, ServiceRecord, Verdict
from kiosk.errors import NotAllowed
from kiosk.events import CourseBegun, CourseEnded, CourseStepped, Event, JobDone, Payload
from kiosk.guided import Course, CourseKind, Outcome, StepKind
from kiosk.language import N_, tr
from kiosk.presenters.advice import Advice, AdviceContext, advise
from kiosk.presenters.advice.turns import STORY, advised_turning
from kiosk.presenters.base import action
from kiosk.presenters.cautions import is_cleared
from kiosk.presenters.drafts import FormDraft, SessionDraft
from kiosk.presenters.form_model import FormRows, differences, finding_texts, form_rows, specs_of
from kiosk.presenters.helpers import Part
from kiosk.presenters.measuring import MeasuringPresenter, rows_on_record
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.new_records import new_record
from kiosk.presenters.parts import FrameState, RunState, SaveState, TurnRow
from kiosk.presenters.quantities import is_length
from kiosk.presenters.readings import Judged, kept_reading, reading_row
from kiosk.presenters.rows import person_name
from kiosk.presenters.run_timer import Timer, run_minutes, running
from kiosk.presenters.run_words import run_state
from kiosk.presenters.saved import Saved
from kiosk.presenters.session_story import (
    MEASURE,
    RUN,
    TURN,
    SessionStory,
    TurnItem,
    cycle_lines,
    story_lines,
    turn_items,
    turned_text,
)
from kiosk.presenters.states import AdjustmentState
from kiosk.presenters.words import when_text, worst
from kiosk.service_sheet import JobSpec, SessionSpec

WITHIN = "within"
HISTORY_FOR_ADVICE = 50
GIVE_UP_REASONS = (N_("The take-up is seized or at its end"), N_("A part is worn or missing"),
                   N_("Something else is wrong; turning does not help"), N_("No time left; the next shift goes on"))
_ICONS = {MEASURE: "tick", TURN: "adjust", RUN: "clock", WITHIN: "save"}


class AdjustmentPresenter(MeasuringPresenter):
    """One session of one job on one part."""

    def __init__(self, desk: Navigation, part: Part, job: JobSpec, session: SessionSpec) -> None:
        super().__init__(desk)
        self._part, self._job, self._session = part, job, session
        self._specs = specs_of(part, job)
        self._items = turn_items(session, job, self._specs)
        self._history = self.helpers.records.component_history(
            part.component.id, HistoryFilter(job=job.key), limit=HISTORY_FOR_ADVICE)
        self._course = self.helpers.records.open_course(part.position.id, job.key)
        self._story = self._read_story(self._course)
        self._draft = desk.drafts.of(part.component.id, self._draft_key, self._fresh_draft())

    # --- state ---

    def build(self, frame: FrameState) -> AdjustmentState:
        """Return the session as it stands."""
        units, stage, rows = self.desk.session.units, self._stage(), self._rows()
        active = self.active_row(rows)
        advice = self._advice(rows)
        return AdjustmentState(
            frame=frame, title=self._job.title, place=self._part.place, stage=stage, heading=self._heading(),
            phase=self._phase.value, rows=tuple(reading_row(row, units, row is active) for row in rows),
            unit=self._draft.form.unit, length_keys=active is not None and is_length(active.spec.unit),
            differences=differences(rows, units), advice=advice.lines, advice_source=advice.source,
            turns=self._turn_rows(advice) if stage == TURN else (), run=self._run_state() if stage == RUN else None,
            story=self._story_lines(), go_on_text=self._go_on_text(), go_on_icon=_ICONS[stage],
            save=self._save_state(), reasons=tuple(tr(reason) for reason in GIVE_UP_REASONS),
            can_give_up=bool(self._story.measured),
        )

    @property
    def unsaved(self) -> str:
        """What is typed and not on record yet."""
        typed = any(typed.text.strip() for typed in self._draft.form.typed.values())
        return f"{self._job.title}, {self._part.place}" if typed else ""

    # --- turning ---

    @action
    def turn(self, key: str, by: int) -> None:
        """One step more or less of what was really turned at one side."""
        if key not in {item.key for item in self._items} or self._stage() != TURN:
            return
        turned = {**self._turned(), key: self._turned()[key] + by * self._step}
        self._keep(replace(self._draft, turned=turned))

    @action
    def as_advised(self) -> None:
        """Take what the advice says as what was turned."""
        self._keep(replace(self._draft, turned=None))

    # --- going on ---

    @action
    def go_on(self) -> None:
        """Do what comes next: put on record what was measured or turned, start or end the run, save."""
        {MEASURE: self.save_measured, TURN: self._save_turned, RUN: self._run, WITHIN: self._finish}[self._stage()]()

    def save(self) -> None:
        """Do what the screen's main button does."""
        self.go_on()

    @action
    def start_run(self) -> None:
        """Start the run; nothing happens while it runs."""
        if self._stage() == RUN and self._timer() is None:
            self._start_run()

    def start_timer(self) -> None:
        """Start the run, asked for by a command label."""
        if self._stage() != RUN:
            raise NotAllowed(tr("The run comes after the turning is on record."))
        self.start_run()

    @action
    def turn_on(self) -> None:
        """Turn once more although the readings are within."""
        if self._stage() == WITHIN:
            self._keep(replace(self._draft, goes_on=True))

    @action
    def give_up(self, reason: str) -> None:
        """End the session as it stands, with a reason; what is outside its limits becomes a finding."""
        if not self._story.measured:
            raise NotAllowed(tr("Measure first: without a reading there is nothing to keep."))
        if not reason.strip():
            raise NotAllowed(tr("Say why the work is given up."))
        self._end(Outcome.GIVEN_UP, reason.strip())

    def shows_course(self, course_id: str) -> bool:
        """Whether this is that session."""
        return self._course is not None and self._course.id == course_id

    def second_passed(self) -> None:
        """Show the run going on."""
        if self._stage() == RUN:
            self.refresh()

    # --- where it stands ---

    @property
    def _draft_key(self) -> str:
        return f"{self._job.key}/session"

    @property
    def _phase(self) -> Phase:
        return Phase.AS_LEFT if self._story.measured else Phase.AS_FOUND

    @property
    def _step(self) -> float:
        return self._session.step_mm or 1.0

    def _stage(self) -> str:
        stage = self._story.stage
        if stage == RUN and self._job.run is None:
            return MEASURE
        if stage == TURN and self._verdict() is Verdict.WITHIN and not self._draft.goes_on:
            return WITHIN
        return stage

    def _verdict(self) -> Verdict | None:
        """Return the verdict of what was measured last: within only where the sides agree, too."""
        rows = self._measured_rows(self._story.last)
        if any(line.weight == "stop" for line in differences(rows, "mm")):
            return Verdict.OUTSIDE
        return worst([reading.verdict for reading in self._story.last])

    def _heading(self) -> str:
        turnings = self._story.turnings
        if not self._story.measured or (turnings == 0 and self._stage() != MEASURE):
            return tr("as found")
        return tr("after turn {turn}").format(turn=turnings) if turnings else tr("as found")

    def _read_story(self, course: Course | None) -> SessionStory:
        return SessionStory(() if course is None else self.helpers.records.course_steps(course.id))

    def _story_lines(self) -> tuple[str, ...]:
        return story_lines(self._story, self._session, self._items, self.desk.session.units, self._name, self._clock)

    def _name(self, person_id: str | None) -> str:
        return person_name(self.helpers, person_id)

    def _clock(self, at: datetime) -> str:
        return when_text(at, self.helpers.clock(), self.helpers.settings.zone)

    # --- measuring ---

    def _fresh_draft(self) -> SessionDraft:
        return SessionDraft(form=FormDraft(phase=self._phase.value, active=self._first_row(),
                                           unit=self.desk.session.units))

    def _first_row(self) -> str:
        first = self._specs[0]
        return f"{self._phase.value}|{first.key}|{first.sides[0].value}"

    def _rows(self) -> tuple[Judged, ...]:
        """Return the rows of what is measured now, or what was measured last."""
        if self._stage() == MEASURE:
            return self._form_rows().of(self._phase)
        return self._measured_rows(self._story.last)

    def _form_rows(self) -> FormRows:
        plain = replace(self._job, computation=None)  # what was turned is not typed here
        return form_rows(self._specs, plain, self._draft.form)

    def _measured_rows(self, readings: tuple[Reading, ...]) -> tuple[Judged, ...]:
        return rows_on_record(self._specs, self._job, readings)

    @property
    def form(self) -> FormDraft:
        """What is typed so far."""
        return self._draft.form

    def keep_form(self, form: FormDraft) -> None:
        """Keep what is typed."""
        self._keep(replace(self._draft, form=form))

    def is_measuring(self) -> bool:
        """Say whether readings are typed now."""
        return self._stage() == MEASURE

    def measured_rows(self) -> tuple[Judged, ...]:
        """Return the rows that are measured now."""
        return self._form_rows().of(self._phase) if self.is_measuring() else ()

    def _keep(self, draft: SessionDraft) -> None:
        person = self.desk.session.person
        self._draft = replace(draft, by=person.name if person else draft.by, at=self.helpers.clock())
        self.desk.drafts.keep(self._part.component.id, self._draft_key, self._draft)

    def put_measured(self, rows: tuple[Judged, ...]) -> None:
        """Put a measuring on record, with the advice that it brought."""
        readings = tuple(reading for row in rows if (reading := kept_reading(row)) is not None)
        self._put(StepKind.MEASURED, {"advice": [line.text for line in self._advice(rows).lines]}, readings)

    # --- turning and running ---

    def _advice(self, rows: tuple[Judged, ...]) -> Advice:
        """Return advice on what was measured last; every turn of this session is known to it already."""
        return advise(rows, self._context())

    def _context(self) -> AdviceContext:
        meter = self.helpers.records.hours(self._part.unit.id)
        history = self._history
        if self._story.turnings and self._story.cycles():
            history = (self._so_far(), *history)
        return AdviceContext(self.desk.session.units, self._part.component, self._job, history,
                             self.helpers.records.hours_per_day(self._part.unit.id, self.helpers.today()) or 0.0,
                             meter.hours if meter else None)

    def _so_far(self) -> ServiceRecord:
        """Return the session so far as the record that it will be, for the adviser."""
        part = self._part
        return ServiceRecord("", part.component.id, part.position.id, part.unit.id, part.sheet.key,
                             part.sheet.revision, self._job.key, self._job.type, self.helpers.clock(), 0.0, "",
                             details=self._story.details())

    def _advised(self) -> dict[str, float]:
        advice = self._advice(self._measured_rows(self._story.last))
        advised = advised_turning(advice.details, [item.key for item in self._items])
        return {key: round(amount / self._step) * self._step for key, amount in advised.items()}

    def _turned(self) -> dict[str, float]:
        """Return what was turned as it stands: what was set by hand, else what was advised."""
        kept = self._draft.turned
        return self._advised() if kept is None else {item.key: kept.get(item.key, 0.0) for item in self._items}

    def _turn_rows(self, advice: Advice) -> tuple[TurnRow, ...]:
        turned, units = self._turned(), self.desk.session.units
        return tuple(self._turn_row(item, turned[item.key], units) for item in self._items)

    def _turn_row(self, item: TurnItem, amount: float, units: str) -> TurnRow:
        session = self._session
        return TurnRow(item.key, item.title, turned_text(amount, session, units), session.plus, session.minus)

    def _save_turned(self) -> None:
        turned = self._turned()
        if not any(turned.values()):
            raise NotAllowed(tr("Nothing was turned. Set what was really turned, or give the work up with a reason."))
        unit = "flats" if self._session.step_mm is None else "mm"
        whole = {key: round(amount) if unit == "flats" else round(amount, 3) for key, amount in turned.items()}
        self._put(StepKind.TURNED, {"turned": whole, "unit": unit, "advised": self._advised()})

    def _timer(self) -> Timer | None:
        return running(self._story.steps)

    def _run_state(self) -> RunState:
        assert self._job.run is not None
        return run_state(self._timer(), self._job.run.revolutions, run_minutes(self._job.run, self._part.component),
                         self.helpers.clock())

    def _run(self) -> None:
        timer = self._timer()
        if timer is None:
            self._start_run()
        elif timer.is_over(self.helpers.clock()):
            self._end_run(timer, "")
        else:
            self.ask(tr("The run is not over. Measure all the same?"), {
                "stay": (tr("Let it run"), lambda: None),
                "cut": (tr("It stands; measure now"), lambda: self._end_run(timer, tr("stopped early"))),
            }, tr("A belt that has not settled is measured wrong."))

    def _start_run(self) -> None:
        run = self._job.run
        assert run is not None
        minutes = run_minutes(run, self._part.component)
        self._put(StepKind.RUN_BEGAN, {"revolutions": run.revolutions, "minutes": round(minutes, 3),
                                       "shaft_rpm": run.shaft_rpm})

    def _end_run(self, timer: Timer, cut_short: str) -> None:
        now = self.helpers.clock()
        minutes = min((now - timer.began_at).total_seconds() / 60, timer.minutes)
        details: dict[str, object] = {"minutes": round(minutes, 2)}
        run = timer.revolutions_run(now)
        if run is not None:
            details["revolutions"] = round(run, 1)
        if cut_short:
            details["cut_short"] = cut_short
        self._put(StepKind.RUN_ENDED, details)

    # --- putting on record ---

    def _put(self, kind: StepKind, details: dict[str, object], readings: tuple[Reading, ...] = ()) -> None:
        """Put one step on record, the session's beginning before the first."""
        person = self.desk.session.worker()
        if not is_cleared(self.helpers, person, self._part, self._job):
            self.desk.through_cautions(self._part.component.id, self._job.key, self.desk.back)
            return
        events = [] if self._course is not None else [self._begin()]
        course_id = self._course.id if self._course is not None else events[0].id
        events.append(self._event(CourseStepped(course_id, kind, details, readings)))
        self.helpers.records.append_all(events)
        self._course = self.helpers.records.open_course(self._part.position.id, self._job.key)
        self._story = self._read_story(self._course)
        self.desk.drafts.drop(self._part.component.id, self._draft_key)
        self._draft = self._fresh_draft()
        self.helpers.feedback("saved")

    def _begin(self) -> Event:
        part = self._part
        return self._event(CourseBegun(CourseKind.SESSION, part.unit.id, part.position.id, part.component.id,
                                       self._job.key, part.sheet.key, part.sheet.revision))

    def _event(self, payload: Payload) -> Event:
        return self.desk.session.event(payload)

    def _finish(self) -> None:
        self._end(Outcome.WITHIN, "")

    def _end(self, outcome: Outcome, reason: str) -> None:
        person = self.desk.session.worker()
        if not is_cleared(self.helpers, person, self._part, self._job):
            self.desk.through_cautions(self._part.component.id, self._job.key, self.desk.back)
            return
        assert self._course is not None
        record = self._record(outcome, reason)
        opened = self._opened(record, reason)
        closed = () if opened or outcome is not Outcome.WITHIN else self._own_findings()
        self.helpers.records.append_all([
            self.desk.session.event(JobDone(record, opened, closed), event_id=record.id),
            self._event(CourseEnded(self._course.id, outcome, reason, record.id)),
        ])
        self.desk.drafts.drop(self._part.component.id, self._draft_key)
        lines = (*self._outcome_lines(outcome, reason), *cycle_lines(record.details, self.desk.session.units))
        self.desk.saved(Saved(self._part, record, self._job.title, lines, tuple(one.text for one in opened)))

    def _outcome_lines(self, outcome: Outcome, reason: str) -> tuple[str, ...]:
        if outcome is Outcome.WITHIN:
            return (tr("Within, after {turns} turns").format(turns=self._story.turnings),)
        return (tr("Given up: {reason}").format(reason=reason),)

    def _record(self, outcome: Outcome, reason: str) -> ServiceRecord:
        story = self._story
        left = tuple(replace(reading, phase=Phase.AS_LEFT) for reading in story.last) if len(story.measured) > 1 else ()
        found = tuple(replace(reading, phase=Phase.AS_FOUND) for reading in story.found)
        told = cycle_lines(story.details(), self.desk.session.units)
        details = story.details() | {"outcome": outcome.value}
        details |= {STORY: " ".join(told)} if told else {}
        details |= {"given_up_because": reason} if reason else {}
        first = story.measured[0].details.get("advice", ())
        return new_record(self.helpers, self.desk.session, self._part, self._job, readings=(*found, *left),
                          verdict=worst([reading.verdict for reading in story.last]), advice=tuple(first),
                          details=details)

    def _opened(self, record: ServiceRecord, reason: str) -> tuple[Finding, ...]:
        rows = self._measured_rows(self._story.last)
        because = f" {tr('Given up: {reason}').format(reason=reason)}." if reason else ""
        return tuple(Finding(self.helpers.new_id(), record.unit_id, record.position_id, record.component_id,
                             text + because, record.at, record.person_id, record.id)
                     for text in finding_texts(FormRows(rows, ()), self.desk.session.units))

    def _own_findings(self) -> tuple[str, ...]:
        """Return the open findings that this very job opened: done again within limits, it closes them."""
        records = {record.id for record in self._history}
        return tuple(finding.id for finding in self.helpers.records.open_findings(component_id=self._part.component.id)
                     if finding.record_id in records)

    def _save_state(self) -> SaveState:
        missing = self.missing_reading()
        return SaveState(self._go_on_text(), not missing, missing)

    def _go_on_text(self) -> str:
        stage = self._stage()
        if stage != RUN:
            return {MEASURE: tr("Measured"), TURN: tr("Turned so"), WITHIN: tr("Save: within")}[stage]
        timer = self._timer()
        if timer is None:
            return tr("Start the run")
        return tr("Measure again") if timer.is_over(self.helpers.clock()) else tr("Stop early")
