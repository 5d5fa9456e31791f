"""The set-up of one shop: what the pages and the commands ask for, put to work on the shop's records and folders."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from kiosk.records import YardRecords
from kiosk.set_up import coming_in, going_out
from kiosk.set_up.intake import Intake, Yard
from kiosk.set_up.pen import Pen
from kiosk.set_up.sheet_folder import SheetFolder
from kiosk.sheets import SheetShelf


@dataclass(frozen=True)
class SetUpDesk:
    """Does the set-up's work.

    Args:
        records, shelf: The shop's. `sheet_folder`: where its sheets are.
        kiosk: This kiosk's number. `zone`: the yard's.
    """

    records: YardRecords
    shelf: SheetShelf
    sheet_folder: Path
    kiosk: int
    zone: ZoneInfo
    clock: Callable[[], datetime]
    new_id: Callable[[], str]

    def look_through(self, path: Path, person_id: str | None = None) -> Intake:
        """Return what a prepared set-up would change; see `coming_in.look_through`."""
        return coming_in.look_through(path, self._yard(person_id))

    def bring_in(self, intake: Intake) -> None:
        """Put on record what was looked through, all or nothing."""
        coming_in.bring_in(intake, SheetFolder(self.sheet_folder, self.shelf))

    def take_out(self, folder: Path) -> dict[str, int]:
        """Write the set-up into a folder and return how much of each was written."""
        return going_out.take_out(self.records, self.shelf, folder)

    def _yard(self, person_id: str | None) -> Yard:
        return Yard(self.records, self.shelf, self.shelf.text, self.kiosk, self.zone, self.pen(person_id))

    def pen(self, person_id: str | None) -> Pen:
        """Return what writes events now, in a person's name."""
        return Pen(self.new_id, self.clock(), person_id)
