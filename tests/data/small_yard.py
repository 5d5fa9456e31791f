"""A small invented yard as events, and the events that tests put on it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

from kiosk.entities import (
    Assembly,
    Component,
    Finding,
    JobType,
    Label,
    LabelKind,
    LabelSighting,
    Person,
    Phase,
    Photo,
    PhotoOf,
    Position,
    PrintState,
    Reading,
    Role,
    ScanSource,
    ServiceRecord,
    Side,
    Unit,
    Verdict,
)
from kiosk.events import (
    CautionsConfirmed,
    ClockDoubted,
    ClockTrusted,
    ComponentInstalled,
    ComponentReplaced,
    CourseBegun,
    CourseEnded,
    CourseStepped,
    Event,
    FindingClosed,
    FindingOpened,
    HeadsSeen,
    HoursRead,
    JobDone,
    JobScheduled,
    LabelFound,
    LabelIssued,
    LabelPrintMoved,
    LabelPrintQueued,
    LabelReplaced,
    LabelRetired,
    LabelSeen,
    LabelsSwapped,
    Payload,
    PersonAdded,
    PersonLocked,
    PersonUnlocked,
    PhotoAdded,
    PinSet,
    PinsPaused,
    RecordCorrected,
    RecordsRestored,
    RoundBegun,
    RoundEnded,
    RoundJobSkipped,
    SeenHead,
    SheetAdopted,
    SignedIn,
    SignedOut,
    UnitAdded,
    UnitHeld,
    UnitReleased,
    WorkClosed,
    WorkHandedOver,
    WorkOpened,
    YardNamed,
)
from kiosk.guided import CourseKind, Outcome, StepKind
from kiosk.records.ids import new_id
from kiosk.work_in_hand import HandOver, RoundJob, WorkKind

START = datetime(2026, 3, 2, 5, 0, tzinfo=UTC)


def at(days: float = 0.0) -> datetime:
    """Return an instant so many days after the yard's first."""
    return START + timedelta(days=days)


def event(payload: Payload, person_id: str | None = None, days: float = 0.0, event_id: str | None = None) -> Event:
    """Return an event with a new id."""
    return Event(event_id or new_id(), at(days), person_id, payload)


def reading(value: float = 88.9, side: Side = Side.LEFT, phase: Phase = Phase.AS_FOUND,
            quantity: str = "strand-sag") -> Reading:
    """Return a reading in millimetres within its limits."""
    return Reading(quantity, side, phase, "3 1/2", value, "mm", 0.2, 76.2, 101.6, "guarded 95 %", "yard sheet 4",
                   Verdict.WITHIN)


def record(days: float = 1.0, **changes: Any) -> ServiceRecord:
    """Return a greasing of the left bearing, with the given fields changed."""
    plain = ServiceRecord(
        id=new_id(), component_id="bearing-left-1", position_id="u1-left", unit_id="u1", sheet="bearing",
        sheet_revision=1, job="grease", job_type=JobType.GREASE, at=at(days), hours=100.0 + 6 * days,
        person_id="mechanic", strokes=2, grease="lithium 2")
    return replace(plain, **changes)


def done(of: ServiceRecord, **more: Any) -> Event:
    """Return the event that saves a record."""
    return Event(of.id, of.at, of.person_id, JobDone(of, **more))


def part(component_id: str, side: str, label: str, days: float = 0.0, **changes: Any) -> Component:
    """Return a bearing for the left or right position of the unit."""
    plain = Component(component_id, "bearing", f"u1-{side}", "u1", f"bearing of the {side} side", label, at(days),
                      100.0 + 6 * days, properties={"bearing": "UC208", "belt_length_mm": 4000.0})
    return replace(plain, **changes)


def label_issued(number: str, serial: int, days: float = 0.0) -> Event:
    """Return the event that takes a label number."""
    return event(LabelIssued(Label(number, LabelKind.COMPONENT, None, at(days)), serial), days=days)


def finding(finding_id: str, component_id: str = "bearing-left-1", position_id: str = "u1-left",
            days: float = 1.0, record_id: str | None = None) -> Finding:
    """Return an open finding on the left bearing."""
    return Finding(finding_id, "u1", position_id, component_id, "seal pushed out", at(days), "mechanic", record_id)


def photo(digit: str = "a") -> Photo:
    """Return a photo whose file nobody has."""
    return Photo(digit * 64, 1600, 1200, 180_000)


