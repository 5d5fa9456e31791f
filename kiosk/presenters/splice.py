"""Cutting a bad length out of a belt: where it is, which plan, the joint's bolts from the centre outward, saving.

The belt's recorded length, splices and take-up travel are the plan's from the moment it is saved.
"""

from __future__ import annotations

from dataclasses import replace

from kiosk.calc.splice import CleatedLoop, SplicePlan, SplicePlans
from kiosk.entities import Finding, ServiceRecord, Verdict
from kiosk.errors import KioskError, NotAllowed, NotFound, UnreadableNumber
from kiosk.events import JobDone
from kiosk.language import N_, number, tr
from kiosk.presenters.advice import AdviceContext, effective_parameters
from kiosk.presenters.advice.splice_advice import plan_title, recorded_loop, shop_rules, splice_plans, takeup_text
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.cautions import is_cleared
from kiosk.presenters.drafts import SpliceDraft, Typed
from kiosk.presenters.follow_up import follow_up
from kiosk.presenters.helpers import Part
from kiosk.presenters.keys import keypad_key, text_after
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.new_records import new_record
from kiosk.presenters.parts import AdviceLine, EntryRow, FrameState, SaveState, StepCard, StepCaution
from kiosk.presenters.quantities import read_quantity, show_quantity
from kiosk.presenters.readings import bare_unit
from kiosk.presenters.saved import Saved
from kiosk.presenters.splice_model import (
    NEW_BELT,
    belt_drawing,
    bolt_states,
    cuts_text,
    finding_texts,
    keyed,
    next_bolt,
    plan_details,
    plan_rows,
    properties_after,
)
from kiosk.presenters.states import SpliceState
from kiosk.presenters.words import counted
from kiosk.service_sheet import JobSpec

DAMAGE, PLAN, STEPS, JOINT = "damage", "plan", "steps", "joint"
_OTHER_UNIT = {"in": "mm", "mm": "in"}
_TITLES = {"start": N_("Bad length begins, from the datum mark along the travel"), "end": N_("Bad length ends")}


