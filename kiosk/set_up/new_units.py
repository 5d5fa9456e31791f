"""A unit from a template, as it is put on record: its places, the parts that sit there, a label number for each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from kiosk.entities import Assembly, Component, Label, LabelKind, Position, Unit
from kiosk.events import ComponentInstalled, Event, HoursRead, LabelIssued, UnitAdded
from kiosk.presenters.set_up_ports import TemplatePlace, UnitTemplate
from kiosk.set_up.naming import id_for
from kiosk.set_up.numbers import NumberSource
from kiosk.set_up.pen import Pen


@dataclass(frozen=True)
class NewUnit:
    """A unit that is to come. `hours`: what its meter says now. [h]"""

    id: str
    name: str
    description: str
    hours: float
    label: str = ""


def unit_events(new: NewUnit, template: UnitTemplate, numbers: NumberSource, pen: Pen) -> Iterator[Event]:
    """Yield what puts a unit with its parts on record; a unit without a label number is given one."""
    label = new.label
    if not label:
        label, serial = numbers.take(LabelKind.UNIT)
        yield issued(label, LabelKind.UNIT, serial, pen)
    unit = Unit(new.id, new.name, template.design, label, new.description or template.title)
    assembly, positions = places_of(new.id, template)
    yield pen.event(UnitAdded(unit, (assembly,), positions))
    yield pen.event(HoursRead(new.id, new.hours))
    for place, position in zip(template.places, positions, strict=True):
        yield from _part(place, position, new.hours, numbers, pen)


def places_of(unit_id: str, template: UnitTemplate) -> tuple[Assembly, tuple[Position, ...]]:
    """Return the assembly and the positions of a template on a unit."""
    assembly = Assembly(f"{unit_id}-main", unit_id, template.assembly, template.design)
    positions: list[Position] = []
    taken: set[str] = set()
    for order, place in enumerate(template.places, start=1):
        position_id = id_for(place.name, taken, f"{unit_id}-")
        taken.add(position_id)
        positions.append(Position(position_id, unit_id, assembly.id, place.name, place.sheet, place.side, place.x,
                                  place.y, order))
    return assembly, tuple(positions)


def issued(number: str, kind: LabelKind, serial: int, pen: Pen, subject_id: str | None = None) -> Event:
    """Return what puts a label number on record."""
    return pen.event(LabelIssued(Label(number, kind, subject_id, pen.at), serial))


def part_events(position: Position, description: str, properties: dict[str, object], hours: float,
                take: Callable[[LabelKind], tuple[str, int]], pen: Pen) -> Iterator[Event]:
    """Yield what puts a part on record at an empty position, with a label number of its own."""
    label, serial = take(LabelKind.COMPONENT)
    yield issued(label, LabelKind.COMPONENT, serial, pen)
    yield pen.event(ComponentInstalled(Component(
        pen.new_id(), position.sheet, position.id, position.unit_id, description, label, pen.at, hours,
        properties=properties)))


def _part(place: TemplatePlace, position: Position, hours: float, numbers: NumberSource, pen: Pen) -> Iterator[Event]:
    return part_events(position, place.part, dict(place.properties), hours, numbers.take, pen)
