"""People of a set-up that comes in."""

from __future__ import annotations

from kiosk.entities import LabelKind, Person, Role
from kiosk.events import PersonAdded
from kiosk.language import LANGUAGES, tr
from kiosk.set_up import cells
from kiosk.set_up.intake import Intake
from kiosk.set_up.naming import id_for
from kiosk.set_up.tables import Row


class CrewIntake:
    """Takes the rows of people."""

    def __init__(self, intake: Intake) -> None:
        self._intake = intake
        self._people = {person.id: person for person in intake.yard.records.people()}
        self._seen: set[str] = set()

    def take(self, row: Row) -> None:
        """Take one person: new, changed, or as on record."""
        name = cells.text(row, "name")
        person_id = self._id(row, name)
        old = self._people.get(person_id)
        if person_id in self._seen:
            raise row.refused(tr("{name} is in this table twice").format(name=name))
        self._seen.add(person_id)
        badge, before, after = self._intake.label(row, "badge", LabelKind.BADGE, person_id, old.badge if old else "")
        new = Person(
            person_id, name, Role(cells.choice(row, "role", [role.value for role in Role])), badge,
            cells.choice(row, "units", ("in", "mm"), old.units if old else "in"),
            cells.choice(row, "language", tuple(LANGUAGES), old.language if old else "en"))
        self._people[person_id] = new
        if new == old:
            self._intake.unchanged += 1
            return
        added = self._intake.yard.pen.event(PersonAdded(new))
        self._intake.change(row, _said(old, new), [*before, added, *after])

    def _id(self, row: Row, name: str) -> str:
        given = row.values.get("id", "")
        if given:
            return cells.text(row, "id")[:64]
        same = next((person.id for person in self._people.values() if person.name == name), None)
        return same or id_for(name, self._people, "crew-")


def _said(old: Person | None, new: Person) -> str:
    if old is None:
        return tr("add {name}, {role}").format(name=new.name, role=tr(new.role.value))
    return tr("change {name}: {what}").format(name=old.name, what=differences(old, new))


def differences(old: object, new: object) -> str:
    """Return what is different in words: 'role mechanic → lead; badge …'."""
    fields = old.__dataclass_fields__  # type: ignore[attr-defined]
    pairs = [(name, getattr(old, name), getattr(new, name)) for name in fields]
    return "; ".join(f"{name} {before} → {after}" for name, before, after in pairs if before != after)
