"""A round: its fittings on the drawing and in a list in the order of the walk, one scan and one touch for each.

What is left is asked for at the end, with a reason. A round stands in the records: after a log-out, a restart or a
change of shift it is taken up where it was, and both people are named.
"""

from __future__ import annotations

from kiosk.entities import ScanSource, Unit
from kiosk.errors import NotAllowed
from kiosk.events import RoundBegun, RoundEnded, RoundJobSkipped
from kiosk.language import N_, tr
from kiosk.presenters.base import action
from kiosk.presenters.cautions import is_briefed
from kiosk.presenters.due_list import due_of_component
from kiosk.presenters.helpers import Part, part_of
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import (
    BAD,
    DUE,
    GOOD,
    NEUTRAL,
    ActionState,
    DiagramMark,
    DiagramState,
    FrameState,
    Mark,
    QuickPanel,
    RoundEnding,
    RoundRow,
)
from kiosk.presenters.quick import QuickJob, quick_jobs
from kiosk.presenters.quick_keys import QuickKeys
from kiosk.presenters.round_plan import briefing_of_round, job_of, progress_text, round_jobs, round_title
from kiosk.presenters.round_story import round_story
from kiosk.presenters.states import RoundState
from kiosk.presenters.words import mark
from kiosk.work_in_hand import RoundJob, RoundStep, StepState

SKIP_REASONS = {
    "access": N_("cannot get at it"), "broken": N_("broken or missing"), "away": N_("machine went out"),
    "time": N_("no time in this shift"), "later": N_("needs a repair first"),
}
"""Why a job of a round is left out, by key; numbered on screen, so that a digit card chooses."""
SHORTEST_REASON = 3
TO_DO, IS_DONE, LEFT_OUT = mark(N_("to do"), DUE), mark(N_("done"), GOOD), mark(N_("left out"), BAD)
_MARKS = {StepState.OPEN: TO_DO, StepState.DONE: IS_DONE, StepState.SKIPPED: LEFT_OUT}
_NOT_OF_IT = mark("", NEUTRAL)


def begin_round(desk: Navigation, unit_id: str | None) -> None:
    """Begin a round of a unit, or of the yard (None), after its cautions and hour meter, and show it.

    Raises:
        NotAllowed: nothing is due, or nobody is signed in.
    """
    person, jobs = desk.session.worker(), round_jobs(desk, unit_id)
    if not jobs:
        raise NotAllowed(tr("Nothing of a round is due here now."))
    unit = None if unit_id is None else desk.helpers.records.unit(unit_id)

    def begin() -> None:
        event = desk.session.event(RoundBegun(unit_id, round_title(unit), desk.helpers.shift().key, jobs), person)
        desk.helpers.records.append(event)
        desk.open_round(event.id)

    if unit is None:
        begin()
    else:
        desk.through_briefing(briefing_of_round(desk.helpers, unit, jobs), begin)


