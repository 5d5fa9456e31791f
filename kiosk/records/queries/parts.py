"""Parts and labels."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from peewee import fn

from kiosk.entities import Component, Label, LabelKind
from kiosk.records import codec
from kiosk.records.instants import from_utc_text
from kiosk.records.models import ComponentRow, LabelRow, column_names
from kiosk.records.queries.base import Queries, found

_COMPONENT = ComponentRow.select()
# By hand: a due list asks this for every unit of the yard.
_OF_UNIT = f"""SELECT {", ".join(f"component.{column}" for column in column_names(ComponentRow))}
    FROM component CROSS JOIN position ON position.id = component.position_id
    WHERE component.unit_id = ? AND component.retired_at IS NULL ORDER BY position.walk_order, component.id"""
_LABEL = LabelRow.select(LabelRow.number, LabelRow.kind, LabelRow.subject_id, LabelRow.issued_at,
                         LabelRow.retired_at, LabelRow.retired_reason)
_FIRST_SERIAL = 1
# As the index over these entries has it, so that it is used.
_SAFE_SERIAL = ("SELECT max(json_extract(body, '$.next_serial')) FROM journal WHERE kind = 'records restored' "
                "AND kiosk = ?")


class PartQueries(Queries):
    """Questions about parts and the numbers on them."""

    def component(self, component_id: str) -> Component:
        """Return one part, sitting or retired; NotFound if it is not on record."""
        row = self._store.row(_COMPONENT.where(ComponentRow.id == component_id))
        return _component(found(row, "part", component_id))

    def component_at(self, position_id: str) -> Component | None:
        """Return the part that sits at a position now."""
        row = self._store.row(_COMPONENT.where(_sits() & (ComponentRow.position_id == position_id)))
        return None if row is None else _component(row)

    def components_of_unit(self, unit_id: str) -> tuple[Component, ...]:
        """Return the parts that sit on the unit now, by position's walk order."""
        return tuple(map(_component, self._store.sql(_OF_UNIT, (unit_id,))))

    def components_at(self, position_id: str) -> tuple[Component, ...]:
        """Return every part that sat at the position, newest first."""
        query = _COMPONENT.where(ComponentRow.position_id == position_id).order_by(
            ComponentRow.installed_at.desc(), ComponentRow.id.desc())
        return tuple(map(_component, self._store.rows(query)))

    def lives(self, sheet: str) -> tuple[Component, ...]:
        """Return every part that a sheet serves, those that sit now and those that went, in the order they came."""
        query = _COMPONENT.where(ComponentRow.sheet == sheet).order_by(ComponentRow.installed_at, ComponentRow.id)
        return tuple(map(_component, self._store.rows(query)))

    def label(self, number: str) -> Label | None:
        """Return a label that was issued, good or retired; None for any other number."""
        row = self._store.row(_LABEL.where(LabelRow.number == number))
        return None if row is None else _label(row)

    def labels_of_kind(self, kind: LabelKind) -> tuple[Label, ...]:
        """Return the good labels of a kind, oldest first."""
        query = _LABEL.where((LabelRow.kind == kind.value) & LabelRow.retired_at.is_null())
        return tuple(map(_label, self._store.rows(query.order_by(LabelRow.issued_at, LabelRow.number))))

    def issued_numbers(self) -> tuple[str, ...]:
        """Return every number ever issued, retired ones too: none is issued twice."""
        return tuple(number for (number,) in self._store.rows(LabelRow.select(LabelRow.number)))

    def next_serial(self) -> int:
        """Return the first serial that this kiosk has not used for a label."""
        row = self._store.row(LabelRow.select(fn.MAX(LabelRow.serial)).where(LabelRow.kiosk == self._kiosk))
        unused = _FIRST_SERIAL if row[0] is None else int(row[0]) + 1
        return max(unused, self._store.sql(_SAFE_SERIAL, (self._kiosk,))[0][0] or 0)


def _sits() -> Any:
    return ComponentRow.retired_at.is_null()


def _component(row: Any) -> Component:
    (component_id, sheet, position_id, unit_id, description, label, installed_at, installed_hours, retired_at,
     retired_hours, retired_reason, replaced_by, properties, _) = row
    return Component(
        component_id, sheet, position_id, unit_id, description, label, from_utc_text(installed_at), installed_hours,
        _instant_or_none(retired_at), retired_hours, retired_reason, replaced_by,
        codec.properties_from_text(properties))


def _label(row: Any) -> Label:
    number, kind, subject_id, issued_at, retired_at, retired_reason = row
    return Label(number, LabelKind(kind), subject_id, from_utc_text(issued_at), _instant_or_none(retired_at),
                 retired_reason)


def _instant_or_none(text: str | None) -> datetime | None:
    return None if text is None else from_utc_text(text)