def replacement(days: float = 20.0, label: str = "1000000003", new_id_: str = "bearing-left-2",
                old: str = "bearing-left-1", reason: str = "seized") -> Event:
    """Return the event that replaces the left bearing."""
    of = record(days, component_id=old, job="replace", job_type=JobType.REPLACE, strokes=None, grease="")
    new = part(new_id_, "left", label, days)
    return Event(of.id, of.at, of.person_id, ComponentReplaced(old, reason, new, of, "camera"))


def yard_events() -> list[Event]:
    """Return what makes the yard: a crew of three, one unit, two positions with their parts."""
    people = [Person("mechanic", "Ada Okoro", Role.MECHANIC, "3000000001"),
              Person("lead", "Bo Lindqvist", Role.LEAD, "3000000002", "mm"),
              Person("boss", "Cy Marek", Role.SUPERVISOR, "3000000003")]
    unit = Unit("u1", "Sweeper 1", "flight elevator", "2000000001")
    assembly = Assembly("u1-elevator", "u1", "elevator", "flight elevator")
    positions = tuple(
        Position(f"u1-{side}", "u1", "u1-elevator", f"upper shaft bearing, {side}", "bearing", side, 0.2, 0.9, order)
        for order, side in enumerate((Side.RIGHT, Side.LEFT)))
    return [
        event(YardNamed("Quay Yard")),
        *(event(PersonAdded(person)) for person in people),
        event(UnitAdded(unit, (assembly,), positions)),
        label_issued("1000000001", 1), label_issued("1000000002", 2), label_issued("1000000003", 3),
        event(ComponentInstalled(part("bearing-left-1", "left", "1000000001"))),
        event(ComponentInstalled(part("bearing-right-1", "right", "1000000002"))),
    ]


def label_life_events() -> list[Event]:
    """Return what becomes of labels: found loose, seen, printed again, another one, swapped and swapped back."""
    lines = ("Sweeper 1", "upper shaft bearing, right")
    queued = event(LabelPrintQueued("1000000004", lines, 1, "torn off"), days=20.2)
    moves = (PrintState.SENDING, PrintState.SENT, PrintState.PRINTED, PrintState.READ_BACK)
    sighting = LabelSighting(at(20.1), ScanSource.CAMERA, "deskewed", 3, 412.5, 2.5)
    return [
        event(LabelFound("1000000002", "floor of bay 2"), "mechanic", 20.1),
        event(LabelSeen("1000000002", sighting), "mechanic", 20.1),
        label_issued("1000000004", 4, 20.2), queued,
        *(event(LabelPrintMoved(queued.id, state, "", 7), days=20.3) for state in moves),
        event(LabelReplaced("bearing-right-1", "1000000002", "1000000004", "torn off"), "mechanic", 20.4),
        event(LabelsSwapped("bearing-left-2", "bearing-right-1", "stuck on the wrong ones"), "lead", 20.5),
        event(LabelsSwapped("bearing-right-1", "bearing-left-2", "were right after all"), "lead", 20.6),
    ]


def course_begun(person_id: str | None = "mechanic", days: float = 22.0, course_id: str | None = None,
                 component_id: str = "bearing-right-1", job: str = "adjust") -> Event:
    """Return the event that begins an adjustment session on the right bearing."""
    begun = CourseBegun(CourseKind.SESSION, "u1", "u1-right", component_id, job, "bearing", 1)
    return event(begun, person_id, days, course_id)


def course_events() -> list[Event]:
    """Return two adjustment sessions, one within and one left open, and a job put on the due list."""
    one, other = course_begun(), course_begun(days=22.5)
    saved = record(22.4, component_id="bearing-right-1", position_id="u1-right", job="adjust",
                   job_type=JobType.ADJUST, strokes=None, verdict=Verdict.WITHIN, details={"session": [{"flats": 2}]})

    def step(of: Event, kind: StepKind, days: float, *readings: Reading, **details: Any) -> Event:
        return event(CourseStepped(of.id, kind, details, tuple(readings)), "mechanic", days)

    return [
        one, step(one, StepKind.MEASURED, 22.1, reading(70.0), reading(72.0, Side.RIGHT)),
        step(one, StepKind.TURNED, 22.15, left=2, right=2, unit="flats"),
        step(one, StepKind.RUN_BEGAN, 22.2, revolutions=120.0, minutes=9.5),
        step(one, StepKind.RUN_ENDED, 22.3, revolutions=120.0),
        step(one, StepKind.MEASURED, 22.35, reading(88.9)), done(saved),
        event(CourseEnded(one.id, Outcome.WITHIN, "", saved.id), "mechanic", 22.4),
        event(JobScheduled("u1", "bearing-right-1", "adjust", "first tightening of the new joint", 232.0, 8.0, 1),
              "mechanic", 22.41),
        other, step(other, StepKind.RUN_BEGAN, 22.6, revolutions=150.0, minutes=12.0),
    ]


