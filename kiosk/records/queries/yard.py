"""The yard, its crew, machines and places, and the service sheets that were in force."""

from __future__ import annotations

import re
from datetime import datetime
from typing import Any

from peewee import fn

from kiosk.entities import Assembly, Person, Position, Role, Side, Unit
from kiosk.records.instants import from_utc_text
from kiosk.records.models import AssemblyRow, PersonRow, PositionRow, SheetTextRow, UnitRow, YardRow
from kiosk.records.queries.base import Queries, found

# As the index over these entries has it, so that it is used.
_PIN_SET = ("SELECT 1 FROM journal WHERE kind = 'pin set' AND json_extract(body, '$.person_id') = ? AND kiosk = ? "
            "LIMIT 1")

_LAST_DOUBT = ("SELECT kind, at FROM journal WHERE kiosk = ? AND kind IN ('clock doubted', 'clock trusted') "
               "ORDER BY seq DESC LIMIT 1")
_LAST_ENTRY = "SELECT at FROM journal WHERE kiosk = ? ORDER BY seq DESC LIMIT 1"


class YardQueries(Queries):
    """Questions about what the yard is made of."""

    def yard_name(self) -> str:
        """Return the yard's name, '' while it has none."""
        row = self._store.row(YardRow.select(YardRow.name))
        return "" if row is None else str(row[0])

    def units(self) -> tuple[Unit, ...]:
        """Return the fleet by name, numbers in names counted: Unit 2 before Unit 10."""
        units = (Unit(*row) for row in self._store.rows(UnitRow.select()))
        return tuple(sorted(units, key=lambda unit: (_as_counted(unit.name), unit.id)))

    def unit(self, unit_id: str) -> Unit:
        """Return one machine; NotFound if it is not on record."""
        return Unit(*found(self._store.row(UnitRow.select().where(UnitRow.id == unit_id)), "unit", unit_id))

    def assemblies(self, unit_id: str) -> tuple[Assembly, ...]:
        """Return the assemblies of a unit, by name."""
        query = AssemblyRow.select().where(AssemblyRow.unit_id == unit_id).order_by(AssemblyRow.name, AssemblyRow.id)
        return tuple(Assembly(*row) for row in self._store.rows(query))

    def positions(self, unit_id: str) -> tuple[Position, ...]:
        """Return the positions of a unit in the order of the walk round it."""
        query = PositionRow.select().where(PositionRow.unit_id == unit_id)
        return tuple(map(_position, self._store.rows(query.order_by(PositionRow.walk_order, PositionRow.id))))

    def position(self, position_id: str) -> Position:
        """Return one position; NotFound if it is not on record."""
        row = self._store.row(PositionRow.select().where(PositionRow.id == position_id))
        return _position(found(row, "position", position_id))

    def people(self) -> tuple[Person, ...]:
        """Return the crew, by name."""
        return tuple(map(_person, self._store.rows(PersonRow.select().order_by(PersonRow.name, PersonRow.id))))

    def person(self, person_id: str) -> Person:
        """Return one of the crew; NotFound if nobody has that id."""
        row = self._store.row(PersonRow.select().where(PersonRow.id == person_id))
        return _person(found(row, "person", person_id))

    def pin_was_set(self, person_id: str) -> bool:
        """Return whether a person was ever given a PIN at this kiosk."""
        found = self._store.sql(_PIN_SET, (person_id, self._kiosk))
        return bool(found)

    def trusted_time(self) -> datetime | None:
        """Return the time of this kiosk's last entry, the one before a doubt that still holds; None without."""
        doubts = self._store.sql(_LAST_DOUBT, (self._kiosk,))
        if doubts and doubts[0][0] == "clock doubted":
            return from_utc_text(doubts[0][1])
        last = self._store.sql(_LAST_ENTRY, (self._kiosk,))
        return from_utc_text(last[0][0]) if last else None

    def sheet_revisions(self, sheet: str) -> tuple[int, ...]:
        """Return the revisions of a service sheet that were ever in force, oldest first."""
        query = SheetTextRow.select(SheetTextRow.revision).where(SheetTextRow.sheet == sheet)
        return tuple(revision for (revision,) in self._store.rows(query.order_by(SheetTextRow.revision)))

    def adopted_sheets(self) -> dict[str, int]:
        """Return {service sheet: its newest revision that was ever in force}."""
        query = SheetTextRow.select(SheetTextRow.sheet, fn.MAX(SheetTextRow.revision)).group_by(SheetTextRow.sheet)
        return {sheet: int(revision) for sheet, revision in self._store.rows(query)}

    def sheet_text(self, sheet: str, revision: int) -> str:
        """Return a sheet's TOML text of one revision; NotFound if it was never in force."""
        query = SheetTextRow.select(SheetTextRow.text).where(
            (SheetTextRow.sheet == sheet) & (SheetTextRow.revision == revision))
        return str(found(self._store.row(query), "service sheet", f"{sheet}, revision {revision}")[0])


def _person(row: Any) -> Person:
    person_id, name, role, *others = row
    return Person(person_id, name, Role(role), *others)


def _position(row: Any) -> Position:
    position_id, unit_id, assembly_id, name, sheet, side, *where = row
    return Position(position_id, unit_id, assembly_id, name, sheet, Side(side), *where)


def _as_counted(name: str) -> list[tuple[int, str]]:
    """Return a name as one sorts it by eye: digits that stand together as one number."""
    return [(int(piece), "") if piece.isdecimal() else (0, piece.casefold()) for piece in re.split(r"(\d+)", name)]
