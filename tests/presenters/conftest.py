"""Fakes that stand in for records, sheets, label desk and reports, and a small yard of our own to try presenters on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from kiosk.entities import (
    Assembly,
    ChainCheck,
    Component,
    Conflict,
    Correction,
    Finding,
    HistoryFilter,
    HistoryScope,
    HoursReading,
    JobType,
    KeptPhoto,
    Label,
    LabelKind,
    LabelMoment,
    LabelPrint,
    LabelSighting,
    LastDone,
    News,
    Person,
    Photo,
    PhotoOf,
    Position,
    Role,
    Scan,
    ScanSource,
    SeriesPoint,
    ServiceRecord,
    Side,
    Unit,
    UnitHold,
)
from kiosk.errors import KioskError, NotFound
from kiosk.events import (
    CautionsConfirmed,
    ComponentReplaced,
    CourseBegun,
    CourseEnded,
    CourseStepped,
    Event,
    FindingClosed,
    FindingOpened,
    HoursRead,
    JobDone,
    JobScheduled,
    JournalEntry,
    LabelReplaced,
    LabelsSwapped,
    PhotoAdded,
    RecordCorrected,
    RoundBegun,
    RoundEnded,
    RoundJobSkipped,
    UnitHeld,
    UnitReleased,
    WorkClosed,
    WorkHandedOver,
    WorkOpened,
)
from kiosk.guided import Course, CourseStep, ScheduledJob
from kiosk.presenters.command_card import COMMANDS
from kiosk.presenters.desk import Desk
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.ports import (
    Failed,
    FileWish,
    HistoryRequest,
    IssuedLabel,
    PinAnswer,
    PrintProgress,
    Progress,
    no_progress,
)
from kiosk.presenters.settings import FloorSettings
from kiosk.service_sheet import (
    CautionSpec,
    ComputationSpec,
    GreaseSpec,
    IntervalSpec,
    JobSpec,
    ReadingSpec,
    RunSpec,
    ServiceSheet,
    SessionSpec,
)
from kiosk.work_in_hand import Hand, Round, RoundStep, StepState, Work, WorkKind
from labels.number import Kind, compose

MORNING = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)  # a Monday, early shift
INCH_MM = 25.4


class FakeClock:
    """A clock that stands until it is moved."""

    def __init__(self, now: datetime = MORNING) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def move(self, **step: float) -> None:
        """Move on by days, hours, minutes or seconds."""
        self.now += timedelta(**step)


@dataclass
class FakeRecords:
    """Records in memory: events go in, and what they mean comes out."""

    unit_list: list[Unit] = field(default_factory=list)
    assembly_list: list[Assembly] = field(default_factory=list)
    position_list: list[Position] = field(default_factory=list)
    person_list: list[Person] = field(default_factory=list)
    components: dict[str, Component] = field(default_factory=dict)
    labels: dict[str, Label] = field(default_factory=dict)
    service_records: list[ServiceRecord] = field(default_factory=list)
    findings: dict[str, Finding] = field(default_factory=dict)
    unit_holds: list[UnitHold] = field(default_factory=list)
    corrected: dict[str, Correction] = field(default_factory=dict)
    hour_readings: dict[str, HoursReading] = field(default_factory=dict)
    confirmed: set[tuple[str, str, str, str]] = field(default_factory=set)
    series_points: dict[tuple[str, str], list[SeriesPoint]] = field(default_factory=dict)
    daily_hours: float | None = 4.0
    events: list[Event] = field(default_factory=list)
    courses: dict[str, Course] = field(default_factory=dict)
    steps: list[CourseStep] = field(default_factory=list)
    scheduled: list[ScheduledJob] = field(default_factory=list)
    refusal: KioskError | None = None
    pins_set: set[str] = field(default_factory=set)
    prints: dict[str, LabelPrint] = field(default_factory=dict)
    sightings: dict[str, tuple[LabelSighting, ...]] = field(default_factory=dict)
    failures: tuple[tuple[LabelSighting, ...], ...] = ()
    conflicts: list[Conflict] = field(default_factory=list)
    works: dict[str, Work] = field(default_factory=dict)
    rounds: dict[str, Round] = field(default_factory=dict)
    kept_photos: list[KeptPhoto] = field(default_factory=list)
    chain_trouble: str = ""

    # --- writing ---

    can_save = True

    def append(self, event: Event) -> JournalEntry:
        if self.refusal is not None:
            raise self.refusal
        self.events.append(event)
        self._apply(event)
        self._apply_to_work(event)
        return JournalEntry(1, len(self.events), event, "", "")

    def append_all(self, events: Sequence[Event]) -> tuple[JournalEntry, ...]:
        return tuple(self.append(event) for event in events)

    def _apply(self, event: Event) -> None:
        payload = event.payload
        if isinstance(payload, HoursRead):
            reading = HoursReading(payload.unit_id, payload.hours, event.at, event.person_id)
            self.hour_readings[payload.unit_id] = reading
        elif isinstance(payload, CautionsConfirmed):
            self.confirmed |= {(payload.unit_id, event.person_id or "", payload.shift, key) for key in payload.cautions}
        elif isinstance(payload, FindingOpened):
            self.findings[payload.finding.id] = payload.finding
        elif isinstance(payload, FindingClosed):
            self.findings[payload.finding_id] = replace(
                self.findings[payload.finding_id], closed_at=event.at, closed_reason=payload.reason)
        elif isinstance(payload, UnitHeld):
            self.unit_holds.append(UnitHold(event.id, payload.unit_id, payload.reason, event.at, event.person_id or ""))
        elif isinstance(payload, UnitReleased):
            self.unit_holds = [hold for hold in self.unit_holds if hold.unit_id != payload.unit_id]
        elif isinstance(payload, PhotoAdded):
            self.kept_photos.append(KeptPhoto(payload.photo, payload.of, payload.subject_id, event.at,
                                              event.person_id))
        elif isinstance(payload, RecordCorrected):
            new = payload.replacement
            self.corrected[payload.record_id] = Correction(
                payload.record_id, event.id, event.at, event.person_id, payload.reason, None if new is None else new.id)
            self.service_records += [] if new is None else [new]
        elif isinstance(payload, JobDone):
            self._apply_job(payload)
        elif isinstance(payload, ComponentReplaced):
            self._apply_replacement(payload)
        elif isinstance(payload, LabelReplaced):
            self._relabel(payload.component_id, payload.new_number)
            self.labels[payload.old_number] = replace(self.labels[payload.old_number], retired_at=event.at)
        elif isinstance(payload, CourseBegun):
            self.courses[event.id] = Course(
                event.id, payload.kind, payload.unit_id, payload.position_id, payload.component_id, payload.job,
                payload.sheet, payload.sheet_revision, event.at, event.person_id or "")
        elif isinstance(payload, CourseStepped):
            self.steps.append(CourseStep(event.id, payload.course_id, payload.kind, event.at, event.person_id,
                                         payload.details, payload.readings))
        elif isinstance(payload, CourseEnded):
            self.courses[payload.course_id] = replace(
                self.courses[payload.course_id], ended_at=event.at, outcome=payload.outcome, reason=payload.reason,
                record_id=payload.record_id)
        elif isinstance(payload, JobScheduled):
            self.scheduled.append(ScheduledJob(event.id, payload.unit_id, payload.component_id, payload.job,
                                               payload.reason, event.at, payload.hours, payload.after_hours,
                                               payload.after_days))
        elif isinstance(payload, LabelsSwapped):
            one, other = payload.component_id, payload.other_component_id
            first, second = self.components[one].label, self.components[other].label
            self._relabel(one, second)
            self._relabel(other, first)

    def _apply_to_work(self, event: Event) -> None:
        payload, by = event.payload, event.person_id or ""
        hands = (Hand(by, event.at),)
        if isinstance(payload, WorkOpened):
            self.works[event.id] = Work(event.id, payload.kind, payload.what, payload.unit_id, payload.component_id,
                                        payload.job, event.at, by, hands)
        elif isinstance(payload, RoundBegun):
            work = Work(event.id, WorkKind.ROUND, payload.what, payload.unit_id, "", "", event.at, by, hands)
            self.works[event.id] = work
            self.rounds[event.id] = Round(work, payload.shift, tuple(map(RoundStep, payload.jobs)))
        elif isinstance(payload, WorkHandedOver):
            work = self.works[payload.work_id]
            kept = tuple(hand if payload.together or hand.person_id != payload.giver_id
                         else replace(hand, until=event.at) for hand in work.hands)
            taker = Hand(by, event.at, None, payload.giver_id, payload.how, payload.reason)
            self.works[work.id] = replace(work, hands=(*kept, taker))
        elif isinstance(payload, (WorkClosed, RoundEnded)):
            work_id = payload.work_id if isinstance(payload, WorkClosed) else payload.round_id
            work = self.works[work_id]
            self.works[work_id] = replace(work, closed_at=event.at, closed_by=by, closed_reason="closed",
                                          hands=tuple(replace(hand, until=hand.until or event.at)
                                                      for hand in work.hands))
        elif isinstance(payload, RoundJobSkipped):
            self._settle(payload.component_id, payload.job, event, StepState.SKIPPED, reason=payload.reason)
        elif isinstance(payload, JobDone):
            record = payload.record
            self._settle(record.component_id, record.job, event, StepState.DONE, record_id=record.id)

    def _settle(self, component_id: str, job: str, event: Event, state: StepState, **more: str) -> None:
        for key, one in self.rounds.items():
            self.rounds[key] = replace(one, steps=tuple(
                replace(step, state=state, person_id=event.person_id, at=event.at, **more)
                if (step.job.component_id, step.job.job) == (component_id, job) and step.state is not StepState.DONE
                else step for step in one.steps))

    def _relabel(self, component_id: str, number: str) -> None:
        self.components[component_id] = replace(self.components[component_id], label=number)
        self.labels[number] = replace(self.labels[number], subject_id=component_id)

    def _apply_job(self, done: JobDone) -> None:
        self.service_records.append(done.record)
        self.findings |= {finding.id: finding for finding in done.findings_opened}
        for key in done.findings_closed:
            self.findings[key] = replace(self.findings[key], closed_at=done.record.at)
        if done.new_properties:
            old = self.components[done.record.component_id]
            self.components[old.id] = replace(old, properties={**old.properties, **done.new_properties})

    def _apply_replacement(self, done: ComponentReplaced) -> None:
        old, record = self.components[done.old_component_id], done.record
        self.components[old.id] = replace(old, retired_at=record.at, retired_hours=record.hours,
                                          retired_reason=done.reason, replaced_by=done.new_component.id)
        self.labels[old.label] = replace(self.labels[old.label], retired_at=record.at, retired_reason=done.reason)
        new = done.new_component
        self.components[new.id] = new
        self.labels[new.label] = Label(new.label, LabelKind.COMPONENT, new.id, record.at)
        self.service_records.append(record)

    def payloads(self, kind: type) -> list[Any]:
        """Return what was appended of one kind."""
        return [event.payload for event in self.events if isinstance(event.payload, kind)]

    # --- queries ---

    def work(self, work_id: str) -> Work:
        return self.works[work_id]

    def work_in_hand(self, unit_id: str) -> tuple[Work, ...]:
        return tuple(work for work in self.works.values() if work.closed_at is None and work.unit_id == unit_id)

    def round(self, round_id: str) -> Round:
        return replace(self.rounds[round_id], work=self.works[round_id])

    def rounds_between(self, since: datetime, until: datetime) -> tuple[Round, ...]:
        return tuple(map(self.round, self.rounds))

    def open_rounds(self) -> tuple[Round, ...]:
        return tuple(self.round(key) for key in self.rounds if self.works[key].closed_at is None)

    def label_sightings_of_unit(self, unit_id: str, since: datetime) -> Mapping[str, tuple[LabelSighting, ...]]:
        return {one.id: self.sightings.get(one.label, ()) for one in self.components.values() if one.unit_id == unit_id}

    def sightings_before_failures(self, reasons: Sequence[str]) -> tuple[tuple[LabelSighting, ...], ...]:
        return self.failures

    def last_label_print(self, number: str) -> LabelPrint | None:
        return self.prints.get(number)

    def head(self) -> str:
        return str((len(self.events), len(self.service_records), len(self.findings), self.daily_hours))

    def news(self, since: int) -> News:
        return News(since + 1, None)

    def hold_of(self, unit_id: str) -> UnitHold | None:
        return next((hold for hold in self.unit_holds if hold.unit_id == unit_id and hold.released_at is None), None)

    def holds(self) -> tuple[UnitHold, ...]:
        return tuple(hold for hold in self.unit_holds if hold.released_at is None)

    def finding(self, finding_id: str) -> Finding:
        return self.findings[finding_id]

    def corrections(self, record_ids: Iterable[str]) -> Mapping[str, Correction]:
        return {key: self.corrected[key] for key in record_ids if key in self.corrected}

    def correction_that_made(self, record_id: str) -> Correction | None:
        return next((one for one in self.corrected.values() if one.event_id == record_id), None)

    def yard_name(self) -> str:
        return "Harbour yard"

    def units(self) -> tuple[Unit, ...]:
        return tuple(self.unit_list)

    def unit(self, unit_id: str) -> Unit:
        return _one(self.unit_list, unit_id)

    def assemblies(self, unit_id: str) -> tuple[Assembly, ...]:
        return tuple(one for one in self.assembly_list if one.unit_id == unit_id)

    def positions(self, unit_id: str) -> tuple[Position, ...]:
        return tuple(one for one in self.position_list if one.unit_id == unit_id)

    def position(self, position_id: str) -> Position:
        return _one(self.position_list, position_id)

    def people(self) -> tuple[Person, ...]:
        return tuple(self.person_list)

    def person(self, person_id: str) -> Person:
        return _one(self.person_list, person_id)

    def pin_was_set(self, person_id: str) -> bool:
        return person_id in self.pins_set

    def label(self, number: str) -> Label | None:
        return self.labels.get(number)

    def issued_numbers(self) -> tuple[str, ...]:
        return tuple(self.labels)

    def next_serial(self) -> int:
        return 1000 + len(self.labels)

    def component(self, component_id: str) -> Component:
        return _one(self.components.values(), component_id)

    def component_at(self, position_id: str) -> Component | None:
        return next((one for one in self.components.values()
                     if one.position_id == position_id and one.retired_at is None), None)

    def components_of_unit(self, unit_id: str) -> tuple[Component, ...]:
        return tuple(one for one in self.components.values() if one.unit_id == unit_id and one.retired_at is None)

    def components_at(self, position_id: str) -> tuple[Component, ...]:
        return tuple(reversed([one for one in self.components.values() if one.position_id == position_id]))

    def record(self, record_id: str) -> ServiceRecord:
        return _one(self.service_records, record_id)

    def component_history(self, component_id: str, filter: HistoryFilter | None = None,
                          before: tuple[datetime, str] | None = None, limit: int = 50) -> tuple[ServiceRecord, ...]:
        return self._history([one for one in self.service_records if one.component_id == component_id], filter, before,
                             limit)

    def position_history(self, position_id: str, filter: HistoryFilter | None = None,
                         before: tuple[datetime, str] | None = None, limit: int = 50) -> tuple[ServiceRecord, ...]:
        return self._history([one for one in self.service_records if one.position_id == position_id], filter, before,
                             limit)

    def _history(self, records: list[ServiceRecord], filter: HistoryFilter | None,
                 before: tuple[datetime, str] | None, limit: int) -> tuple[ServiceRecord, ...]:
        if filter is not None:
            records = [one for one in records if _is_wanted(one, filter)]
        if before is not None:
            records = [one for one in records if (one.at, one.id) < before]
        return tuple(sorted(records, key=lambda one: (one.at, one.id), reverse=True)[:limit])

    def history_page(self, scope: HistoryScope, subject_id: str, filter: HistoryFilter | None = None,
                     before: tuple[datetime, str] | None = None, limit: int = 50) -> tuple[ServiceRecord, ...]:
        column = {HistoryScope.PART: "component_id", HistoryScope.POSITION: "position_id",
                  HistoryScope.UNIT: "unit_id", HistoryScope.PERSON: "person_id"}[scope]
        return self._history([one for one in self.service_records if getattr(one, column) == subject_id], filter,
                             before, limit)

    def chain_check(self, event_id: str) -> ChainCheck:
        return ChainCheck(1, 17, "ab" * 32, "cd" * 32, self.chain_trouble)

    def label_moments(self, number: str) -> tuple[LabelMoment, ...]:
        return (LabelMoment(MORNING, "found loose", "floor of bay 2", "ana"), LabelMoment(MORNING, "issued"))

    def photos_of(self, of: PhotoOf, subject_ids: Iterable[str]) -> tuple[KeptPhoto, ...]:
        wanted = set(subject_ids)
        return tuple(kept for kept in self.kept_photos if kept.of is of and kept.subject_id in wanted)

    def last_done(self, unit_id: str) -> Mapping[tuple[str, str], LastDone]:
        done = sorted((one for one in self.service_records if one.unit_id == unit_id), key=lambda one: one.at)
        return {(one.component_id, one.job): LastDone(one.at, one.hours, one.person_id, one.id) for one in done}

    def strokes_since(self, component_id: str, since: datetime) -> tuple[tuple[datetime, int], ...]:
        return tuple((one.at, one.strokes) for one in self.service_records
                     if one.component_id == component_id and one.strokes is not None and one.at >= since)

    def series(self, component_id: str, quantity: str, side: Side | None = None, newest: int | None = None
               ) -> tuple[SeriesPoint, ...]:
        points = self.series_points.get((component_id, quantity), ())
        return tuple(points if newest is None else points[-newest:])

    def open_conflicts(self) -> tuple[Conflict, ...]:
        return tuple(self.conflicts)

    def open_findings(self, *, unit_id: str | None = None,
                      component_id: str | None = None) -> tuple[Finding, ...]:
        return tuple(one for one in self.findings.values() if one.closed_at is None
                     and unit_id in (None, one.unit_id) and component_id in (None, one.component_id))

    def hours(self, unit_id: str) -> HoursReading | None:
        return self.hour_readings.get(unit_id)

    def hours_per_day(self, unit_id: str, today: date, over_days: int = 60) -> float | None:
        return self.daily_hours

    def course(self, course_id: str) -> Course:
        return _one(self.courses.values(), course_id)

    def open_courses(self, unit_id: str | None = None) -> tuple[Course, ...]:
        return tuple(one for one in self.courses.values() if one.ended_at is None and unit_id in (None, one.unit_id))

    def open_course(self, position_id: str, job: str) -> Course | None:
        return next((one for one in self.open_courses() if (one.position_id, one.job) == (position_id, job)), None)

    def course_steps(self, course_id: str) -> tuple[CourseStep, ...]:
        return tuple(step for step in self.steps if step.course_id == course_id)

    def scheduled_jobs(self, unit_id: str) -> tuple[ScheduledJob, ...]:
        done = self.last_done(unit_id)
        return tuple(one for one in self.scheduled if one.unit_id == unit_id
                     and self.components[one.component_id].retired_at is None
                     and ((one.component_id, one.job) not in done or done[one.component_id, one.job].at <= one.at))

    def cautions_confirmed(self, unit_id: str, person_id: str, shift: str) -> frozenset[str]:
        wanted = (unit_id, person_id, shift)
        return frozenset(key for unit, person, at, key in self.confirmed if (unit, person, at) == wanted)


def _is_wanted(one: ServiceRecord, filter: HistoryFilter) -> bool:
    asked = ((filter.job, one.job), (filter.verdict, one.verdict), (filter.person_id, one.person_id))
    return (all(wanted in (None, has) for wanted, has in asked)
            and (filter.since is None or one.at >= filter.since) and (filter.until is None or one.at < filter.until)
            and (filter.hours_from is None or one.hours >= filter.hours_from)
            and (filter.hours_until is None or one.hours < filter.hours_until))


def _one(things: Iterable[Any], wanted: str) -> Any:
    for thing in things:
        if thing.id == wanted:
            return thing
    raise NotFound(f"Nothing is on record as {wanted}.")


@dataclass
class FakeSheets:
    """Sheets in force, by key."""

    known: dict[str, ServiceSheet]

    def sheet(self, key: str) -> ServiceSheet:
        if key not in self.known:
            raise NotFound(f"There is no sheet {key}.")
        return self.known[key]

    def sheets(self) -> tuple[ServiceSheet, ...]:
        return tuple(self.known.values())


@dataclass
class FakeLabelDesk:
    """Issues numbers from a list; `readable` says whether a printed page can be read back."""

    records: FakeRecords
    readable: bool = True
    printed: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)
    print_progress: PrintProgress | None = None
    told: list[tuple[str, ...]] = field(default_factory=list)

    def print_again(self, number: str, lines: Sequence[str], reason: str = "", person_id: str | None = None) -> Path:
        self.told.append(("print", number, reason, person_id or ""))
        return Path(f"/labels/label-{number}.pdf")

    def progress(self, number: str) -> PrintProgress | None:
        return self.print_progress

    def send_again(self, number: str, person_id: str | None, reason: str) -> None:
        self.told.append(("again", number, person_id or "", reason))

    def cancel_print(self, number: str, person_id: str | None, reason: str) -> None:
        self.told.append(("cancel", number, person_id or ""))

    def came_out(self, number: str, person_id: str | None) -> None:
        self.told.append(("came out", number, person_id or ""))

    def was_read(self, number: str, how: str, person_id: str | None) -> None:
        self.told.append(("read", number, how))

    def issue(self, kind: LabelKind, lines: Sequence[str]) -> IssuedLabel:
        number = compose(Kind.COMPONENT, 7, 500 + len(self.printed)).digits
        self.printed.append((number, tuple(lines)))
        self.records.labels[number] = Label(number, kind, None, MORNING)
        return IssuedLabel(number, Path(f"/labels/{number}.pdf"))

    def read_back(self, label: IssuedLabel) -> str | None:
        return label.number if self.readable else None


@dataclass
class FakeReports:
    """Remembers what was asked for."""

    asked: list[HistoryRequest] = field(default_factory=list)

    wishes: list[FileWish] = field(default_factory=list)
    sticks: dict[str, str] = field(default_factory=dict)
    refusal: KioskError | None = None
    charts: list[tuple[SeriesPoint, ...]] = field(default_factory=list)
    page: str = "Letter"

    def places(self) -> dict[str, str]:
        return self.sticks

    def history(self, request: HistoryRequest, wish: FileWish, progress: Progress = no_progress) -> Path:
        if self.refusal is not None:
            raise self.refusal
        progress(0.5)
        self.asked.append(request)
        self.wishes.append(wish)
        return Path(f"/reports/history.{wish.kind}")

    def report(self, kind: str, wish: FileWish, progress: Progress = no_progress) -> Path:
        self.wishes.append(wish)
        return Path(f"/reports/{kind}.{wish.kind}")

    def chart(self, spec: ReadingSpec, points: Sequence[SeriesPoint], in_inches: bool) -> FakeDrawing:
        self.charts.append(tuple(points))
        return FakeDrawing(tuple(points), in_inches)


@dataclass(frozen=True)
class FakeDrawing:
    """What would be drawn."""

    points: tuple[SeriesPoint, ...]
    in_inches: bool

    def png(self, width_px: int, height_px: int, text_px: float = 11.0) -> bytes:
        return b""


@dataclass
class FakePhotos:
    """A camera that takes pictures numbered on; `broken` names photos whose files are not what was taken."""

    has_camera: bool = False
    taken: list[Photo] = field(default_factory=list)
    forgotten: list[str] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)

    def take(self) -> Photo:
        self.taken.append(Photo(f"{len(self.taken) + 1:064x}", 1600, 900, 200_000))
        return self.taken[-1]

    def path(self, sha256: str) -> Path:
        if sha256 in self.broken:
            raise NotFound("The photo's file is not there.")
        return Path(f"/photos/{sha256}.jpg")

    def forget(self, sha256: str) -> None:
        self.forgotten.append(sha256)


@dataclass
class FakePins:
    """PINs in the open; `waiting` holds answers back until `answer` lets them go."""

    kept: dict[str, str] = field(default_factory=dict)
    next_answer: PinAnswer | None = None
    holds_back: bool = False
    waiting: list[Callable[[], None]] = field(default_factory=list)
    failure: Exception | None = None
    locked: dict[str, datetime] = field(default_factory=dict)

    def locks(self) -> dict[str, datetime | None]:
        return {person_id: self.locked.get(person_id) for person_id in (*self.kept, *self.locked)}

    def unlock(self, person_id: str) -> None:
        self.locked.pop(person_id, None)

    def is_set(self, person_id: str) -> bool:
        return person_id in self.kept

    def wait_s(self, person_id: str) -> float:
        return 0.0

    def check(self, person_id: str, pin: str, done: Callable[[PinAnswer], None], failed: Failed) -> None:
        right = self.kept[person_id] == pin
        self._answer(lambda: done(self.next_answer or PinAnswer(right, 0.0 if right else 1.0, tries_left=4)), failed)

    def choose(self, person_id: str, pin: str, done: Callable[[str], None], failed: Failed) -> None:
        self.kept[person_id] = pin
        self._answer(lambda: done("in the open"), failed)

    def _answer(self, answer: Callable[[], None], failed: Failed) -> None:
        failure = self.failure
        self.waiting.append(answer if failure is None else lambda: failed(failure))
        if not self.holds_back:
            self.waiting.pop()()


# --- the yard ---

LOCK_OUT = CautionSpec("locked-out", "DANGER", "A shaft that starts takes the hand that is in it.", "Lock out and try.")
HOPPER = CautionSpec("raised-hopper", "DANGER", "A hopper that comes down crushes.", "Set both supports.")
GREASE_CARD = CautionSpec("too-much-grease", "NOTICE", "Too much grease lifts the seal.", "Hand gun only.")
SUPERVISED = "our yard's instruction 1"


def bearing_sheet() -> ServiceSheet:
    """A bearing: greased daily, looked at, replaced."""
    return ServiceSheet(
        key="bearing", title="Shaft bearing", revision=3, source=SUPERVISED,
        cautions=(LOCK_OUT, HOPPER, GREASE_CARD),
        readings=(ReadingSpec("temperature", "Housing temperature", "degC", (Side.BOTH,), None, 65.0, 1.0,
                              "surface thermometer", SUPERVISED),),
        jobs=(
            JobSpec("grease", "Grease", JobType.GREASE, ("locked-out", "raised-hopper", "too-much-grease"),
                    interval=IntervalSpec(None, 1, SUPERVISED),
                    grease=GreaseSpec(2, 4, 62, "EP 2", "lithium", 1.28),
                    computation=ComputationSpec("bearing grease", {"bearing": "UC208", "temperature_celsius": 45,
                                                                   "environment": "dust+wet"}), quick=True),
            JobSpec("wash", "Wash out", JobType.CLEAN, ("locked-out",), steps=("Hose it down.", "Look inside."),
                    interval=IntervalSpec(None, 7, SUPERVISED), quick=True),
            JobSpec("inspect", "Look and feel", JobType.INSPECT, ("locked-out",), ("temperature",),
                    ("Read the temperature first.", "Turn it by hand."), IntervalSpec(200, 60, SUPERVISED)),
            JobSpec("replace", "Change the bearing", JobType.REPLACE, ("locked-out", "raised-hopper")),
        ),
    )


def chain_sheet() -> ServiceSheet:
    """A pair of chains: sag set by take-ups, 3 to 4 in (common practice, no source)."""
    return ServiceSheet(
        key="chain", title="Flight chains", revision=1, source=SUPERVISED, cautions=(LOCK_OUT,),
        readings=(ReadingSpec("strand-sag", "Upper strand sag", "mm", (Side.LEFT, Side.RIGHT), 3 * INCH_MM, 4 * INCH_MM,
                              INCH_MM / 16, "tape, 1/16 in", "common practice, no source",
                              largest_difference=INCH_MM / 2),),
        jobs=(JobSpec("sag", "Set the sag", JobType.ADJUST, ("locked-out",), ("strand-sag",),
                      interval=IntervalSpec(50, None, SUPERVISED),
                      computation=ComputationSpec("take-up for sag", {
                          "span_mm": 1800.0, "sag_wanted_mm": 3.5 * INCH_MM, "takeup_thread_pitch_mm": 2.5}),
                      session=SessionSpec("take-up", "out", "in")),),
    )


def belt_sheet() -> ServiceSheet:
    """A cleated belt: tracked and spliced."""
    return ServiceSheet(
        key="belt", title="Cleated belt", revision=1, source=SUPERVISED, cautions=(LOCK_OUT,),
        readings=(
            ReadingSpec("belt-edge-top", "Belt edge, top", "mm", (Side.BOTH,), 2.0, INCH_MM / 2, 1.0, "rule",
                        "common practice, no source"),
            ReadingSpec("belt-edge-bottom", "Belt edge, bottom", "mm", (Side.BOTH,), 2.0, None, 1.0, "rule",
                        SUPERVISED),
        ),
        jobs=(
            JobSpec("track", "Track the belt", JobType.ADJUST, ("locked-out",), ("belt-edge-top", "belt-edge-bottom"),
                    computation=ComputationSpec("belt tracking", {
                        "bearing_spacing_mm": 900, "roller_diameter_mm": 200, "takeup_thread_pitch_mm": 2.0,
                        "belt_length_mm": 6000, "drive_roller_diameter_mm": 200, "engine_rpm": 1500,
                        "engine_to_roller_ratio": 15.7, "settle_revolutions": 150}),
                    session=SessionSpec("take-up", "up", "down"),
                    run=RunSpec(150, 6000.0, 628.3185, 95.5, SUPERVISED)),
            JobSpec("splice", "Cut out and splice", JobType.SPLICE, ("locked-out",),
                    computation=ComputationSpec("splice plan", {
                        "cleat_pitch_mm": 250, "takeup_travel_in_mm": 200, "takeup_travel_out_mm": 60,
                        "joint_bolts": 7, "min_splice_spacing_mm": 600, "bolt_torque_newton_metre": 11})),
            JobSpec("replace", "Change the belt", JobType.REPLACE, ("locked-out",)),
        ),
    )


@dataclass
class Yard:
    """A yard with one unit, its crew and a desk that shows into `states`."""

    records: FakeRecords
    sheets: FakeSheets
    labels: FakeLabelDesk
    reports: FakeReports
    clock: FakeClock
    sounds: list[str]
    states: list[Any] = field(default_factory=list)
    presenters: list[Any] = field(default_factory=list)
    pin_for: str = "nobody"
    pins: FakePins = field(default_factory=lambda: FakePins())
    photos: FakePhotos = field(default_factory=lambda: FakePhotos())

    def __post_init__(self) -> None:
        ids = count(1)
        helpers = Helpers(self.records, self.sheets, self.labels, self.reports, self.clock,
                          lambda: f"id-{next(ids):04d}", FloorSettings(pin_for=self.pin_for),
                          self.sounds.append, self.pins, photos=self.photos)
        self.desk = Desk(helpers, self._show)
        self.helpers = helpers
        self.desk.start()

    def _show(self, state: Any, presenter: Any) -> None:
        self.states.append(state)
        self.presenters.append(presenter)

    @property
    def state(self) -> Any:
        """The state shown last."""
        return self.states[-1]

    @property
    def screen(self) -> Any:
        """The presenter of the screen shown last."""
        return self.presenters[-1]

    @property
    def message(self) -> Any:
        """The message shown last."""
        return self.state.frame.message

    def scan(self, number: str, source: ScanSource = ScanSource.SCANNER, how: str = "plain") -> Any:
        """Scan a number and return the state shown then."""
        self.desk.scan(Scan(number, source, self.clock(), how))
        return self.state

    def sign_in(self, person_id: str = "ana") -> None:
        """Scan somebody's badge."""
        self.scan(self.records.person(person_id).badge)

    def label_of(self, component_id: str) -> str:
        """Return the label on a part."""
        return self.records.component(component_id).label

    def clear(self, component_id: str, job: str, person_id: str = "ana") -> None:
        """Put on record that cautions and hour meter of a job are done for this shift."""
        component = self.records.component(component_id)
        shift = self.helpers.shift().key
        keys = self.sheets.sheet(component.sheet).job(job).cautions
        self.records.confirmed |= {(component.unit_id, person_id, shift, key) for key in keys}
        self.records.hour_readings[component.unit_id] = HoursReading(component.unit_id, 1240.5, self.clock(), person_id)

    def open_job(self, component_id: str, job: str) -> Any:
        """Sign in, clear the way, scan the part, open a job's form and return its presenter."""
        self.sign_in()
        self.clear(component_id, job)
        self.scan(self.label_of(component_id))
        self.screen.open_job(job)
        return self.screen

    def type(self, text: str) -> None:
        """Type on the form shown, key by key."""
        for key in text:
            self.screen.key(key)


