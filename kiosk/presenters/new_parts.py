"""What a new part on record takes over from the one that it replaces."""

from __future__ import annotations

from typing import Any

from kiosk.entities import Component, ServiceRecord
from kiosk.presenters.advice.splice_advice import WHEN_NEW

# What belongs to the old belt alone; the new one starts without it.
_OLD_PART_ONLY = ("takeup_travel_in_mm", "takeup_travel_out_mm", "serial", WHEN_NEW)


def new_component(new_id: str, old: Component, record: ServiceRecord, number: str, description: str,
                  serial: str = "") -> Component:
    """Return the part that comes in the place of another, with its label, from the record's time and hours on."""
    return Component(
        id=new_id, sheet=old.sheet, position_id=old.position_id, unit_id=old.unit_id, description=description,
        label=number, installed_at=record.at, installed_hours=record.hours, properties=_properties(old, serial),
    )


def _properties(old: Component, serial: str) -> dict[str, Any]:
    """Return the new part's properties: the old one's as it was when new, and the serial typed."""
    kept = {name: value for name, value in old.properties.items() if name not in _OLD_PART_ONLY}
    if WHEN_NEW in old.properties:
        kept |= {"belt_length_mm": old.properties[WHEN_NEW], "splices_mm": [0]}
    return kept | ({"serial": serial} if serial else {})