class RoundPresenter(QuickKeys):
    """One round. Others than those who have it in hand may look at it."""

    def __init__(self, desk: Navigation, round_id: str) -> None:
        super().__init__(desk)
        self._id = round_id
        self._round = self.helpers.records.round(round_id)
        self._step: RoundStep | None = None
        self._quick: QuickJob | None = None
        self._is_ending = False
        self._said = ""

    @property
    def progress(self) -> str:
        """How far the round is, for the header of every screen; '' once it is over."""
        return "" if self._round.work.closed_at else progress_text(self._round)

    def has(self, component_id: str) -> bool:
        """Whether the round has a job of a part."""
        return any(step.job.component_id == component_id for step in self._round.steps)

    def build(self, frame: FrameState) -> RoundState:
        """Return the round as it stands."""
        self._round = one = self.helpers.records.round(self._id)
        self._settle_selection()
        title, done = one.work.what, len(one.in_state(StepState.DONE))
        shown = self._shown_unit()
        return RoundState(
            frame=frame, title=title, place=f"{shown.name} · {progress_text(one)}", progress=progress_text(one),
            done=done / len(one.steps), settled=1 - len(one.in_state(StepState.OPEN)) / len(one.steps),
            hint=self._hint(), said=self._said, diagram=self._diagram(shown), highlighted=self._highlighted(),
            rows=tuple(self._row(number, step) for number, step in enumerate(one.steps, start=1)),
            quick=self._panel(), form=self._form_button(), here=self._here(), ending=self._ending(),
            story=round_story(self.helpers, one), is_over=one.work.closed_at is not None,
        )

    # --- the fitting in hand ---

    def select(self, component_id: str) -> None:
        """Take a part of the round in hand: its label was scanned, or its row touched.

        Raises:
            NotAllowed: all its jobs of this round are settled.
        """
        self._is_ending = False
        of_part = [step for step in self._round.steps if step.job.component_id == component_id]
        step = next((step for step in of_part if step.state is not StepState.DONE), None)
        self._take(step)
        if step is None and of_part:
            raise NotAllowed(tr("{place} is done in this round already.").format(place=self._name(of_part[0].job)))

    @action
    def select_row(self, key: str) -> None:
        """Take a job in hand from the list, where a label cannot be scanned."""
        self.desk.session.scan_source = ScanSource.KEYPAD
        step = next((step for step in self._round.steps if _key(step.job) == key), None)
        if step is not None and step.state is not StepState.DONE:
            self._is_ending = False
            self._take(step)

    @action
    def type_reason(self, text: str) -> None:
        """Type why a stop is overridden, or why a job is left out."""
        if self._is_ending:
            self._skip(text.strip())
        else:
            self.the_quick().type_reason(text)

    @action
    def save_quick(self) -> None:
        """Save the job in hand, or open its form; cautions and hour meter of this shift come first."""
        self.desk.when_free(self, self._shown_unit().id, self._do)

    def _do(self) -> None:
        self._require_in_hand()
        if self._step is None:
            raise NotAllowed(tr("Scan the label of the next fitting first."))
        job, unit = self._step.job, self.helpers.records.unit(self._step.job.unit_id)
        briefing = briefing_of_round(self.helpers, unit, [step.job for step in self._round.steps])
        if not is_briefed(self.helpers, self.desk.session.worker(), briefing):
            self.desk.through_briefing(briefing, self.desk.back)
        elif self._quick is None:
            self.desk.open_job(job.component_id, job.job)
        else:
            self._save(self._quick)

    def _save(self, quick: QuickJob) -> None:
        saved = quick.save()
        self.helpers.feedback("saved")
        self.came_back(saved.title, saved.part, saved.lines)

    def came_back(self, title: str, part: Part, lines: tuple[str, ...]) -> None:
        """Say what was saved and go on: the part's next job, or the next fitting; the last one ends the round."""
        self._said = " · ".join((tr("Saved: {title}").format(title=title), part.position.name, *lines[:1]))
        self._round = self.helpers.records.round(self._id)
        self._take(next((step for step in self._round.in_state(StepState.OPEN)
                         if step.job.component_id == part.component.id), None))
        self._end_if_settled()

    # --- the end ---

    @action
    def end(self) -> None:
        """End the round: what is open is asked for, job by job, each with a reason."""
        self._require_in_hand()
        self._is_ending = True
        self._end_if_settled()

    @action
    def go_on(self) -> None:
        """Do not end the round yet."""
        self._is_ending = False

    @action
    def skip_for(self, key: str) -> None:
        """Leave the job asked about out, for a reason of the list."""
        if key in SKIP_REASONS:
            self._skip(tr(SKIP_REASONS[key]))

    def typed(self, key: str) -> bool:
        """Take a digit for a numbered reason: why a job is left out, or why a stop is overridden."""
        if self._is_ending and key.isdigit():
            keys = list(SKIP_REASONS)
            if 1 <= int(key) <= len(keys):
                self.skip_for(keys[int(key) - 1])
            return True
        panel = self._panel()
        if panel is not None and panel.stop is not None and key.isdigit():
            if 1 <= int(key) <= len(panel.stop.reasons):
                self.choose_reason(panel.stop.reasons[int(key) - 1].key)
            return True
        return False

    def _skip(self, reason: str) -> None:
        self._require_in_hand()
        if len(reason) < SHORTEST_REASON:
            raise NotAllowed(tr("Say in a few words why it is left out."))
        step = next(iter(self._round.in_state(StepState.OPEN)), None)
        if step is None:
            return
        payload = RoundJobSkipped(self._id, step.job.component_id, step.job.job, reason)
        self.helpers.records.append(self.desk.session.event(payload))
        self.helpers.feedback("read")
        self._round = self.helpers.records.round(self._id)
        self._end_if_settled()

    def _end_if_settled(self) -> None:
        if self._round.in_state(StepState.OPEN) or self._round.work.closed_at:
            return
        person = self.desk.session.person
        if person is None or not self._round.work.is_held_by(person.id):
            return
        self.helpers.records.append(self.desk.session.event(RoundEnded(self._id)))
        self.helpers.feedback("saved")
        self._is_ending, self._step, self._quick = False, None, None

    # --- parts of the state ---

    def _require_in_hand(self) -> None:
        person = self.desk.session.worker()
        self._round = self.helpers.records.round(self._id)
        if self._round.work.closed_at:
            raise NotAllowed(tr("This round is over."))
        if not self._round.work.is_held_by(person.id):
            raise NotAllowed(tr("Somebody else has this round in hand. Take it up first."))

    def _take(self, step: RoundStep | None) -> None:
        self._step, self._quick = step, None
        if step is None:
            return
        part = part_of(self.helpers, step.job.component_id)
        spec = next((job for job in quick_jobs(part) if job.key == step.job.job), None)
        self._quick = None if spec is None else QuickJob(self.helpers, self.desk.session, part, spec)

    def _settle_selection(self) -> None:
        """Let go of a job that somebody settled meanwhile."""
        if self._step is not None and any(step.job == self._step.job and step.state is StepState.DONE
                                          for step in self._round.steps):
            self._step, self._quick = None, None

    def the_quick(self) -> QuickJob:
        """Return the job in hand."""
        if self._quick is None:
            raise NotAllowed(tr("Scan the label of the next fitting first."))
        return self._quick

    def _next(self) -> RoundStep | None:
        return next(iter(self._round.in_state(StepState.OPEN)), None)

    def _shown_unit(self) -> Unit:
        step = self._step or self._next() or self._round.steps[-1]
        return self.helpers.records.unit(step.job.unit_id)

    def _name(self, job: RoundJob) -> str:
        return self.helpers.records.position(job.position_id).name

    def _title(self, job: RoundJob) -> str:
        spec = job_of(self.helpers, job)
        return spec.title if spec is not None else job.job

    def _hint(self) -> str:
        step = self._next()
        if step is None:
            return tr("Every job of the round is settled.")
        return tr("Next: {place}, {job}. Scan its label.").format(place=self._name(step.job), job=self._title(step.job))

    def _here(self) -> str:
        return "" if self._step is None else f"{self._name(self._step.job)}: {self._title(self._step.job)}"

    def _highlighted(self) -> tuple[str, ...]:
        step = self._step or self._next()
        return () if step is None else (step.job.position_id,)

    def _panel(self) -> QuickPanel | None:
        if self._quick is None:
            return None
        return self._quick.panel(due_of_component(self.helpers, self._quick.part.component))

    def _form_button(self) -> ActionState | None:
        if self._step is None or self._quick is not None:
            return None
        label = tr("Open: {job}").format(job=self._title(self._step.job))
        return ActionState(_key(self._step.job), label, enabled=self.desk.session.person is not None)

    def _ending(self) -> RoundEnding | None:
        step = self._next() if self._is_ending else None
        if step is None:
            return None
        reasons = tuple(ActionState(key, f"{number}  {tr(label)}")
                        for number, (key, label) in enumerate(SKIP_REASONS.items(), start=1))
        return RoundEnding(tr("Not done: {place}, {job}. Why?").format(
            place=self._name(step.job), job=self._title(step.job)), reasons, len(self._round.in_state(StepState.OPEN)))

    def _row(self, number: int, step: RoundStep) -> RoundRow:
        lines = tuple(line for line in (self._title(step.job), step.reason) if line)
        is_next = self._next() is not None and self._next() == step
        return RoundRow(_key(step.job), f"{number}  {self._name(step.job)}", lines, _MARKS[step.state], is_next,
                        step.state is not StepState.DONE)

    def _diagram(self, unit: Unit) -> DiagramState | None:
        """Return the drawing of the unit that one stands at, its round's fittings marked."""
        assemblies = self.helpers.records.assemblies(unit.id)
        if not assemblies:
            return None
        marks = self._marks()
        on = {self.helpers.records.position(position_id).assembly_id for position_id in self._highlighted()}
        shown = next((assembly for assembly in assemblies if assembly.id in on), assemblies[0])
        places = [place for place in self.helpers.records.positions(unit.id) if place.assembly_id == shown.id]
        return DiagramState(shown.id, shown.name, shown.design, tuple(
            DiagramMark(place.id, place.x, place.y, place.name, place.walk_order, marks[place.id])
            for place in places if place.id in marks))

    def _marks(self) -> dict[str, Mark]:
        """Return {position: state}: open while any of its jobs is, else left out if one was."""
        order, marks = (StepState.OPEN, StepState.SKIPPED, StepState.DONE), dict[str, Mark]()
        for state in reversed(order):
            marks |= {step.job.position_id: _MARKS[state] for step in self._round.in_state(state)}
        return marks


def _key(job: RoundJob) -> str:
    return f"{job.component_id}|{job.job}"
