"""Guided work by a sheet's step list: made safe, fetched, taken off, fitted, checked; one step after the other.

New parts get their labels in one go before the first step; each is bound by a scan once it is on the machine. Every
tick is an event, so that a list left half-way is taken up where it was, by whoever comes.
"""

from __future__ import annotations

from dataclasses import replace

from kiosk.calc.sequence import centre_out_order
from kiosk.calc.tightening import circle_sequence
from kiosk.entities import Component, Finding, JobType, LabelKind, Phase, Scan, ScanSource, ServiceRecord
from kiosk.errors import NotAllowed
from kiosk.events import ComponentReplaced, CourseBegun, CourseEnded, CourseStepped, Event, JobDone, Payload
from kiosk.guided import Course, CourseKind, Outcome, StepKind
from kiosk.language import N_, number, tr
from kiosk.presenters.base import action
from kiosk.presenters.cautions import is_cleared
from kiosk.presenters.drafts import FormDraft, StepListDraft
from kiosk.presenters.follow_up import follow_up
from kiosk.presenters.form_model import FormRows, finding_texts, form_rows
from kiosk.presenters.helpers import Part, part_of
from kiosk.presenters.measuring import MeasuringPresenter, rows_on_record
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.new_parts import new_component
from kiosk.presenters.new_records import new_record
from kiosk.presenters.parts import (
    DUE,
    GOOD,
    ActionState,
    BoltState,
    FrameState,
    NewPartRow,
    RunState,
    SaveState,
    StepCaution,
    StepRow,
)
from kiosk.presenters.quantities import is_length
from kiosk.presenters.readings import Judged, kept_reading, reading_row
from kiosk.presenters.run_timer import Timer, running
from kiosk.presenters.run_words import run_state
from kiosk.presenters.saved import Saved
from kiosk.presenters.states import StepListState
from kiosk.presenters.step_story import NewLabel, StepStory
from kiosk.presenters.words import NOTHING, counted, mark, worst
from kiosk.service_sheet import BOLT_ORDERS, JobSpec, StepSpec
from labels.number import is_label_number, parse

PARTS, STEP, END = "parts", "step", "end"
PLAIN, READING, TIMER, BOLTS, LABEL = "plain", "reading", "timer", "bolts", "label"
GIVE_UP_REASONS = (N_("A part or a tool is missing"), N_("It cannot be made safe here"),
                   N_("Something else is broken"), N_("No time left; it is begun anew later"))
LONGEST_NAME = 80
_BY_MACHINE = (ScanSource.SCANNER, ScanSource.CAMERA)
_ICONS = {PARTS: "label", STEP: "tick", END: "save"}


