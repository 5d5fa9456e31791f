"""People of the crew: added with a badge number, changed, given another badge, retired. One supervisor always stays."""

from __future__ import annotations

from collections.abc import Iterable

from kiosk.entities import LabelKind, Person, Role
from kiosk.errors import RecordError
from kiosk.events import Event, LabelRetired, PersonAdded
from kiosk.language import tr
from kiosk.presenters.ports import Records
from kiosk.set_up.naming import id_for
from kiosk.set_up.new_units import issued
from kiosk.set_up.numbers import NumberSource
from kiosk.set_up.pen import Pen


def is_active(records: Records, person: Person) -> bool:
    """Return whether a person's badge still counts."""
    label = records.label(person.badge)
    return label is not None and label.retired_at is None


def new_person(records: Records, name: str, role: Role, like: tuple[str, str], numbers: NumberSource, pen: Pen
               ) -> tuple[Person, list[Event]]:
    """Return a new person with the events that put them on record. `like`: units and language."""
    name = name.strip()
    if not name:
        raise RecordError(tr("The person's name is missing."))
    if any(person.name == name and is_active(records, person) for person in records.people()):
        said = tr("{name} is of the crew already. Add something that tells the two apart.")
        raise RecordError(said.format(name=name))
    badge, serial = numbers.take(LabelKind.BADGE)
    person = Person(id_for(name, {person.id for person in records.people()}, "crew-"), name, role, badge, *like)
    return person, [issued(badge, LabelKind.BADGE, serial, pen), pen.event(PersonAdded(person))]


def changed_person(records: Records, person: Person, pen: Pen) -> list[Event]:
    """Return what changes a person."""
    if person.role is not Role.SUPERVISOR:
        _demand_another_supervisor(records, person.id)
    return [pen.event(PersonAdded(person))]


def other_badge(person: Person, reason: str, numbers: NumberSource, pen: Pen) -> tuple[Person, list[Event]]:
    """Return a person with another badge, and the events that make it so."""
    badge, serial = numbers.take(LabelKind.BADGE)
    new = Person(person.id, person.name, person.role, badge, person.units, person.language)
    return new, [issued(badge, LabelKind.BADGE, serial, pen), pen.event(PersonAdded(new)),
                 pen.event(LabelRetired(person.badge, reason))]


def retired(records: Records, person: Person, reason: str, pen: Pen) -> list[Event]:
    """Return what retires a person's badge."""
    _demand_another_supervisor(records, person.id)
    return [pen.event(LabelRetired(person.badge, reason))]


def _demand_another_supervisor(records: Records, person_id: str) -> None:
    others: Iterable[Person] = (person for person in records.people() if person.id != person_id)
    if not any(person.role is Role.SUPERVISOR and is_active(records, person) for person in others):
        raise RecordError(tr("This is the only supervisor. Make somebody else one first."))
