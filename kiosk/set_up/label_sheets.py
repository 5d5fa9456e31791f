"""What stands on the labels of a unit and its parts, for a sheet of them printed in one go."""

from __future__ import annotations

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from kiosk.entities import Component, Unit
from kiosk.presenters.ports import Records


def unit_labels(records: Records, unit: Unit, zone: ZoneInfo) -> Iterator[tuple[str, list[str]]]:
    """Yield number and lines of the unit's own label, then of every part in walk order."""
    yield unit.label, [unit.name, unit.description or unit.design]
    for component in records.components_of_unit(unit.id):
        yield component_label(records, component, zone)


def component_label(records: Records, component: Component, zone: ZoneInfo) -> tuple[str, list[str]]:
    """Return a part's number and the lines of its label."""
    position, unit = records.position(component.position_id), records.unit(component.unit_id)
    return component.label, [position.name, f"{unit.name} · {component.installed_at.astimezone(zone):%Y-%m-%d}"]
