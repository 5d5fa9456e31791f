"""The kiosk's top presenter: who is signed in, where one is, and where every scan leads from any screen.

A scan never loses what was typed: a refused one leaves a message on the screen that is shown, an accepted one asks
first when a form is not saved, and the form's draft comes back with its part.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from kiosk.entities import JobType, Label, LabelKind, Person, Role, Scan, ScanSource
from kiosk.errors import KioskError, NotAllowed, NotFound, StoreUnavailable
from kiosk.language import N_, tr
from kiosk.presenters import command_card, restore_page, scans
from kiosk.presenters.adjustment import AdjustmentPresenter
from kiosk.presenters.base import Handler, ScreenPresenter
from kiosk.presenters.cautions import Briefing, CautionsPresenter, briefing_of, is_briefed
from kiosk.presenters.clock_doubt import ClockDoubt
from kiosk.presenters.component import ComponentPresenter
from kiosk.presenters.correct import CorrectPage
from kiosk.presenters.drafts import Drafts
from kiosk.presenters.due_memory import DueMemory
from kiosk.presenters.first_run import FirstRunPage
from kiosk.presenters.form import FormPresenter
from kiosk.presenters.guided_jobs import is_guided, is_only_guided
from kiosk.presenters.helpers import Helpers, Part, part_of
from kiosk.presenters.history import HistoryPresenter, Subject, of_part, of_person, of_unit
from kiosk.presenters.idle import IdlePresenter
from kiosk.presenters.in_hand import WorkInHand
from kiosk.presenters.keys import digits_after
from kiosk.presenters.label_pad_words import label_pad_state
from kiosk.presenters.label_words import sentence_of
from kiosk.presenters.parts import FrameState, MessageState
from kiosk.presenters.pin_gate import BY_BADGE, BY_PIN, CLOSES_AFTER_S, PinGate, needs_pin
from kiosk.presenters.replace import ReplacePresenter
from kiosk.presenters.rounds import RoundPresenter
from kiosk.presenters.rows import person_name
from kiosk.presenters.run_watch import RunWatch, WatchedRun
from kiosk.presenters.saved import Saved, SavedPresenter
from kiosk.presenters.session import Session
from kiosk.presenters.set_up_start import SetUpStart
from kiosk.presenters.sightings import Sightings
from kiosk.presenters.splice import SplicePresenter
from kiosk.presenters.states import State
from kiosk.presenters.step_list import StepListPresenter
from kiosk.presenters.supervisor import SupervisorPresenter
from kiosk.presenters.unit import UnitPresenter
from kiosk.presenters.words import when_text
from kiosk.service_sheet import JobSpec
from labels.errors import LabelError
from labels.number import DIGITS, parse

Show = Callable[[State, ScreenPresenter], None]
_PASSING = (CautionsPresenter, SavedPresenter)
"""Screens that one does not come back to."""
_NOT_SCANNED = N_("That is no label of this yard. A PIN is typed on the pad, not scanned; scan your badge again for "
                  "it.")
"""Quotes nothing: what came while the PIN pad was open may be a PIN, typed fast."""


class Desk:
    """The kiosk. `show(state, presenter)` is called with every new state."""

    def __init__(self, helpers: Helpers, show: Show) -> None:
        self.helpers = helpers
        self.session = Session(helpers)
        self._clock_doubt = ClockDoubt(helpers, self.session)
        self.due = DueMemory(helpers.records, helpers.sheets, helpers.settings)
        self.drafts = Drafts(helpers.draft_store)
        self.in_hand = WorkInHand(self)
        self._sightings = Sightings(helpers)
        self._runs = RunWatch(helpers)
        self._show = show
        self._device_messages: dict[str, str] = {}
        self._pad: str | None = None
        self._gate: PinGate | None = None
        self._trail: list[ScreenPresenter] = [self._first_screen()]
        self._minute = helpers.clock().replace(second=0, microsecond=0)

    def _first_screen(self) -> ScreenPresenter:
        """The idle screen; while nobody is on record, the page that makes the yard."""
        set_up = self.helpers.set_up
        return FirstRunPage(self) if set_up is not None and set_up.is_new() else IdlePresenter(self)

    @property
    def current(self) -> ScreenPresenter:
        """The presenter of the screen that is shown."""
        return self._trail[-1]

    def start(self) -> None:
        """Show the idle screen."""
        self._clock_doubt.look()
        self.current.refresh()

    # --- scans, from any screen ---

    def scan(self, scan: Scan) -> bool:
        """Take what came from scanner, camera or keypad; returns whether it was accepted."""
        self.session.touched()
        gate = self._gate
        if gate is not None and scan.number == gate.person.badge:
            return True  # the badge still lies before the camera
        self._shut_gate()
        if scan.source is not ScanSource.KEYPAD and not scans.could_be_ours(scan.number):
            self.current.refuse(tr(_NOT_SCANNED) if gate else scans.foreign_sentence(scan.number))
            return False
        try:
            self._take(scan)
        except (KioskError, LabelError) as error:
            self.current.refuse(tr(_NOT_SCANNED) if gate else sentence_of(error))
            return False
        self._sightings.note(scan, self.session.person.id if self.session.person else None)
        return True

    def foreign_text(self, text: str, source: ScanSource) -> None:
        """Take a code that is no label number of ours."""
        self.session.touched()
        self._shut_gate()
        self.current.refuse(scans.foreign_sentence(text))

    def typed(self, key: str) -> None:
        """Take a key that a person pressed on a real keyboard; 'enter' and 'back' by name.

        It goes to the pad that is open, else to the screen's own field; digits for neither open the label pad.
        """
        if self._gate is not None:
            self.pin_key({"backspace": "back"}.get(key, key))
            return
        if self._pad is None and self.current.typed(key):
            return
        if self._pad is None and key.isdigit():
            self.open_label_pad()
        self.label_key(key)

    @property
    def device_message(self) -> str:
        """Why a device that reads labels does not work, '' while all do."""
        return next((message for message in self._device_messages.values() if message), "")

    def device_changed(self, device: str, message: str) -> None:
        """Say that a device ('camera', 'scanner') is gone and why, or with '' that it is back."""
        self._device_messages[device] = message
        if isinstance(self.current, IdlePresenter):
            self.current.refresh()
        elif message and not self.current.is_asking:
            self.current.tell(message)

    def _take(self, scan: Scan) -> None:
        if self.current.takes_awaited(scan) or self.current.takes_scan(scan):
            self.helpers.feedback("read")
            return
        label = scans.known_label(self.helpers, scan.number)
        if scan.how == "matched":
            self._ask_matched(label, scan)
        else:
            self._accept(label, scan.source)

    def _ask_matched(self, label: Label, scan: Scan) -> None:
        """A damaged label that was matched against the issued ones counts only once a person says so."""
        what = scans.label_words(self.helpers, label)
        self.current.ask(tr("The label is damaged. Is it {grouped}, {what}?").format(
                             grouped=parse(label.number).grouped, what=what), {
            "yes": (tr("Yes, that is it"), lambda: self._accept(label, scan.source)),
            "no": (tr("No"), _nothing),
        }, tr("Compare the number printed under the bars."))

    def _accept(self, label: Label, source: ScanSource) -> None:
        if label.kind is LabelKind.BADGE:
            self._badge(label, source)
        elif label.kind is LabelKind.COMMAND:
            scans.refuse_retired(self.helpers, label)
            self._obey(label.subject_id or "")
        else:
            self._open_label(label, source)

    def _obey(self, command: str) -> None:
        """Do what a label of the command card says, on the screen that is shown."""
        if command_card.is_done_by_screen(self.current, command):
            return
        if command == command_card.BACK:
            self._unless_unsaved(self.back)
        elif command == command_card.DONE:
            self._unless_unsaved(self.home)
        elif command in command_card.KEYS:
            self._press(command_card.KEYS[command])
        else:
            raise NotAllowed(tr("This kiosk does not know what this command label says. Print a new command card."))

    def _press(self, key: str) -> None:
        """Press a key by its label; digits open the label pad where nothing else takes them."""
        if self._pad is None and not key.isdigit():
            if not self.current.typed(key):
                raise NotAllowed(tr("There is no field to fill on this screen."))
        else:
            self.typed(key)

    def _open_label(self, label: Label, source: ScanSource) -> None:
        subject = label.subject_id or ""
        if label.kind is LabelKind.COMPONENT:
            retired = scans.retired_part(self.helpers, label)
            if retired is not None:
                self._ask_retired(retired, subject, source)
                return
        else:
            scans.refuse_retired(self.helpers, label)
        self.helpers.feedback("read")
        self._unless_unsaved(lambda: self._open_scanned(label.kind, subject, source))

    def _ask_retired(self, retired: scans.RetiredPart, subject: str, source: ScanSource) -> None:
        self.helpers.feedback("refused")
        answers: dict[str, tuple[str, Handler]] = {}
        now_id = retired.now_id
        if now_id is not None:
            answers["open"] = (tr("Open the part here now"), lambda: self._unless_unsaved(
                lambda: self._open_scanned(LabelKind.COMPONENT, now_id, source)))
        if subject:
            answers["old"] = (tr("Show the old one"), lambda: self._unless_unsaved(
                lambda: self._open_scanned(LabelKind.COMPONENT, subject, source)))
        answers["no"] = (tr("Close"), _nothing)
        self.current.ask(retired.sentence, answers, retired.question)

    def _unless_unsaved(self, go: Handler) -> None:
        """Go, or ask first when the screen shown holds something that is not saved."""
        unsaved = self.current.unsaved
        if not unsaved:
            go()
            return
        self.current.ask(tr("{unsaved}: not saved yet.").format(unsaved=unsaved), {
            "go": (tr("Leave it for now"), go), "stay": (tr("Stay here"), _nothing),
        }, tr("What you typed is kept and comes back with the part."))

    def _open_scanned(self, kind: LabelKind, subject: str, source: ScanSource) -> None:
        self.session.scan_source = source
        self._trail = [before for before in self._trail if isinstance(before, (IdlePresenter, RoundPresenter))]
        if self._is_of_the_round(kind, subject):
            return
        if kind is LabelKind.UNIT:
            self.open_unit(subject)
        elif kind is LabelKind.POSITION:
            self.open_position(subject)
        else:
            self.open_component(subject)
        self._say_if_held(kind, subject)

    def _is_of_the_round(self, kind: LabelKind, subject: str) -> bool:
        """Take a fitting of the round that is under way in hand; False for anything else."""
        going = self._round_under_way()
        if kind is LabelKind.POSITION:
            at = self.helpers.records.component_at(subject)
            subject = at.id if at else ""
        if going is None or kind is LabelKind.UNIT or not going.has(subject):
            return False
        self._pad = None
        going.clear_message()
        try:
            going.select(subject)
        finally:
            self._sweep()
        going.refresh()
        return True

    def _round_under_way(self) -> RoundPresenter | None:
        """Return the round that one is at, None if at none."""
        return next((screen for screen in self._trail if isinstance(screen, RoundPresenter) and screen.progress), None)

    def _say_if_held(self, kind: LabelKind, subject: str) -> None:
        """Say first of all that the scanned thing's unit is held out of service, by whom and why."""
        records = self.helpers.records
        unit_id = (subject if kind is LabelKind.UNIT else records.position(subject).unit_id
                   if kind is LabelKind.POSITION else records.component(subject).unit_id)
        hold = records.hold_of(unit_id)
        if hold is not None:
            since = when_text(hold.held_at, self.helpers.clock(), self.helpers.settings.zone)
            self.current.refuse(tr("{name} is held out of service: {reason}.").format(
                                    name=records.unit(unit_id).name, reason=hold.reason),
                                tr("Since {since}, by {person_name}. It does not go out until a lead or supervisor "
                                   "lets it go.").format(
                                    since=since, person_name=person_name(self.helpers, hold.held_by)))
        else:
            self.in_hand.say(self.current, unit_id, lock_outs_only=kind is LabelKind.UNIT)

    # --- who is there ---

    def _badge(self, label: Label, source: ScanSource) -> None:
        """Take a badge: one's own, scanned by hand once more while cautions are shown, confirms the next card."""
        cautions, person = self.current, self.session.person
        if isinstance(cautions, CautionsPresenter) and source is ScanSource.SCANNER and person is not None \
                and label.subject_id == person.id and label.retired_at is None:
            cautions.confirm_by_badge()
        else:
            self._sign_in(label)

    def _sign_in(self, label: Label) -> None:
        person = scans.badge_owner(self.helpers, label)
        if person == self.session.person or not needs_pin(self.helpers, person):
            self._signed_in(person, BY_BADGE)
            return
        self._gate = PinGate(self.helpers, person, self._proved, self._reframe)
        self.helpers.feedback("read")
        self.current.clear_message()
        self.current.reframe()

    def prove(self, then: Callable[[], None]) -> None:
        """Have the PIN of whoever is signed in typed, if the badge alone let them in, and go on once it is right."""
        person = self.session.worker()
        if self.session.proof == BY_PIN:
            then()
            return
        if not self.helpers.pins.is_set(person.id):
            raise NotAllowed(tr("{person} has no PIN at this kiosk. Have it set at the desk with 'kiosk pin "
                                "set'.").format(person=person.name))

        def go_on(_person: Person) -> None:
            self._shut_gate()
            self.session.proved(BY_PIN)
            then()
            self.current.refresh()

        self._gate = PinGate(self.helpers, person, go_on, self._reframe)
        self.current.reframe()

    def _proved(self, person: Person) -> None:
        """The PIN was right, or chosen: sign in, or say why the journal does not take it."""
        self._shut_gate()
        self.session.touched()
        try:
            self._signed_in(person, BY_PIN)
        except KioskError as error:
            self.current.refuse(error.operator_message)

    def _signed_in(self, person: Person, proof: str) -> None:
        self.session.sign_in(person, proof)
        self.helpers.feedback("read")
        if isinstance(self.current, CautionsPresenter):
            self.back()  # these cards were for somebody else to confirm
        else:
            self.current.clear_message()
            self.current.refresh()
        self._clock_doubt.ask(self.current, person)
        restore_page.offer(self, self.current, person)
        if self.helpers.set_up is not None and person.role is Role.SUPERVISOR and not self.helpers.records.units():
            self.open_page(SetUpStart(self))  # a new yard: what it lacks comes first

    def yard_is_made(self, badge: str, page: str) -> None:
        """Say where the first supervisor's badge is, and let them choose their PIN."""
        text = tr("The yard is made. Your badge is {number}; its label is printed: {page}.").format(
            number=parse(badge).grouped, page=page)
        self.current.ask(text, {"go": (tr("Go on"), lambda: self._take(
            Scan(badge, ScanSource.KEYPAD, self.helpers.clock())))}, tr("Next you choose your PIN."))

    def sign_out(self) -> None:
        """Sign out and show the idle screen; drafts are kept."""
        self._leave("signed out")

    def _leave(self, reason: str) -> None:
        """Sign out and go home, even when the journal does not take it."""
        self._trail = self._trail[:1]
        try:
            self._sweep()
            self.session.sign_out(reason)
        finally:
            self.home()

    def tick(self) -> None:
        """Keep the clock on screen right, and sign out whoever left; called about once a second."""
        if self._clock_doubt.look():
            self.current.refresh()
        now = self.helpers.clock()
        self._sightings.write()
        self.drafts.write()
        if self._gate is not None and self.session.idle_s(now) >= CLOSES_AFTER_S:
            self.close_pin_pad()
        if self.session.is_idle(now):
            self._leave("idle")
            return
        self._ring(now)
        minute = now.replace(second=0, microsecond=0)
        if minute != self._minute:
            self._minute = minute
            self.current.reframe()

    def _ring(self, now: datetime) -> None:
        """Ring for a run whose time is up and let the screen that is shown follow the time."""
        with contextlib.suppress(StoreUnavailable):
            run = self._runs.rings(now)
            if run is not None:
                self.helpers.feedback("timer")
                self._say_time_is_up(run)
            self.current.second_passed()

    def _say_time_is_up(self, run: WatchedRun) -> None:
        if self.current.is_asking or self.current.shows_course(run.course.id) or self._gate or self._pad is not None:
            return
        self.current.ask(run.sentence, {
            "go": (tr("Go there"), lambda: self._unless_unsaved(
                lambda: self.open_guided(run.course.component_id, run.course.job))),
            "later": (tr("Later"), _nothing),
        }, tr("Lock out before hands go in; then measure."))

    @property
    def clock_message(self) -> str:
        """Why the times of entries are not sure, '' while they are."""
        return self._clock_doubt.message

    def print_changed(self) -> None:
        """A label went on at the printer, or the printer has another trouble."""
        if isinstance(self.current, (ComponentPresenter, ReplacePresenter)):
            self.current.print_changed()

    def touched(self) -> None:
        """Somebody touched the screen."""
        self.session.touched()

    def refuse(self, error: KioskError) -> None:
        """Show an error that happened outside an action (a camera lost, a worker that failed)."""
        self.current.refuse(error.operator_message)

    # --- showing ---

    def frame(self, message: MessageState | None) -> FrameState:
        """Return what surrounds the screen."""
        gate = self._gate.state() if self._gate else None
        going, header = self._round_under_way(), self.session.header()
        if going is not None and going is not self.current:
            header = replace(header, round=going.progress)
        return FrameState(header, message, label_pad_state(self._pad), len(self._trail) > 1, gate)

    def is_current(self, presenter: ScreenPresenter) -> bool:
        """Whether a presenter's screen is the one shown."""
        return presenter is self.current

    def show_now(self, presenter: ScreenPresenter) -> None:
        """Show a presenter's state, if its screen is the one shown."""
        if presenter.state is not None and self.is_current(presenter):
            self._show(presenter.state, presenter)

    # --- where to go ---

    def home(self) -> None:
        """Show the idle screen."""
        self._pad = None
        self._shut_gate()
        self._trail = self._trail[:1]
        self._sweep()
        self.current.clear_message()
        self.current.refresh()

    def back(self) -> None:
        """Show the screen before."""
        if len(self._trail) > 1:
            self._trail.pop()
        self._sweep()
        self.current.clear_message()
        self.current.refresh()

    def _go(self, presenter: ScreenPresenter) -> None:
        self._pad = None
        self._shut_gate()
        self._trail = [before for before in self._trail if not isinstance(before, _PASSING)]
        self._trail.append(presenter)
        self._sweep()
        presenter.refresh()

    def _sweep(self) -> None:
        """Let go of jobs whose form is closed and of which nothing was entered."""
        self.in_hand.left(lambda screen: screen in self._trail, self._is_begun)

    def _is_begun(self, position_id: str, job: str) -> bool:
        part = self.helpers.records.component_at(position_id)
        if part is not None and self.drafts.has(part.id, job):
            return True
        return self.helpers.records.open_course(position_id, job) is not None

    def open_unit(self, unit_id: str) -> None:
        """Show a unit."""
        self._go(UnitPresenter(self, unit_id))

    def open_component(self, component_id: str) -> None:
        """Show a part."""
        presenter = ComponentPresenter(self, component_id)
        self._trail = [before for before in self._trail if not isinstance(before, ComponentPresenter)]
        self._go(presenter)
        presenter.print_changed()

    def open_position(self, position_id: str) -> None:
        """Show the part at a position.

        Raises:
            NotFound: no part is on record there.
        """
        component = self.helpers.records.component_at(position_id)
        if component is None:
            name = self.helpers.records.position(position_id).name
            raise NotFound(tr("No part is on record at {name}. Tell the supervisor, so that it gets its label.").format(
                               name=name))
        self.open_component(component.id)

    def open_job(self, component_id: str, job: str) -> None:
        """Open a job's form, its cautions and hour meter first."""
        part = part_of(self.helpers, component_id)
        spec = part.job(job)
        self.when_free(self.current, part.unit.id, lambda: self.through_cautions(
            component_id, job, lambda: self._begin(part, spec, self._form(part, spec))))

    def _begin(self, part: Part, job: JobSpec, form: ScreenPresenter) -> None:
        """Show a job's form or guide; from now on its person has it in hand."""
        self.in_hand.opened(part, job, form)
        self._go(form)

    def open_guided(self, component_id: str, job: str) -> None:
        """Open a job as guided work: a session, or a step list; one that is under way is taken up where it was left."""
        part = part_of(self.helpers, component_id)
        spec = part.job(job)
        self.when_free(self.current, part.unit.id, lambda: self.through_cautions(
            component_id, job, lambda: self._begin(part, spec, self._guided(part, spec))))

    def _guided(self, part: Part, job: JobSpec) -> ScreenPresenter:
        if job.session is not None:
            return AdjustmentPresenter(self, part, job, job.session)
        return StepListPresenter(self, part, job) if is_guided(job) else self._form(part, job)

    def _form(self, part: Part, job: JobSpec) -> ScreenPresenter:
        if is_only_guided(job):
            return StepListPresenter(self, part, job)
        if job.type is JobType.SPLICE:
            return SplicePresenter(self, part, job)
        if job.type is JobType.REPLACE:
            return ReplacePresenter(self, part, job)
        return FormPresenter(self, part, job)

    def through_cautions(self, component_id: str, job: str, then: Handler) -> None:
        """Do `then` once the job's cautions are confirmed and the hour meter is read; at once if they are."""
        part = part_of(self.helpers, component_id)
        self.through_briefing(briefing_of(part, part.job(job)), then)

    def through_briefing(self, briefing: Briefing, then: Handler) -> None:
        """Do `then` once cautions and hour meter of a briefing are done; at once if they are."""
        if is_briefed(self.helpers, self.session.worker(), briefing):
            then()
        else:
            self._go(CautionsPresenter(self, briefing, then))

    def when_free(self, screen: ScreenPresenter, unit_id: str, then: Handler) -> None:
        """Do `then` once nobody else has the unit in hand, or has handed it over; at once if nobody has."""
        self.in_hand.when_free(screen, unit_id, then)

    def open_round(self, round_id: str) -> None:
        """Show a round."""
        self._trail = [before for before in self._trail if not isinstance(before, RoundPresenter)]
        self._go(RoundPresenter(self, round_id))

    def open_page(self, page: ScreenPresenter) -> None:
        """Show one of the supervisor's pages."""
        self._go(page)

    def open_supervisor(self) -> None:
        """Show the supervisor's pages."""
        self._go(SupervisorPresenter(self))

    def open_correction(self, record_id: str) -> None:
        """Show a record to be corrected or annulled."""
        self._go(CorrectPage(self, record_id))

    def open_history(self, component_id: str, record_id: str | None = None) -> None:
        """Show a part's history, a record of it opened if one is named."""
        self._open_history(of_part(self.helpers, part_of(self.helpers, component_id)), record_id)

    def open_unit_history(self, unit_id: str) -> None:
        """Show what was done on a unit."""
        self._open_history(of_unit(self.helpers, unit_id))

    def open_person_history(self, person_id: str) -> None:
        """Show what one of the crew did."""
        self._open_history(of_person(self.helpers, person_id))

    def _open_history(self, subject: Subject, record_id: str | None = None) -> None:
        history = HistoryPresenter(self, subject, record_id)
        self._trail = [before for before in self._trail if not isinstance(before, (HistoryPresenter, CorrectPage))]
        self._go(history)

    def saved(self, saved: Saved) -> None:
        """Show what was saved; the way back leads past the form."""
        self.helpers.feedback("saved")
        self.in_hand.saved(saved.record.position_id, saved.record.job)
        going = self._round_under_way()
        if going is not None and going.has(saved.record.component_id):
            self._trail = self._trail[:self._trail.index(going) + 1]
            going.came_back(saved.title, saved.part, saved.lines)
            going.refresh()
            return
        kept = (IdlePresenter, UnitPresenter, RoundPresenter)
        self._trail = [before for before in self._trail if isinstance(before, kept)]
        self._go(SavedPresenter(self, saved))

    # --- the PIN pad ---

    def pin_key(self, key: str) -> None:
        """Take a key of the PIN pad."""
        self.session.touched()
        gate = self._gate
        if gate is None:
            return
        gate.key(key)
        if gate is self._gate:
            self.current.reframe()

    def change_pin(self) -> None:
        """Take what was typed as the old PIN; the pad asks for the new one if it is right."""
        self.session.touched()
        if self._gate is not None:
            self._gate.change()
            self.current.reframe()

    def close_pin_pad(self) -> None:
        """Close the PIN pad, forgetting what was typed; whoever was signed in stays so."""
        self._shut_gate()
        self.current.reframe()

    def _shut_gate(self) -> None:
        if self._gate is not None:
            self._gate.close()
            self._gate = None

    def _reframe(self) -> None:
        self.current.reframe()

    # --- the label pad ---

    def open_label_pad(self) -> None:
        """Open the pad for typing a label number."""
        self._pad = ""
        self._shut_gate()
        self.current.clear_message()
        self.current.reframe()

    def close_label_pad(self) -> None:
        """Close the pad."""
        self._pad = None
        self.current.clear_message()
        self.current.reframe()

    def label_key(self, key: str) -> None:
        """Take a key of the pad; 'enter' sends the number, and a refused one stays on the pad."""
        if self._pad is None:
            return
        self.session.touched()
        if key != "enter":
            self._pad = digits_after(self._pad, key, DIGITS) if key != "." else self._pad
            self.current.clear_message()
            self.current.reframe()
            return
        typed, self._pad = self._pad, None
        if not self.scan(Scan(typed, ScanSource.KEYPAD, self.helpers.clock())):
            self._pad = typed
            self.current.reframe()


def _nothing() -> None:
    """The answer that changes nothing."""
