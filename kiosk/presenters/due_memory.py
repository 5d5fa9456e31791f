"""What is due in the yard, kept from one look to the next: only units that something happened on are worked out anew.

A due list of sixty units takes a tenth of a second to work out; after a save one unit's share of it is enough.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from kiosk.entities import DueItem
from kiosk.language import current
from kiosk.presenters.due_list import due_mark, due_of_unit, most_urgent_first
from kiosk.presenters.marks import worst_mark
from kiosk.presenters.parts import Mark
from kiosk.presenters.ports import Records, Sheets
from kiosk.presenters.settings import FloorSettings
from kiosk.presenters.words import HELD, NOT_YET, OPEN_FINDING


class DueMemory:
    """The yard's due list by unit.

    Args:
        records, sheets: What was done, and the sheets in force.
        settings: Shifts and time zone.
    """

    def __init__(self, records: Records, sheets: Sheets, settings: FloorSettings) -> None:
        self._records, self._sheets, self._settings = records, sheets, settings
        self._stand: tuple[object, ...] = ()
        self._arrival = 0
        self._items: dict[str, tuple[DueItem, ...]] = {}

    def of_unit(self, unit_id: str, today: date) -> tuple[DueItem, ...]:
        """Return every job with an interval of a unit, the most urgent first."""
        self._look(today)
        return self._of(unit_id, today)

    def of_yard(self, today: date) -> tuple[DueItem, ...]:
        """Return every job with an interval of the yard, the most urgent first."""
        self._look(today)
        return most_urgent_first(item for unit in self._records.units() for item in self._of(unit.id, today))

    def board(self, today: date) -> Mapping[str, Mark]:
        """Return {unit id: worst state}, in the yard's order of units."""
        self._look(today)
        found = {finding.unit_id for finding in self._records.open_findings()}
        held = {hold.unit_id for hold in self._records.holds()}
        return {unit.id: HELD if unit.id in held else self._worst(unit.id, today, unit.id in found)
                for unit in self._records.units()}

    def _worst(self, unit_id: str, today: date, has_findings: bool) -> Mark:
        marks = {due_mark(item, today) for item in self._of(unit_id, today)} - {NOT_YET}
        return worst_mark(marks | ({OPEN_FINDING} if has_findings else set()))

    def _of(self, unit_id: str, today: date) -> tuple[DueItem, ...]:
        if unit_id not in self._items:
            self._items[unit_id] = due_of_unit(self._records, self._sheets, unit_id, today, self._settings)
        return self._items[unit_id]

    def _look(self, today: date) -> None:
        """Forget units that were entered for; all of them on another day, by other sheets or in another language."""
        stand = (today, current(), *((sheet.key, sheet.revision) for sheet in self._sheets.sheets()))
        news = self._records.news(self._arrival)
        if stand != self._stand or news.unit_ids is None:
            self._items.clear()
        else:
            for unit_id in news.unit_ids:
                self._items.pop(unit_id, None)
        self._stand, self._arrival = stand, news.arrival
