"""The board of the yard: each unit by its worst state, worked out in one go for all of them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from kiosk.presenters.due_list import DEFAULT_SETTINGS, due_mark, due_of_unit
from kiosk.presenters.marks import worst_mark
from kiosk.presenters.parts import Mark
from kiosk.presenters.ports import Records, Sheets
from kiosk.presenters.settings import FloorSettings
from kiosk.presenters.words import HELD, NOT_YET, OPEN_FINDING


def board_of_yard(records: Records, sheets: Sheets, today: date,
                  settings: FloorSettings = DEFAULT_SETTINGS) -> Mapping[str, Mark]:
    """Return {unit id: worst state}, in the yard's order of units.

    Args:
        records, sheets: What was done, and the sheets in force.
        today: The yard's working day.
        settings: Shifts and time zone.
    """
    found = {finding.unit_id for finding in records.open_findings()}
    held = {hold.unit_id for hold in records.holds()}
    return {
        unit.id: HELD if unit.id in held else _worst(records, sheets, unit.id, today, settings, unit.id in found)
        for unit in records.units()
    }


def _worst(records: Records, sheets: Sheets, unit_id: str, today: date, settings: FloorSettings,
           has_findings: bool) -> Mark:
    marks = {due_mark(item, today) for item in due_of_unit(records, sheets, unit_id, today, settings)} - {NOT_YET}
    return worst_mark(marks | ({OPEN_FINDING} if has_findings else set()))