class SplicePresenter(ScreenPresenter):
    """One splice on one belt."""

    def __init__(self, desk: Navigation, part: Part, job: JobSpec) -> None:
        super().__init__(desk)
        if job.computation is None:
            raise NotFound(tr("The sheet does not say how '{job}' is planned. Tell the supervisor.").format(
                               job=job.title))
        self._part, self._job = part, job
        self._parameters = effective_parameters(job.computation, part.component)
        self._loop: CleatedLoop = recorded_loop(self._parameters, part.component)
        self._context = AdviceContext(desk.session.units, part.component, job)
        self._draft = desk.drafts.of(part.component.id, job.key, SpliceDraft(unit=desk.session.units))

    # --- state ---

    def build(self, frame: FrameState) -> SpliceState:
        """Return the splice as it stands."""
        draft, plans = self._draft, self._plans()
        plan = self._chosen(plans)
        return SpliceState(
            frame=frame, title=self._job.title, place=self._part.place, stage=draft.stage,
            entries=(self._entry("start"), self._entry("end")), unit=draft.unit, facts=self._facts(),
            drawing=belt_drawing(self._loop, self._damage(), plan, self._context),
            plans=plan_rows(plans, draft.chosen, self._context) if plans and draft.stage == PLAN else (),
            bolts=bolt_states(self._bolts, self._tight_here()) if draft.stage == JOINT else (),
            passes=self._passes() if draft.stage == JOINT else "", advice=self._advice(plan),
            will_open=finding_texts(plan) if plan else (), save=self._save_state(plan),
            joint=self._joint_text() if draft.stage == JOINT else "",
            step=self._step_card() if draft.stage == STEPS else None,
        )

    @property
    def unsaved(self) -> str:
        """What is typed and not saved."""
        draft = self._draft
        return tr("{job} on {place}").format(
                   job=self._job.title, place=self._part.place) if draft.start.text or draft.end.text else ""

    # --- actions ---

    @action
    def key(self, key: str) -> None:
        """Take a key of the keypad for the active field."""
        if key == "unit":
            self._toggle_unit()
        elif key == "next":
            self._next_row()
        elif self._draft.stage == DAMAGE:
            typed = self._typed(self._draft.active)
            unit = typed.unit if typed.text else self._draft.unit
            self._put(self._draft.active, Typed(text_after(typed.text, key), unit))

    def typed(self, key: str) -> bool:
        """Take a key of a real keyboard for the active field."""
        self.key(keypad_key(key))
        return True

    @action
    def focus(self, row: str) -> None:
        """Send the keypad to a field."""
        if row in _TITLES:
            self._keep(replace(self._draft, active=row))

    @action
    def next_row(self) -> None:
        """Go to the other field."""
        self._next_row()

    @action
    def toggle_unit(self) -> None:
        """Read bare numbers in the other unit, the active field's too."""
        self._toggle_unit()

    @action
    def choose_plan(self, key: str) -> None:
        """Choose one of the plans; a refused one says why it cannot be done."""
        plans = self._plans()
        plan = keyed(plans).get(key) if plans else None
        if plan is None:
            return
        if not plan.is_feasible:
            raise NotAllowed(plan.refusals[0])
        self._keep(replace(self._draft, chosen=key))

    @action
    def go_on(self) -> None:
        """Go on: from the bad length to the plans, from the plan to the joint."""
        if self._draft.stage == DAMAGE:
            self._to_plans()
        elif self._draft.stage == PLAN:
            self._to_steps()
        elif self._draft.stage == STEPS:
            self._step_done()

    @action
    def tick_bolt(self, number: int) -> None:
        """Tick a bolt as tight; only the one that comes next, from the centre outward."""
        if self._draft.stage != JOINT:
            return
        expected = next_bolt(self._bolts, self._tight_here()) if self._left() else None
        if expected is None:
            return
        if number != expected:
            raise NotAllowed(
                tr("Bolt {expected} comes next: from the centre outward, or the belt will not track.").format(
                    expected=expected
                )
            )
        self._keep(replace(self._draft, tightened=self._draft.tightened + 1))

    @action
    def untick_bolt(self) -> None:
        """Take the last tick back."""
        self._keep(replace(self._draft, tightened=max(self._draft.tightened - 1, 0)))

    @action
    def save(self) -> None:
        """Save the splice; the belt is the new one from then on."""
        plan, state = self._chosen(self._plans()), self._save_state(self._chosen(self._plans()))
        if plan is None or not state.enabled:
            raise NotAllowed(state.missing)
        person = self.desk.session.worker()
        if not is_cleared(self.helpers, person, self._part, self._job):
            self.desk.through_cautions(self._part.component.id, self._job.key, self.desk.back)
            return
        self.desk.when_free(self, self._part.unit.id, lambda: self._save(plan))

    def back(self) -> None:
        """Go back one stage, and from the first to the screen before."""
        before = {PLAN: DAMAGE, STEPS: PLAN, JOINT: STEPS if self._job.step_list else PLAN}.get(self._draft.stage)
        if before is None:
            super().back()
            return
        if before == STEPS or (self._draft.stage == STEPS and self._draft.steps):
            self._keep(replace(self._draft, stage=STEPS, steps=max(self._draft.steps - 1, 0)))
        else:
            self._keep(replace(self._draft, stage=before))
        self.clear_message()
        self.refresh()

    # --- the bad length ---

    def _typed(self, row: str) -> Typed:
        return self._draft.start if row == "start" else self._draft.end

    def _put(self, row: str, typed: Typed) -> None:
        """Keep a field; another bad length makes another plan, so what was chosen is forgotten."""
        changed = replace(self._draft, start=typed) if row == "start" else replace(self._draft, end=typed)
        self._keep(replace(changed, chosen="", tightened=0, steps=0))

    def _keep(self, draft: SpliceDraft) -> None:
        person = self.desk.session.person
        self._draft = replace(draft, by=person.name if person else draft.by, at=self.helpers.clock())
        self.desk.drafts.keep(self._part.component.id, self._job.key, self._draft)

    def _next_row(self) -> None:
        self._keep(replace(self._draft, active="end" if self._draft.active == "start" else "start"))

    def _toggle_unit(self) -> None:
        unit = _OTHER_UNIT[self._draft.unit]
        self._draft = replace(self._draft, unit=unit)
        typed = self._typed(self._draft.active)
        if typed.text and self._draft.stage == DAMAGE:
            self._put(self._draft.active, Typed(typed.text, unit))

    def _read(self, row: str) -> float:
        """Return where an end of the bad length lies. [mm]

        Raises:
            UnreadableNumber: no length, or beyond the belt.
        """
        typed = self._typed(row)
        place = read_quantity(typed.text, "mm", typed.unit)
        if not 0 <= place <= self._loop.loop_length_mm:
            raise UnreadableNumber(typed.text, tr("The belt is {loop_length_mm} long. Measure from the datum mark "
                                                  "along the travel.").format(
                                                   loop_length_mm=self._context.length(self._loop.loop_length_mm)))
        return place

    def _damage(self) -> tuple[float, float] | None:
        try:
            return self._read("start"), self._read("end")
        except KioskError:
            return None

    def _entry(self, row: str) -> EntryRow:
        typed, shown, message = self._typed(row), "", ""
        if typed.text:
            try:
                shown = show_quantity(self._read(row), "mm", self.desk.session.units)
            except KioskError as error:
                message = error.operator_message
        return EntryRow(row, tr(_TITLES[row]), typed.text, shown, message, row == self._draft.active,
                        unit=bare_unit(typed, "mm") if typed.text else "")

    # --- the plan ---

    def _plans(self) -> SplicePlans | None:
        damage = self._damage()
        if damage is None:
            return None
        return splice_plans(self._parameters, self._part.component, *damage)

    def _chosen(self, plans: SplicePlans | None) -> SplicePlan | None:
        return keyed(plans).get(self._draft.chosen) if plans else None

    def _to_plans(self) -> None:
        for row in ("start", "end"):
            self._read(row)
        self._keep(replace(self._draft, stage=PLAN))

    def _to_steps(self) -> None:
        plan = self._chosen(self._plans())
        if plan is None:
            raise NotAllowed(tr("Choose one of the plans first."))
        if plan.kind == NEW_BELT:
            raise NotAllowed(tr("A new belt is a replacement: go back to the part and open its job for that."))
        self._keep(replace(self._draft, stage=STEPS if self._steps_left() else JOINT))

    # --- the steps before the joint ---

    def _steps_left(self) -> int:
        return len(self._job.step_list) - self._draft.steps

    def _step_done(self) -> None:
        self._keep(replace(self._draft, steps=self._draft.steps + 1,
                           stage=STEPS if self._steps_left() > 1 else JOINT))

    def _step_card(self) -> StepCard:
        step, place = self._job.step_list[self._draft.steps], self._draft.steps + 1
        caution = self._part.sheet.caution(step.caution) if step.caution else None
        progress = tr("step {number} of {count}: {stage}").format(
            number=place, count=len(self._job.step_list), stage=tr(step.stage))
        return StepCard(step.text, progress, step.picture, None if caution is None else StepCaution(
            caution.signal, caution.hazard, caution.action))

    @property
    def _bolts(self) -> int:
        return int(self._parameters["joint_bolts"])

    def _facts(self) -> tuple[str, ...]:
        loop, length = self._loop, self._context.length
        splices = ", ".join(length(place) for place in loop.splice_positions_mm) or "none"
        spacing = shop_rules(self._parameters).minimum_splice_spacing_mm
        return (
            tr("Belt {both}, cleat pitch {cleat_pitch_mm}").format(
                both=self._context.both(loop.loop_length_mm), cleat_pitch_mm=length(loop.cleat_pitch_mm)),
            tr("Splices from the datum mark: {splices}").format(splices=splices),
            tr("Take-up travel left: {takeup_in_mm} inwards, {takeup_out_mm} outwards").format(
                takeup_in_mm=length(loop.takeup_in_mm), takeup_out_mm=length(loop.takeup_out_mm)),
            tr("Splices at least {spacing} apart (the yard's setting)").format(spacing=length(spacing)),
            tr("A belt that gets too short takes one or two cleat sections (common practice, no source)"),
        )

    # --- the joint ---

    def _joints(self) -> int:
        """Return how many joints the plan makes: two where a piece goes in."""
        return 2 if self._inserts() else 1

    def _left(self) -> int:
        """Return how many bolts are still to tighten, all joints together."""
        return self._bolts * self._joints() - self._draft.tightened

    def _joint(self) -> int:
        """Return which joint is at hand, from 0."""
        return min(self._draft.tightened // self._bolts, self._joints() - 1)

    def _tight_here(self) -> int:
        """Return how many bolts of the joint at hand are tight."""
        return self._draft.tightened - self._joint() * self._bolts

    def _joint_text(self) -> str:
        if self._joints() == 1:
            return ""
        return tr("Joint 1 of 2: where the piece begins") if self._joint() == 0 else tr(
            "Joint 2 of 2: where the piece ends")

    def _passes(self) -> str:
        torque = self._parameters.get("bolt_torque_newton_metre")
        tight = tr("to {float} N·m (the yard's figure)").format(
                    float=number(float(torque), "g")) if torque is not None else tr("until the plates sit")
        joints = "" if self._inserts() < 1 else f" {self._joint_text()}."
        return (tr("All bolts in and loose first, then snug in this order, then {tight}, ticking each one. The "
                   "splice maker's own sheet comes first.{joints}").format(tight=tight, joints=joints))

    def _inserts(self) -> int:
        plan = self._chosen(self._plans())
        return plan.insert_sections if plan else 0

    def _advice(self, plan: SplicePlan | None) -> tuple[AdviceLine, ...]:
        if plan is None:
            return ()
        cuts = cuts_text(plan, self._context)
        return (AdviceLine("do", f"{plan_title(plan, self._context)}."),
                *((AdviceLine("do", cuts),) if cuts else ()),
                AdviceLine("why", takeup_text(plan, self._context)),
                *(AdviceLine("check", reason) for reason in plan.reasons))

    # --- saving ---

    def _save_state(self, plan: SplicePlan | None) -> SaveState:
        left = self._left()
        if self._draft.stage != JOINT or plan is None:
            return SaveState(tr("Save the splice"), False, tr("Choose a plan and tighten the joint first."))
        missing = tr("{left} still to tighten.").format(left=counted(left, "bolt")) if left else ""
        return SaveState(tr("Save the splice"), not missing, missing)

    def _save(self, plan: SplicePlan) -> None:
        damage = self._damage()
        assert damage is not None
        record = self._record(plan, damage)
        opened = tuple(
            Finding(self.helpers.new_id(), record.unit_id, record.position_id, record.component_id, text, record.at,
                    record.person_id, record.id)
            for text in finding_texts(plan)
        )
        changes = properties_after(self._loop, plan, self._part.component.properties)
        event = JobDone(record, opened, (), changes)
        belt = replace(self._part.component, properties={**self._part.component.properties, **changes})
        follows, words = follow_up(self.helpers, self.desk.session, replace(self._part, component=belt), self._job)
        self.helpers.records.append_all([self.desk.session.event(event, event_id=record.id), *follows])
        self.desk.drafts.drop(self._part.component.id, self._job.key)
        lines = (
            f"{plan_title(plan, self._context)}",
            tr("Belt is now {new_loop_length_mm}").format(
                new_loop_length_mm=self._context.length(plan.new_loop_length_mm)
            ),
            takeup_text(plan, self._context),
            *(words or (tr("Set its height, then track it, then tighten the joint once more."),)),
        )
        self.desk.saved(Saved(self._part, record, self._job.title, lines, tuple(one.text for one in opened)))

    def _record(self, plan: SplicePlan, damage: tuple[float, float]) -> ServiceRecord:
        return new_record(
            self.helpers, self.desk.session, self._part, self._job,
            verdict=None if plan.is_pitch_whole else Verdict.OUTSIDE,
            advice=tuple(line.text for line in self._advice(plan)),
            details={"splice": plan_details(plan, damage), "bolts_tightened": self._bolts * self._joints(),
                     "joints": self._joints(), "bolt_order": "from the centre outward",
                     "parts_used": ", ".join(plan.parts),
                     **({"steps_done": self._draft.steps} if self._draft.steps else {})},
        )
