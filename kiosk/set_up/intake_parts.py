"""Parts of a set-up that comes in: put on record at empty positions. A part on record is changed by jobs only."""

from __future__ import annotations

from kiosk.entities import Component, LabelKind
from kiosk.errors import NotFound
from kiosk.events import ComponentInstalled
from kiosk.language import tr
from kiosk.set_up import cells
from kiosk.set_up.intake import Intake
from kiosk.set_up.intake_crew import differences
from kiosk.set_up.intake_units import UnitIntake
from kiosk.set_up.tables import Row


class PartIntake:
    """Takes the rows of parts, after those of units."""

    def __init__(self, intake: Intake, units: UnitIntake) -> None:
        self._intake, self._units = intake, units
        self._filled: set[str] = set()
        self._ids: set[str] = set()

    def take(self, row: Row) -> None:
        """Take one part: new at an empty position, or as on record."""
        position = self._units.position(row)
        here = self._intake.yard.records.component_at(position.id)
        if position.id in self._filled:
            raise row.refused(tr("'{position}' gets two parts").format(position=position.name))
        self._filled.add(position.id)
        part_id = row.values.get("id", "") or (here.id if here else self._intake.yard.pen.new_id())
        if part_id in self._ids:
            raise row.refused(tr("'{id}' is in these tables twice").format(id=part_id))
        self._ids.add(part_id)
        label, before, _ = self._intake.label(row, "label", LabelKind.COMPONENT, part_id, here.label if here else "")
        sheet = cells.text(row, "sheet", position.sheet)
        if not self._intake.knows_sheet(sheet):
            raise row.refused(tr("there is no service sheet '{sheet}'").format(sheet=sheet))
        zone, at = self._intake.yard.zone, self._intake.yard.pen.at
        new = Component(
            part_id[:64], sheet, position.id, position.unit_id, cells.text(row, "description", ""), label,
            cells.instant(row, "installed_at", here.installed_at if here else at, zone),
            cells.number(row, "installed_hours", 0, cells.MOST_HOURS, here.installed_hours if here else 0.0),
            properties=cells.properties(row, "properties"))
        if here is not None:
            self._same(row, here, new)
            return
        self._demand_new(row, new)
        said = tr("put {what} at {position}").format(what=new.description or sheet, position=position.name)
        self._intake.change(row, said, [*before, self._intake.yard.pen.event(ComponentInstalled(new))])

    def _same(self, row: Row, here: Component, new: Component) -> None:
        if here != new:
            raise row.refused(tr("another part, or the same with other words, sits there already ({what}); a part is "
                                 "changed by the job 'replace'").format(what=differences(here, new)))
        self._intake.unchanged += 1

    def _demand_new(self, row: Row, new: Component) -> None:
        try:
            self._intake.yard.records.component(new.id)
        except NotFound:
            return
        raise row.refused(tr("the part '{id}' is on record at another position").format(id=new.id))
