"""One job on one part, as the crew of the invented yard does it and puts it on record."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from demo_shop.advised import advised, tracking_words
from demo_shop.fitted import Done, FittedPart
from demo_shop.pen import Pen, reading, worst
from demo_shop.yard import CREW, Hand
from kiosk.calc.sequence import centre_out_order
from kiosk.calc.splice_plan import REPLACE, SplicePlan
from kiosk.entities import Component, Finding, JobType, Phase, Reading, ScanSource, ServiceRecord, Side, Verdict
from kiosk.events import Event, JobDone, RecordCorrected
from kiosk.presenters.advice import effective_parameters
from kiosk.presenters.advice.splice_advice import recorded_loop, splice_plans
from kiosk.presenters.advice.turns import TURNS_MADE
from kiosk.presenters.quantities import show_quantity
from kiosk.presenters.splice_model import plan_details, properties_after
from kiosk.service_sheet import JobSpec

_LEFT_AS_IT_WAS = 0.035
_ONE_STROKE_MORE = 1 / 700
_TYPED_ON_THE_WRONG_PART = 1 / 1000
_FLATS_PER_TURN = 6
_TRIES = 200
# What one flat of the upper roller's left take-up moves the belt away from the left side. [mm]
_STEER_MM_PER_FLAT = 1.1
# The bottom follows the top by this share, until the lower roller's end is moved.
_BOTTOM_FOLLOWS, _BOTTOM_MOST_MM = 0.25, 3.0
_LEAD = next(hand.id for hand in CREW if hand.role == "lead")
_SCANS = (ScanSource.SCANNER,) * 17 + (ScanSource.CAMERA, ScanSource.CAMERA, ScanSource.KEYPAD)
_EXCUSES = ("No time before the shift; tomorrow.", "Thread seized; soaking in oil.", "Part is on order.",
            "Rain; the take-up waits.")


@dataclass(frozen=True)
class Moment:
    """When, where and by whom work is done. `hours`: the unit's hour meter. [h]"""

    at: datetime
    day: date
    hours: float
    hand: Hand


