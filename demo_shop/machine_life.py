"""Three years of one machine: what is due on a day, who does it and how long it takes, which parts fail."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from types import MappingProxyType

from demo_shop.fitted import FittedPart, fit
from demo_shop.parts import new_part
from demo_shop.pen import Pen
from demo_shop.seasons import chance_of_running, hours_run, is_in_season
from demo_shop.wear import EATERS
from demo_shop.works import Moment, Works
from demo_shop.yard import CREW, Hand, Machine, assembly_of, position_id, positions_of, unit_of
from kiosk.entities import Component, Finding, JobType, LabelKind, Position
from kiosk.events import (
    CautionsConfirmed,
    ComponentInstalled,
    ComponentReplaced,
    Event,
    FindingOpened,
    HoursRead,
    UnitAdded,
)
from kiosk.presenters.ports import Sheets
from kiosk.service_sheet import JobSpec

MINUTES = MappingProxyType({
    JobType.GREASE: 0.8, JobType.CLEAN: 2.5, JobType.INSPECT: 1.6, JobType.ADJUST: 5.0, JobType.REPLACE: 40.0,
    JobType.SPLICE: 75.0, JobType.NOTE: 1.0,
})
_SKIPPED_DAILY, _SKIPPED_OTHER, _ROUND_MISSED = 0.012, 0.15, 0.02
# For so many days before the end every sweeper is out and nothing is changed where a finding stands open.
_LAST_DAYS = 3
# Machines whose round on the last day is left to whoever stands at the kiosk.
LEFT_FOR_TODAY = ("unit-01", "unit-06", "unit-11")
# Left undone for so many days before the end: (unit, place, job).
NEGLECTED = {
    ("unit-02", "Flight chains", "sag"): 24,
    ("unit-02", "Take-up, left", "grease"): 26,
    ("unit-03", "Lower shaft bearing, right", "grease"): 3,
    ("unit-04", "Height stops", "set"): 19,
    ("unit-07", "Belt splice", "re-tighten"): 22,
    ("unit-09", "Cleated belt", "track"): 17,
    ("unit-10", "Lower roller", "washout"): 2,
    ("unit-12", "Take-up, right", "grease"): 30,
}
# Findings opened by hand so many days before the end and still open: (unit, place).
OPEN_FINDINGS = {
    ("unit-03", "Lower shaft bearing, right"): (2, "Runs warm; grease shows past the seal."),
    ("unit-05", "Flight 3"): (1, "Rubber torn at the right end, a hand wide."),
    ("unit-07", "Cleated belt"): (4, "Edge frayed 200 mm behind the second splice."),
    ("unit-12", "Feed gate"): (6, "Left rod stiff; wants oil and another look."),
}
# Belts cut and spliced: share of the history's days at which it happens.
SPLICED = {"unit-07": (0.38, 0.71), "unit-09": (0.55,)}


@dataclass(frozen=True)
class Span:
    """First and last day of the history."""

    first: date
    last: date

    def at(self, share: float) -> date:
        """Return the day at a share of the span."""
        return self.first + timedelta(days=int(share * (self.last - self.first).days))

    def days_left(self, day: date) -> int:
        """Return how many days before the last one a day is."""
        return (self.last - day).days


class MachineLife:
    """One machine through the days of the history."""

    def __init__(self, machine: Machine, span: Span, sheets: Sheets, pen: Pen, seed: int) -> None:
        self.machine = machine
        self._span, self._sheets, self._pen = span, sheets, pen
        self._chance = random.Random(f"{seed} {machine.id}")
        self._works = Works(pen, self._chance)
        self._hours = machine.first_hours
        self._parts: dict[str, FittedPart] = {}
        self._splices = [span.at(share) for share in SPLICED.get(machine.id, ())]
        self._neglected = {(position_id(machine, place), job): days
                           for (unit, place, job), days in NEGLECTED.items() if unit == machine.id}
        self._findings = {position_id(machine, place): told
                          for (unit, place), told in OPEN_FINDINGS.items() if unit == machine.id}
        self._told: set[str] = set()

    def set_up(self, at: datetime) -> Iterator[Event]:
        """Yield the events that put the machine and the parts found on it on record."""
        label, issued = self._pen.label(LabelKind.UNIT, at)
        positions = positions_of(self.machine)
        yield issued
        unit = unit_of(self.machine, label)
        yield self._pen.event(at, None, UnitAdded(unit, (assembly_of(self.machine),), positions))
        yield self._pen.event(at, None, HoursRead(self.machine.id, self._hours))
        for position in positions:
            component, issued = self._new_component(position, at)
            yield issued
            yield self._pen.event(at, None, ComponentInstalled(component))
            self._put_on(component, position, self._span.first, self._chance.uniform(0.05, 0.75))

    def day(self, day: date, hand: Hand, start: datetime) -> tuple[list[Event], datetime]:
        """Return the events of one day and when the hand is done; no events on a day off."""
        done = self._round(day, hand, start) if self._is_round(day) else ([], start)
        self._run(day)
        return done

    # --- the day ---

    def _is_round(self, day: date) -> bool:
        """Return whether the machine is looked after today: before going out, on Mondays when it is laid up."""
        if self._span.days_left(day) == 0 and self.machine.id in LEFT_FOR_TODAY:
            return False
        if self._is_out(day):
            return self._span.days_left(day) <= _LAST_DAYS or self._chance.random() > _ROUND_MISSED
        return day.weekday() == 0 and not is_in_season(self.machine, day)

    def _is_out(self, day: date) -> bool:
        if self._span.days_left(day) <= _LAST_DAYS and is_in_season(self.machine, day):
            return True
        return random.Random(f"{self.machine.id} {day} out").random() < chance_of_running(self.machine, day)

    def _run(self, day: date) -> None:
        if self._is_out(day):
            self._hours = round(self._hours + hours_run(self.machine, day, self._chance), 1)
        elif day.weekday() == 0:
            self._hours = round(self._hours + 0.2, 1)

    def _round(self, day: date, hand: Hand, start: datetime) -> tuple[list[Event], datetime]:
        work, failed = self._due(day), self._failed(day)
        keys = dict.fromkeys(key for _, job in work for key in job.cautions)
        events = [
            self._pen.event(start, hand.id, HoursRead(self.machine.id, self._hours)),
            self._pen.event(start + timedelta(seconds=20), hand.id,
                            CautionsConfirmed(self.machine.id, f"{day.isoformat()} early", tuple(keys))),
        ]
        at = start + timedelta(seconds=60)
        for part, job in work:
            at += self._time_for(job)
            events += self._works.do(part, job, Moment(at, day, self._hours, hand))
        for part in failed:
            at += self._time_for(part.sheet.job("replace"))
            events += self._replace(part, Moment(at, day, self._hours, hand))
        for belt in self._to_splice(day):
            at += self._time_for(belt.sheet.job("splice"))
            events += self._works.splice(belt, belt.sheet.job("splice"), Moment(at, day, self._hours, hand))
        at += timedelta(seconds=90)
        events += self._told_by_hand(day, hand, at)
        return events, at

    def _due(self, day: date) -> list[tuple[FittedPart, JobSpec]]:
        """Return what is due and not skipped, in walk order."""
        return [(part, job) for part in self._parts.values() for job in part.sheet.jobs
                if part.is_due(job, day, self._hours) and not self._is_skipped(part, job, day)]

    def _to_splice(self, day: date) -> list[FittedPart]:
        """Return the belt that is to be spliced today, if any."""
        if not self._splices or day < self._splices[0]:
            return []
        del self._splices[0]
        return [part for part in self._parts.values() if part.sheet.key == "cleated-belt"]

    def _is_skipped(self, part: FittedPart, job: JobSpec, day: date) -> bool:
        left = self._span.days_left(day)
        if left < self._neglected.get((part.position.id, job.key), 0):
            return True
        if left <= _LAST_DAYS:
            return False
        daily = job.interval is not None and job.interval.days == 1
        return self._chance.random() < (_SKIPPED_DAILY if daily else _SKIPPED_OTHER)

    def _failed(self, day: date) -> list[FittedPart]:
        if self._span.days_left(day) <= _LAST_DAYS:
            return []
        return [part for part in self._parts.values()
                if (self._hours >= part.fails_at_hours or (part.worn_on is not None and day >= part.worn_on))
                and not self._is_kept(part, day)]

    def _is_kept(self, part: FittedPart, day: date) -> bool:
        """Return whether the part stays on: a finding about it stands open, or it is the belt that is spliced."""
        told = self._findings.get(part.position.id)
        spliced = self.machine.id in SPLICED and part.sheet.key == "cleated-belt"
        return spliced or (told is not None and self._span.days_left(day) <= told[0] + 30)

    def _told_by_hand(self, day: date, hand: Hand, at: datetime) -> list[Event]:
        """Return the findings that somebody types in without a job; each is told once."""
        told = [place for place, (days, _) in self._findings.items()
                if place not in self._told and self._span.days_left(day) <= days]
        self._told.update(told)
        return [
            self._pen.event(at, hand.id, FindingOpened(Finding(
                self._pen.new_id(at), self.machine.id, place, self._parts[place].component.id,
                self._findings[place][1], at, hand.id)))
            for place in told
        ]

    def _time_for(self, job: JobSpec) -> timedelta:
        return timedelta(seconds=round(60 * MINUTES[job.type] * self._chance.uniform(0.7, 1.5)))

    # --- parts ---

    def _replace(self, part: FittedPart, now: Moment) -> list[Event]:
        reason = self._chance.choice(part.sheet.replace_reasons)
        printed = now.at - timedelta(minutes=6)
        component, issued = self._new_component(part.position, printed, now.hand.id)
        component = _fitted_at(component, now)
        read_back = self._chance.choice(("camera", "scanner", "scanner"))
        record = self._works.replacement_record(part, now, reason, component, read_back)
        replaced = ComponentReplaced(part.component.id, reason, component, record, read_back)
        self._put_on(component, part.position, now.day, 0.0)
        self._after_replacing(part.sheet.key)
        return [issued, Event(record.id, now.at, now.hand.id, replaced)]

    def _after_replacing(self, sheet: str) -> None:
        """A new chain or belt lets the take-ups go back to where they began."""
        if sheet not in ("flight-chain", "drag-chain", "cleated-belt"):
            return
        for part in self._parts.values():
            if part.sheet.key == "take-up":
                for level in part.levels.values():
                    level.set_to(level.drift.new + self._chance.gauss(0.0, level.drift.setting), self._hours)

    def _new_component(self, position: Position, at: datetime, person_id: str | None = None) -> tuple[Component, Event]:
        number, issued = self._pen.label(LabelKind.COMPONENT, at, person_id)
        new = new_part(self.machine, position.sheet)
        return Component(self._pen.new_id(at), position.sheet, position.id, self.machine.id, new.description, number,
                         at, self._hours, properties=new.properties), issued

    def _put_on(self, component: Component, position: Position, day: date, used_share: float) -> None:
        times = next((share for (unit, place), share in EATERS.items()
                      if unit == self.machine.id and place == position.name), 1.0)
        self._parts[position.id] = fit(component, position, self._sheets.sheet(position.sheet), day, self._chance,
                                       used_share, times)


def _fitted_at(component: Component, now: Moment) -> Component:
    return Component(component.id, component.sheet, component.position_id, component.unit_id, component.description,
                     component.label, now.at, now.hours, properties=component.properties)


def hands_on(day: date) -> tuple[Hand, ...]:
    """Return who does the rounds on a day: three of the five that are not the supervisor, by rota."""
    rota = [hand for hand in CREW if hand.role != "supervisor"]
    return tuple(rota[(day.toordinal() + turn) % len(rota)] for turn in range(3))