class StepListPresenter(MeasuringPresenter):
    """One step list of one job at one position."""

    def __init__(self, desk: Navigation, part: Part, job: JobSpec) -> None:
        super().__init__(desk)
        self._part, self._job = part, job
        self._candidates = self._changeable()
        self._course = self.helpers.records.open_course(part.position.id, job.key)
        self._story = self._read_story(self._course)
        self._draft = desk.drafts.of(part.component.id, self._draft_key, self._fresh_draft())

    # --- state ---

    def build(self, frame: FrameState) -> StepListState:
        """Return the work as it stands."""
        stage, units, step = self._stage(), self.desk.session.units, self._step()
        kind = self._kind(step) if stage == STEP else PLAIN
        rows = self.measured_rows() if kind == READING else ()
        active = self.active_row(rows)
        return StepListState(
            frame=frame, title=self._job.title, place=self._part.place, stage=stage, kind=kind,
            progress=self._progress(), share=len(self._story.done) / len(self._job.step_list), text=self._text(),
            caution=self._caution(step) if stage == STEP else None, picture=step.picture if stage == STEP else "",
            rows=tuple(reading_row(row, units, row is active) for row in rows), unit=self._draft.form.unit,
            length_keys=active is not None and is_length(active.spec.unit),
            run=self._run_state(step) if kind == TIMER else None, bolts=self._bolts(step) if kind == BOLTS else (),
            passes=self._passes(step) if kind == BOLTS else "", reasons=self._reasons(), parts=self._part_rows(),
            steps=tuple(StepRow(place, each.text, place in self._story.done)
                        for place, each in enumerate(self._job.step_list, start=1)),
            can_take_back=bool(self._story.done) and stage != PARTS, go_on_text=self._go_on_text(),
            go_on_icon=_ICONS[stage], save=self._save_state(),
            give_up_reasons=tuple(tr(reason) for reason in GIVE_UP_REASONS), can_give_up=self._course is not None,
        )

    @property
    def unsaved(self) -> str:
        """What is chosen or typed and not on record yet."""
        typed = any(typed.text.strip() for typed in self._draft.form.typed.values())
        chosen = self._stage() == PARTS and bool(self._draft.reason)
        return f"{self._job.title}, {self._part.place}" if typed or chosen else ""

    # --- what is changed, and its labels ---

    @action
    def choose_reason(self, key: str) -> None:
        """Choose why the old part goes."""
        if key in self._part.sheet.replace_reasons and self._stage() == PARTS:
            self._keep(replace(self._draft, reason=key))

    @action
    def choose_part(self, key: str) -> None:
        """Change this part too, or leave it; the part that was scanned is always changed."""
        if self._stage() != PARTS or key not in {part.position.id for part in self._candidates}:
            return
        if key == self._part.position.id:
            raise NotAllowed(tr("This is the part that was scanned: the job changes it."))
        chosen = tuple(one for one in self._chosen() if one != key) if key in self._chosen() else (*self._chosen(), key)
        self._keep(replace(self._draft, chosen=chosen))

    @action
    def name_part(self, key: str, text: str) -> None:
        """Say what a new part is; it is printed on its label."""
        if self._stage() == PARTS and text.strip():
            self._keep(replace(self._draft, names={**self._draft.names, key: text.strip()[:LONGEST_NAME]}))

    def _changeable(self) -> tuple[Part, ...]:
        """Return the parts that may be changed in one go: this one, then those of the sheet's list beside it."""
        if self._job.type is not JobType.REPLACE:
            return ()
        records, assembly = self.helpers.records, self._part.position.assembly_id
        beside = [component for component in records.components_of_unit(self._part.unit.id)
                  if component.sheet in self._job.new_parts and component.id != self._part.component.id]
        parts = [part_of(self.helpers, component.id) for component in beside]
        return (self._part, *(part for part in parts if part.position.assembly_id == assembly))

    def _chosen(self) -> tuple[str, ...]:
        own = self._part.position.id
        return (own, *(one for one in self._draft.chosen if one != own))

    def _name(self, part: Part) -> str:
        return self._draft.names.get(part.position.id, part.title)

    def _print_labels(self) -> None:
        """Issue every new part's number and print its label, all in one go."""
        if not self._draft.reason:
            raise NotAllowed(tr("Choose why the old part goes."))
        if not self._may_put():
            return
        chosen = [part for part in self._candidates if part.position.id in self._chosen()]
        payloads: list[tuple[StepKind, dict[str, object]]] = [(StepKind.CHOSEN, {"reason": self._draft.reason})]
        for part in chosen:
            lines = (part.unit.name, part.position.name, self._name(part))
            issued = self.helpers.labels.issue(LabelKind.COMPONENT, lines)
            payloads.append((StepKind.LABELLED, {
                "position_id": part.position.id, "component_id": part.component.id, "label": issued.number,
                "description": self._name(part)}))
        self._put_all(payloads)

    # --- going on ---

    @action
    def go_on(self) -> None:
        """Do what comes next: print the labels, tick the step, save."""
        {PARTS: self._print_labels, STEP: self._do_step, END: self._finish}[self._stage()]()

    def save(self) -> None:
        """Do what the screen's main button does."""
        self.go_on()

    @action
    def tick_bolt(self) -> None:
        """Tick the bolt whose turn it is."""
        step = self._step()
        if self._stage() == STEP and self._kind(step) == BOLTS and self._story.tightened(self._number()) < step.bolts:
            self._put(StepKind.BOLT_TIGHT, {"number": self._number(), "bolt": self._next_bolt(step)})

    @action
    def untick_bolt(self) -> None:
        """Take the last bolt's tick back."""
        if self._stage() == STEP and self._story.tightened(self._number()) > 0:
            self._put(StepKind.BOLT_LOOSE, {"number": self._number()})

    @action
    def take_back(self) -> None:
        """Untick the step that was done last; a part that is bound stays bound."""
        last = next((step for step in reversed(self._story.steps) if step.kind is StepKind.DONE
                     and step.details["number"] in self._story.done), None)
        if last is not None:
            self._put(StepKind.UNDONE, {"number": last.details["number"]})

    @action
    def start_run(self) -> None:
        """Start the step's timer; nothing happens while it runs."""
        if self._stage() == STEP and self._kind(self._step()) == TIMER and self._timer() is None:
            self._start_timer(self._step())

    def start_timer(self) -> None:
        """Start the step's timer, asked for by a command label."""
        if self._stage() != STEP or self._kind(self._step()) != TIMER:
            raise NotAllowed(tr("This step has no timer."))
        self.start_run()

    @action
    def give_up(self, reason: str) -> None:
        """End the work as it stands, with a reason; what is left undone becomes a finding."""
        if self._course is None:
            raise NotAllowed(tr("Nothing is on record of this work; there is nothing to give up."))
        if not reason.strip():
            raise NotAllowed(tr("Say why the work is given up."))
        self._end(Outcome.GIVEN_UP, reason.strip())

    def shows_course(self, course_id: str) -> bool:
        """Whether this is that work."""
        return self._course is not None and self._course.id == course_id

    def second_passed(self) -> None:
        """Show a timer going on."""
        if self._stage() == STEP and self._kind(self._step()) == TIMER:
            self.refresh()

    def takes_scan(self, scan: Scan) -> bool:
        """Take the scan of a new part's label on the machine as its binding; a typed number proves nothing."""
        if not is_label_number(scan.number):
            return False
        digits = parse(scan.number).digits
        label = next((one for one in self._story.labels if one.number == digits and not one.fitted), None)
        if label is None or scan.source not in _BY_MACHINE:
            return False
        if self._stage() != STEP or label not in self._waiting():
            self.refuse(tr("That is the new label of {place}. Stick it on and scan it at its step.").format(
                place=self.helpers.records.position(label.position_id).name))
            return True
        self.clear_message()
        self._bind(label, scan.source)
        self.refresh()
        return True

    # --- where it stands ---

    @property
    def _draft_key(self) -> str:
        return f"{self._job.key}/steps"

    def _fresh_draft(self) -> StepListDraft:
        return StepListDraft(form=FormDraft(phase=Phase.AS_LEFT.value, unit=self.desk.session.units))

    def _read_story(self, course: Course | None) -> StepStory:
        return StepStory(() if course is None else self.helpers.records.course_steps(course.id))

    def _stage(self) -> str:
        if self._candidates and not self._story.labels:
            return PARTS
        return END if len(self._story.done) >= len(self._job.step_list) else STEP

    def _number(self) -> int:
        """Return the number of the step that comes next, the last one's when all are done."""
        numbers = range(1, len(self._job.step_list) + 1)
        return next((place for place in numbers if place not in self._story.done), len(self._job.step_list))

    def _step(self) -> StepSpec:
        return self._job.step_list[self._number() - 1]

    def _kind(self, step: StepSpec) -> str:
        """Return what a step still takes; one with several things takes one after the other."""
        if step.fits and self._waiting():
            return LABEL
        if step.bolts and self._story.tightened(self._number()) < step.bolts:
            return BOLTS
        if step.minutes is not None and not self._is_run():
            return TIMER
        if step.reading and not self._story.is_measured(self._number()):
            return READING
        return PLAIN

    def _progress(self) -> str:
        if self._stage() == PARTS:
            return tr("what is changed, and its labels")
        count = len(self._job.step_list)
        if self._stage() == END:
            return tr("all {count} steps are done").format(count=count)
        return tr("step {number} of {count}: {stage}").format(
            number=self._number(), count=count, stage=tr(self._step().stage))

    def _text(self) -> str:
        if self._stage() == PARTS:
            return tr("Why does it come off, and what is changed with it?")
        return self._step().text if self._stage() == STEP else tr("All done. Save it, and it goes on record as one.")

    def _caution(self, step: StepSpec) -> StepCaution | None:
        if not step.caution:
            return None
        caution = self._part.sheet.caution(step.caution)
        return StepCaution(caution.signal, caution.hazard, caution.action)

    def _reasons(self) -> tuple[ActionState, ...]:
        if self._stage() != PARTS:
            return ()
        return tuple(ActionState(reason, self._part.sheet.in_words(tr(reason)), reason == self._draft.reason)
                     for reason in self._part.sheet.replace_reasons)

    def _part_rows(self) -> tuple[NewPartRow, ...]:
        labels = {label.position_id: label for label in self._story.labels}
        return tuple(self._part_row(part, labels.get(part.position.id)) for part in self._candidates
                     if not labels or part.position.id in labels)

    def _part_row(self, part: Part, label: NewLabel | None) -> NewPartRow:
        name = part.position.name
        if label is None:
            chosen = part.position.id in self._chosen()
            return NewPartRow(part.position.id, name, self._name(part), chosen, "", NOTHING)
        state = mark(tr("on the machine"), GOOD) if label.fitted else mark(tr("to be scanned"), DUE)
        return NewPartRow(part.position.id, name, label.description, True, parse(label.number).grouped, state)

    # --- the step at hand ---

    def _do_step(self) -> None:
        step, number_ = self._step(), self._number()
        kind = self._kind(step)
        if kind == LABEL:
            raise NotAllowed(tr("Stick the new label on and scan it: {labels}.").format(
                labels=", ".join(parse(label.number).grouped for label in self._waiting())))
        if kind == BOLTS:
            raise NotAllowed(tr("{bolts} still to tighten.").format(
                bolts=counted(step.bolts - self._story.tightened(number_), "bolt")))
        if kind == TIMER:
            self._do_timer(step)
        elif kind == READING:
            self.save_measured()
        else:
            self._put(StepKind.DONE, {"number": number_})

    def _waiting(self) -> tuple[NewLabel, ...]:
        """Return the labels that the step at hand waits for."""
        fits = self._step().fits
        sheets = {part.position.id: part.sheet.key for part in self._candidates}
        return tuple(label for label in self._story.labels
                     if not label.fitted and sheets.get(label.position_id) == fits)

    def _bind(self, label: NewLabel, source: ScanSource) -> None:
        """Put the new part in the place of the old one: it is on the machine, its label was read there."""
        person = self.desk.session.worker()
        old = part_of(self.helpers, label.component_id)
        job = self._replace_job(old)
        if not is_cleared(self.helpers, person, old, job):
            self.desk.through_cautions(old.component.id, job.key, self.desk.back)
            return
        record, new = self._replacement(old, job, label, source)
        self.helpers.labels.was_read(label.number, source.value, person.id)
        self.helpers.records.append_all([
            self.desk.session.event(ComponentReplaced(old.component.id, self._story.reason, new, record, source.value),
                                    event_id=record.id),
            self._event(CourseStepped(self._course_id(), StepKind.FITTED, {
                "number": self._number(), "label": label.number, "position_id": label.position_id,
                "component_id": new.id})),
        ])
        self._read_again()

    def _replace_job(self, old: Part) -> JobSpec:
        """Return the job that changes a part, by its own sheet."""
        if old.sheet.key == self._part.sheet.key:
            return self._job
        job = next((job for job in old.sheet.jobs if job.type is JobType.REPLACE), None)
        if job is None:
            raise NotAllowed(tr("The sheet '{sheet}' has no job that changes the part. Tell the supervisor.").format(
                sheet=old.sheet.title))
        return job

    def _replacement(self, old: Part, job: JobSpec, label: NewLabel, source: ScanSource
                     ) -> tuple[ServiceRecord, Component]:
        new_id = self.helpers.new_id()
        record = new_record(self.helpers, self.desk.session, old, job, details={
            "reason": self._story.reason, "old_label": old.component.label, "new_label": label.number,
            "new_component_id": new_id, "new_description": label.description, "new_serial": "",
            "read_back": source.value})
        return record, new_component(new_id, old.component, record, label.number, label.description)

    def _timer(self) -> Timer | None:
        return running(self._story.of(self._number()))

    def _is_run(self) -> bool:
        return any(step.kind is StepKind.RUN_ENDED for step in self._story.of(self._number()))

    def _run_state(self, step: StepSpec) -> RunState:
        return run_state(self._timer(), None, step.minutes or 0.0, self.helpers.clock())

    def _do_timer(self, step: StepSpec) -> None:
        timer = self._timer()
        if timer is None:
            self._start_timer(step)
        elif timer.is_over(self.helpers.clock()):
            self._end_timer(timer, "")
        else:
            self.ask(tr("The time is not up. Go on all the same?"), {
                "stay": (tr("Wait"), lambda: None),
                "cut": (tr("Go on now"), lambda: self._end_timer(timer, tr("stopped early"))),
            })

    def _start_timer(self, step: StepSpec) -> None:
        self._put(StepKind.RUN_BEGAN, {"number": self._number(), "minutes": step.minutes})

    def _end_timer(self, timer: Timer, cut_short: str) -> None:
        ran = min((self.helpers.clock() - timer.began_at).total_seconds() / 60, timer.minutes)
        step, number_ = self._step(), self._number()
        payloads: list[tuple[StepKind, dict[str, object]]] = [(StepKind.RUN_ENDED, {
            "number": number_, "minutes": round(ran, 2)} | ({"cut_short": cut_short} if cut_short else {}))]
        if not step.reading:
            payloads.append((StepKind.DONE, {"number": number_}))
        self._put_all(payloads)

    def _order(self, step: StepSpec) -> tuple[int, ...]:
        return centre_out_order(step.bolts) if step.order == BOLT_ORDERS[0] else circle_sequence(step.bolts)

    def _next_bolt(self, step: StepSpec) -> int:
        return self._order(step)[self._story.tightened(self._number())]

    def _bolts(self, step: StepSpec) -> tuple[BoltState, ...]:
        tight, order = self._story.tightened(self._number()), self._order(step)
        turn_of = {bolt: turn for turn, bolt in enumerate(order, start=1)}
        return tuple(BoltState(bolt, turn_of[bolt], turn_of[bolt] <= tight, turn_of[bolt] == tight + 1)
                     for bolt in range(1, step.bolts + 1))

    def _passes(self, step: StepSpec) -> str:
        tight = tr("until they sit; the maker's sheet says how tight")
        if step.torque_newton_metre is not None:
            tight = tr("to {torque} N·m (the yard's figure)").format(torque=number(step.torque_newton_metre, "g"))
        return tr("All in and snug first, then in this order {tight}, ticking each one.").format(tight=tight)

    # --- measuring ---

    def is_measuring(self) -> bool:
        """Say whether the step at hand takes a reading now."""
        return self._stage() == STEP and self._kind(self._step()) == READING

    def measured_rows(self) -> tuple[Judged, ...]:
        """Return the rows of the step's reading."""
        if not self._step().reading:
            return ()
        spec = self._part.sheet.reading(self._step().reading)
        return form_rows((spec,), replace(self._job, computation=None), self._draft.form).left

    @property
    def form(self) -> FormDraft:
        """What is typed so far."""
        return self._draft.form

    def keep_form(self, form: FormDraft) -> None:
        """Keep what is typed."""
        self._keep(replace(self._draft, form=form))

    def _keep(self, draft: StepListDraft) -> None:
        person = self.desk.session.person
        self._draft = replace(draft, by=person.name if person else draft.by, at=self.helpers.clock())
        self.desk.drafts.keep(self._part.component.id, self._draft_key, self._draft)

    def put_measured(self, rows: tuple[Judged, ...]) -> None:
        """Put the step's readings on record, and the step as done."""
        readings = tuple(reading for row in rows if (reading := kept_reading(row)) is not None)
        if not self._may_put():
            return
        events = self._begun()
        course_id = self._course_id(events)
        number_ = self._number()
        events += [self._event(CourseStepped(course_id, StepKind.MEASURED, {"number": number_}, readings)),
                   self._event(CourseStepped(course_id, StepKind.DONE, {"number": number_}))]
        self._append(events)

    # --- putting on record ---

    def _may_put(self) -> bool:
        """Whether somebody is there who confirmed the cautions; leads through them where not."""
        person = self.desk.session.worker()
        part = self._part_now()
        if is_cleared(self.helpers, person, part, self._job):
            return True
        self.desk.through_cautions(part.component.id, self._job.key, self.desk.back)
        return False

    def _part_now(self) -> Part:
        """Return the part that sits at the position now: the new one once it is bound."""
        component = self.helpers.records.component_at(self._part.position.id)
        return self._part if component is None else part_of(self.helpers, component.id)

    def _put(self, kind: StepKind, details: dict[str, object]) -> None:
        self._put_all([(kind, details)])

    def _put_all(self, payloads: list[tuple[StepKind, dict[str, object]]]) -> None:
        if not self._may_put():
            return
        events = self._begun()
        course_id = self._course_id(events)
        events += [self._event(CourseStepped(course_id, kind, details)) for kind, details in payloads]
        self._append(events)

    def _begun(self) -> list[Event]:
        """Return the event that begins the work, none once it was begun."""
        part = self._part
        return [] if self._course is not None else [self._event(CourseBegun(
            CourseKind.STEP_LIST, part.unit.id, part.position.id, part.component.id, self._job.key, part.sheet.key,
            part.sheet.revision))]

    def _course_id(self, begun: list[Event] | None = None) -> str:
        if self._course is not None:
            return self._course.id
        assert begun
        return begun[0].id

    def _append(self, events: list[Event]) -> None:
        self.helpers.records.append_all(events)
        self._read_again()

    def _read_again(self) -> None:
        self._course = self.helpers.records.open_course(self._part.position.id, self._job.key)
        self._story = self._read_story(self._course)
        self.desk.drafts.drop(self._part.component.id, self._draft_key)
        self._draft = self._fresh_draft()
        self.helpers.feedback("saved")

    def _event(self, payload: Payload) -> Event:
        return self.desk.session.event(payload)

    def _finish(self) -> None:
        self._end(Outcome.DONE, "")

    def _end(self, outcome: Outcome, reason: str) -> None:
        if not self._may_put():
            return
        part = self._part_now()
        record = self._record(part, outcome, reason)
        opened = self._opened(record, reason)
        follows, words = ((), ()) if outcome is Outcome.GIVEN_UP else follow_up(
            self.helpers, self.desk.session, part, self._job)
        self.helpers.records.append_all([
            self.desk.session.event(JobDone(record, opened), event_id=record.id),
            self._event(CourseEnded(self._course_id(), outcome, reason, record.id)), *follows,
        ])
        self.desk.drafts.drop(self._part.component.id, self._draft_key)
        self.desk.saved(Saved(part, record, self._job.title, (*self._saved_lines(outcome, reason), *words),
                              tuple(one.text for one in opened)))

    def _saved_lines(self, outcome: Outcome, reason: str) -> tuple[str, ...]:
        fitted = [label for label in self._story.labels if label.fitted]
        lines = [tr("{done} of {count} steps").format(done=len(self._story.done), count=len(self._job.step_list))]
        lines += [tr("On: {description}, label {label}").format(
            description=label.description, label=parse(label.number).grouped) for label in fitted]
        if outcome is Outcome.GIVEN_UP:
            lines.append(tr("Given up: {reason}").format(reason=reason))
        return tuple(lines)

    def _record(self, part: Part, outcome: Outcome, reason: str) -> ServiceRecord:
        # A replacement is on record by itself, from its scan on the machine; this one tells how the part was fitted.
        kind = JobType.INSPECT if self._job.type is JobType.REPLACE else self._job.type
        readings = self._story.readings
        details = self._story.details() | {"outcome": outcome.value} | ({"given_up_because": reason} if reason else {})
        return new_record(self.helpers, self.desk.session, part, replace(self._job, type=kind), readings=readings,
                          verdict=worst([reading.verdict for reading in readings]), details=details)

    def _opened(self, record: ServiceRecord, reason: str) -> tuple[Finding, ...]:
        texts = list(finding_texts(FormRows(self._measured_rows(), ()), self.desk.session.units))
        if reason:
            texts.append(tr("{title}: left at step {number} of {count}. {reason}").format(
                title=self._job.title, number=self._number(), count=len(self._job.step_list), reason=reason))
        return tuple(Finding(self.helpers.new_id(), record.unit_id, record.position_id, record.component_id, text,
                             record.at, record.person_id, record.id) for text in texts)

    def _measured_rows(self) -> tuple[Judged, ...]:
        """Return what was measured as rows, judged by the sheet in force."""
        readings = self._story.readings
        keys = {reading.quantity for reading in readings}
        specs = [spec for spec in self._part.sheet.readings if spec.key in keys]
        return rows_on_record(specs, self._job, readings)

    def _save_state(self) -> SaveState:
        stage = self._stage()
        if stage == PARTS:
            missing = "" if self._draft.reason else tr("Choose why the old part goes.")
        elif stage == STEP and self._kind(self._step()) == LABEL:
            missing = tr("Scan the new label on the machine.")
        elif stage == STEP and self._kind(self._step()) == BOLTS:
            missing = tr("Tighten every bolt first.")
        else:
            missing = self.missing_reading()
        return SaveState(self._go_on_text(), not missing, missing)

    def _go_on_text(self) -> str:
        stage = self._stage()
        if stage != STEP:
            return tr("Print labels") if stage == PARTS else tr("Save")
        kind = self._kind(self._step())
        if kind == TIMER:
            timer = self._timer()
            if timer is None:
                return tr("Start timer")
            return tr("Go on") if timer.is_over(self.helpers.clock()) else tr("Stop early")
        return tr("Measured") if kind == READING else tr("Done")