class Works:
    """Turns jobs into events. All chance comes from the machine's own stream."""

    def __init__(self, pen: Pen, chance: random.Random) -> None:
        self._pen, self._chance = pen, chance

    def do(self, part: FittedPart, job: JobSpec, now: Moment) -> list[Event]:
        """Return the events of one job done."""
        found = [self._read(part, job, key, side, Phase.AS_FOUND, now)
                 for key in job.readings for side in part.sheet.reading(key).sides]
        left, advice, details = self._set_right(part, job, found, now)
        record = self._record(part, job, now, tuple(found + left), worst(left or found), details, advice)
        part.done[job.key] = Done(now.day, now.hours)
        events = [Event(record.id, now.at, now.hand.id, self._job_done(part, record, now))]
        return events + self._second_thoughts(record, now)

    def splice(self, part: FittedPart, job: JobSpec, now: Moment) -> list[Event]:
        """Return the event of a bad length cut out of a belt by the planner's best plan."""
        if job.computation is None:
            raise ValueError(f"the sheet '{part.sheet.key}' does not say how a splice is planned")
        parameters = effective_parameters(job.computation, part.component)
        loop = recorded_loop(parameters, part.component)
        damage, plan = self._bad_length(parameters, part)
        changes = properties_after(loop, plan, part.component.properties)
        details = {"splice": plan_details(plan, damage),
                   "bolts_tightened": list(centre_out_order(int(parameters["joint_bolts"]))),
                   "bolt_order": "from the centre outward"}
        record = self._record(part, job, now, (), None, details)
        part.component.properties.update(changes)
        return [Event(record.id, now.at, now.hand.id, JobDone(record, new_properties=changes))]

    def _bad_length(self, parameters: dict[str, Any], part: FittedPart) -> tuple[tuple[float, float], SplicePlan]:
        """Return a bad length that the belt outlives, and the best plan that keeps its old splices."""
        known = part.component.properties
        belt_mm, splices = float(known["belt_length_mm"]), len(known["splices_mm"])
        for _ in range(_TRIES):
            start = float(round(self._chance.uniform(0.15, 0.85) * belt_mm))
            damage = (start, start + self._chance.randrange(60, 160, 10))
            for plan in splice_plans(parameters, part.component, *damage).feasible:
                if plan.kind != REPLACE and plan.splices_after > splices:
                    return damage, plan
        raise ValueError(f"no bad length of {part.component.id} can be spliced by the sheet's settings")

    def replacement_record(self, part: FittedPart, now: Moment, reason: str, new: Component, read_back: str
                           ) -> ServiceRecord:
        """Return the record of a part that is changed for a new one."""
        details = {"reason": reason, "old_label": part.component.label, "new_label": new.label,
                   "new_component_id": new.id, "new_description": new.description, "new_serial": "",
                   "read_back": read_back}
        return self._record(part, part.sheet.job("replace"), now, (), None, details)

    # --- readings ---

    def _read(self, part: FittedPart, job: JobSpec, key: str, side: Side, phase: Phase, now: Moment) -> Reading:
        value = part.true_value(key, side, now.hours, self._chance)
        return reading(part.sheet.reading(key), side, phase, value, now.hand.units)

    def _set_right(self, part: FittedPart, job: JobSpec, found: list[Reading], now: Moment
                   ) -> tuple[list[Reading], tuple[str, ...], dict[str, Any]]:
        """Adjust what was found out of limits; return the readings as left, the advice, and what was turned."""
        if job.type is not JobType.ADJUST or worst(found) in (None, Verdict.WITHIN):
            return [], (), {}
        lines, details = self._advice(part, job, found, now)
        if self._chance.random() < _LEFT_AS_IT_WAS:
            return [], lines, {}
        if TURNS_MADE not in details:
            self._set_to_new(part, job, now)
        left = [self._read(part, job, one.quantity, one.side, Phase.AS_LEFT, now) for one in found]
        return left, lines, details

    def _advice(self, part: FittedPart, job: JobSpec, found: list[Reading], now: Moment
                ) -> tuple[tuple[str, ...], dict[str, Any]]:
        """Return what was advised; for a belt that runs to one side, with the turn that was made."""
        if job.computation is None:
            return (), {}
        if job.computation.name == "belt tracking":
            turned = self._turn_for_track(part, now)
            settle = int(job.computation.parameters["settle_revolutions"])
            return (tracking_words(turned, settle), {TURNS_MADE: turned}) if turned else ((), {})
        lines, numbers = advised(part.sheet, job, part.component, found, now.hand.units)
        return lines, {"advice": numbers} if numbers else {}

    def _set_to_new(self, part: FittedPart, job: JobSpec, now: Moment) -> None:
        for (key, _), level in part.levels.items():
            if key in job.readings and level.drift.is_set:
                level.set_to(level.drift.new + self._chance.gauss(0.0, level.drift.setting), now.hours)

    def _turn_for_track(self, part: FittedPart, now: Moment) -> dict[str, int]:
        """Raise the take-up of the side that the belt runs to; return the flats turned, {} if there were none."""
        top = part.levels["belt-edge-top", Side.LEFT]
        away_mm = top.at(now.hours) - top.drift.new
        flats = min(round(abs(away_mm) / _STEER_MM_PER_FLAT), 2 * _FLATS_PER_TURN)
        if flats == 0:
            return {}
        moved_mm = math.copysign(flats * _STEER_MM_PER_FLAT, -away_mm)
        top.set_to(top.at(now.hours) + moved_mm, now.hours)
        bottom = part.levels["belt-edge-bottom", Side.LEFT]
        followed_mm = bottom.at(now.hours) + _BOTTOM_FOLLOWS * moved_mm - bottom.drift.new
        kept_mm = max(min(followed_mm, _BOTTOM_MOST_MM), -_BOTTOM_MOST_MM)
        bottom.set_to(bottom.drift.new + kept_mm, now.hours)
        side = Side.RIGHT if away_mm > 0 else Side.LEFT
        return {Side.LEFT.value: 0, Side.RIGHT.value: 0, side.value: flats}

    # --- records ---

    def _record(self, part: FittedPart, job: JobSpec, now: Moment, readings: tuple[Reading, ...],
                verdict: Verdict | None, details: dict[str, Any], advice: tuple[str, ...] = ()) -> ServiceRecord:
        strokes = job.grease.strokes if job.grease else None
        override = ""
        if strokes and self._chance.random() < _ONE_STROKE_MORE:
            strokes, override = strokes + 2, "Squealed on the road; two more, then watched for heat."
        component = part.component
        return ServiceRecord(
            id=self._pen.new_id(now.at), component_id=component.id, position_id=component.position_id,
            unit_id=component.unit_id, sheet=part.sheet.key, sheet_revision=part.sheet.revision, job=job.key,
            job_type=job.type, at=now.at, hours=now.hours, person_id=now.hand.id, readings=readings, verdict=verdict,
            strokes=strokes, grease=job.grease.grease if job.grease else "", advice=advice, cautions=job.cautions,
            override_reason=override, details=details, scan_source=self._chance.choice(_SCANS),
        )

    def _job_done(self, part: FittedPart, record: ServiceRecord, now: Moment) -> JobDone:
        """Return the job with the finding it opens, or those it closes."""
        bad = [one for one in record.readings if one.verdict is Verdict.OUTSIDE and one.phase is _last_phase(record)]
        if not bad:
            closed = part.findings.pop(record.job, None)
            return JobDone(record, findings_closed=(closed,) if closed else ())
        self._plan_change(part, bad, now)
        if record.job in part.findings:
            return JobDone(record)
        finding = self._finding(part, record, bad[0], now)
        part.findings[record.job] = finding.id
        return JobDone(record, (finding,))

    def _plan_change(self, part: FittedPart, bad: list[Reading], now: Moment) -> None:
        """Wear that no adjustment restores is answered by a new part within days."""
        worn = any(not part.levels[one.quantity, one.side].drift.is_set for one in bad)
        if worn and part.worn_on is None and any(job.type is JobType.REPLACE for job in part.sheet.jobs):
            part.worn_on = now.day + timedelta(days=self._chance.randint(1, 6))

    def _finding(self, part: FittedPart, record: ServiceRecord, bad: Reading, now: Moment) -> Finding:
        spec = part.sheet.reading(bad.quantity)
        side = "" if bad.side is Side.BOTH else f", {bad.side}"
        excuse = f" {self._chance.choice(_EXCUSES)}" if record.job_type is JobType.ADJUST else ""
        shown = show_quantity(bad.value, bad.unit, now.hand.units)
        text = f"{spec.title}{side}: {shown} is outside its limits.{excuse}"
        return Finding(self._pen.new_id(now.at), record.unit_id, record.position_id, record.component_id, text, now.at,
                       now.hand.id, record.id)

    def _second_thoughts(self, record: ServiceRecord, now: Moment) -> list[Event]:
        """Now and then the lead annuls a record that was typed on the wrong part."""
        if not record.readings or self._chance.random() > _TYPED_ON_THE_WRONG_PART:
            return []
        reason = "Typed on the wrong part; measured again there."
        return [self._pen.event(now.at + timedelta(minutes=25), _LEAD, RecordCorrected(record.id, reason, None))]


def _last_phase(record: ServiceRecord) -> Phase:
    return record.readings[-1].phase