def _label(kind: LabelKind, digit: Kind, serial: int, subject: str) -> Label:
    return Label(compose(digit, 1, serial).digits, kind, subject, MORNING - timedelta(days=400))


def make_records() -> FakeRecords:
    """Return the yard's records before anything is done."""
    badge, lead_badge = compose(Kind.CREW_BADGE, 1, 1).digits, compose(Kind.CREW_BADGE, 1, 2).digits
    records = FakeRecords(
        unit_list=[Unit("u4", "Unit 4", "flight elevator", compose(Kind.UNIT, 1, 10).digits, "sweeper with elevator")],
        assembly_list=[Assembly("a1", "u4", "Elevator", "flight elevator"),
                       Assembly("a2", "u4", "Conveyor", "belt conveyor")],
        position_list=[
            Position("p-bearing", "u4", "a1", "upper shaft bearing, left", "bearing", Side.LEFT, 0.2, 0.9, 1),
            Position("p-chain", "u4", "a1", "flight chains", "chain", Side.BOTH, 0.5, 0.5, 2),
            Position("p-belt", "u4", "a2", "cleated belt", "belt", Side.BOTH, 0.5, 0.4, 3),
            Position("p-empty", "u4", "a2", "scraper", "bearing", Side.BOTH, 0.7, 0.4, 4),
        ],
        person_list=[Person("ana", "Ana", Role.MECHANIC, badge, "in"),
                     Person("bo", "Bo", Role.LEAD, lead_badge, "mm")],
        hour_readings={"u4": HoursReading("u4", 1236.5, MORNING - timedelta(days=1), "ana")},
        service_records=[ServiceRecord("wash-1", "c-bearing", "p-bearing", "u4", "bearing", 3, "wash", JobType.CLEAN,
                                       MORNING - timedelta(days=1), 1236.5, "bo")],
    )
    parts = (("bearing", "Insert bearing UC208", {"bearing": "UC208"}), ("chain", "Pair of flight chains", {}),
             ("belt", "Cleated belt, 24 cleats",
              {"belt_length_mm": 6000.0, "splices_mm": [0.0], "cleat_phase_mm": 125}))
    for serial, (key, description, properties) in enumerate(parts, start=20):
        label = _label(LabelKind.COMPONENT, Kind.COMPONENT, serial, f"c-{key}")
        records.labels[label.number] = label
        records.components[f"c-{key}"] = Component(
            f"c-{key}", key, f"p-{key}", "u4", description, label.number, MORNING - timedelta(days=300), 40.0,
            properties=dict(properties))
    others = (Label(records.unit_list[0].label, LabelKind.UNIT, "u4", MORNING),
              Label(badge, LabelKind.BADGE, "ana", MORNING), Label(lead_badge, LabelKind.BADGE, "bo", MORNING),
              _label(LabelKind.POSITION, Kind.POSITION, 30, "p-bearing"),
              _label(LabelKind.POSITION, Kind.POSITION, 31, "p-empty"),
              *(_label(LabelKind.COMMAND, Kind.COMMAND_CARD, 40 + place, key) for place, key in enumerate(COMMANDS)))
    records.labels |= {label.number: label for label in others}
    return records


@pytest.fixture
def yard() -> Yard:
    """Return a yard with its desk, at 06:30 on a Monday."""
    records = make_records()
    sheets = FakeSheets({sheet.key: sheet for sheet in (bearing_sheet(), chain_sheet(), belt_sheet())})
    return Yard(records, sheets, FakeLabelDesk(records), FakeReports(), FakeClock(), [])
