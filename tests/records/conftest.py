"""A small invented yard on a real database, and the events that tests put on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from kiosk.entities import (
    Assembly,
    Component,
    Finding,
    JobType,
    Label,
    LabelKind,
    Person,
    Phase,
    Position,
    Reading,
    Role,
    ServiceRecord,
    Side,
    Unit,
    Verdict,
)
from kiosk.events import (
    ComponentInstalled,
    ComponentReplaced,
    Event,
    JobDone,
    LabelIssued,
    Payload,
    PersonAdded,
    UnitAdded,
    YardNamed,
)
from kiosk.records import YardRecords
from kiosk.records.ids import new_id

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


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Callable[..., YardRecords]]:
    """Open records at a path of the test's folder; all are closed at the end."""
    made: list[YardRecords] = []

    def open_at(name: str = "yard.db", kiosk: int = 7, **more: Any) -> YardRecords:
        made.append(YardRecords.open(tmp_path / name, kiosk, **more))
        return made[-1]

    yield open_at
    for records in made:
        records.close()


@pytest.fixture
def empty(opened: Callable[..., YardRecords]) -> YardRecords:
    """Return records with nothing in them."""
    return opened()


@pytest.fixture
def yard(empty: YardRecords) -> YardRecords:
    """Return records that hold the small yard."""
    empty.append_all(yard_events())
    return empty