ROUND_JOBS = (RoundJob("u1", "u1-left", "bearing-left-1", "grease"),
              RoundJob("u1", "u1-right", "bearing-right-1", "grease"))


def round_events(days: float = 9.0) -> list[Event]:
    """Return a round of two bearings, taken up by another, one of them left out; and a lock-out noted and lifted."""
    locked = event(WorkOpened("u1", WorkKind.LOCK_OUT, "lock-out noted"), "mechanic", days)
    begun = event(RoundBegun("u1", "Round of Sweeper 1", "2026-03-11 early", ROUND_JOBS), "mechanic", days)
    return [
        locked, begun, done(record(days + 0.1)),
        event(WorkHandedOver(begun.id, "mechanic", False, HandOver.GIVER_ABSENT), "lead", days + 0.2),
        event(RoundJobSkipped(begun.id, "bearing-right-1", "grease", "no access"), "lead", days + 0.3),
        event(RoundEnded(begun.id), "lead", days + 0.4),
        event(WorkHandedOver(locked.id, "mechanic", True, HandOver.BOTH_BADGES), "lead", days + 0.5),
        event(WorkClosed(locked.id, "lock taken off"), "mechanic", days + 0.6),
    ]


def story_events() -> list[Event]:
    """Return events of every kind after the yard was made: work, findings, a splice, a replacement, corrections."""
    greased = record(1)
    adjusted = record(2, job="adjust", job_type=JobType.ADJUST, strokes=None, verdict=Verdict.WITHIN, readings=(
        reading(70.0), reading(72.0, Side.RIGHT), reading(88.9, phase=Phase.AS_LEFT)))
    spliced = record(3, job="splice", job_type=JobType.SPLICE, strokes=None)
    spliced_again = record(4, job="splice", job_type=JobType.SPLICE, strokes=None)
    better = replace(greased, id=new_id(), strokes=3, at=at(1.5))
    return [
        event(SignedIn("2026-03-02 early"), "mechanic"),
        event(CautionsConfirmed("u1", "2026-03-02 early", ("lock out", "hopper empty")), "mechanic"),
        event(SheetAdopted("bearing", 1, "title = 'bearing'"), "boss"),
        event(HoursRead("u1", 104.0), "mechanic", 0.5),
        done(greased),
        done(adjusted, findings_opened=(finding("f1", record_id=adjusted.id),)),
        done(spliced, new_properties={"belt_length_mm": 3800.5, "splices_mm": [0, 1200]}, findings_closed=("f1",)),
        done(spliced_again, new_properties={"belt_length_mm": 3600.0}),
        event(FindingOpened(finding("f2")), "mechanic", 5),
        event(FindingOpened(finding("f3", "bearing-right-1", "u1-right")), "mechanic", 5),
        event(PhotoAdded(PhotoOf.FINDING, "f3", photo()), "mechanic", 5.1),
        event(FindingClosed("f3", "seal is in again"), "lead", 6),
        Event(better.id, at(7), "lead", RecordCorrected(greased.id, "three strokes, not two", better)),
        event(RecordCorrected(spliced_again.id, "not spliced at all", None), "boss", 8),
        *round_events(),
        replacement(20),
        *label_life_events(),
        event(LabelRetired("1000000002", "torn off"), "lead", 21),
        event(UnitHeld("u1", "the chain may jump"), "lead", 21.1),
        event(UnitReleased("u1", "chain shortened"), "boss", 21.2),
        event(UnitHeld("u1", "brake pulls to one side"), "boss", 21.3),
        event(PinSet("lead", "scrypt n=32768 r=8 p=1"), "lead", 21.31),
        event(PersonLocked("lead", at(21.33), 5), None, 21.32),
        event(PersonUnlocked("lead", "the time ran out"), None, 21.34),
        event(PinsPaused(at(21.36), 12), None, 21.35),
        event(RecordsRestored("records-20260301T000000Z.db", 12, 3, 1, 40), "boss", 21.37),
        event(ClockDoubted(at(-8000), at(21.36)), None, 21.36),
        event(ClockTrusted("the clock is right again"), None, 21.37),
        *course_events(),
        event(HeadsSeen({"8": SeenHead(12, "0123456789abcdef")}), None, 22.6),
        event(SignedOut("idle"), "mechanic", 22.7),
    ]
