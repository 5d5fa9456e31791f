"""Units, their assemblies and positions of a set-up that comes in, and the hour meters."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from kiosk.entities import Assembly, LabelKind, Position, Side, Unit
from kiosk.errors import NotFound
from kiosk.events import Event, HoursRead, UnitAdded
from kiosk.language import tr
from kiosk.set_up import cells
from kiosk.set_up.intake import Intake
from kiosk.set_up.intake_crew import differences
from kiosk.set_up.naming import id_for
from kiosk.set_up.new_units import NewUnit, unit_events
from kiosk.set_up.tables import Row
from kiosk.set_up.templates import unit_template


@dataclass
class _Machine:
    """A unit as it will be; `changed` are the lines that change it, in order."""

    unit: Unit
    assemblies: dict[str, Assembly] = field(default_factory=dict)
    positions: dict[str, Position] = field(default_factory=dict)
    before: list[Event] = field(default_factory=list)
    after: list[Event] = field(default_factory=list)
    changed: list[tuple[Row, str]] = field(default_factory=list)
    touched: set[str] = field(default_factory=set)


class UnitIntake:
    """Takes the rows of units, assemblies and positions; `finish` notes what they change."""

    def __init__(self, intake: Intake) -> None:
        self._intake, records = intake, intake.yard.records
        self._machines = {unit.id: _Machine(
            unit, {one.id: one for one in records.assemblies(unit.id)},
            {one.id: one for one in records.positions(unit.id)}) for unit in records.units()}
        self._seen: set[str] = set()

    # --- rows ---

    def take_unit(self, row: Row) -> None:
        """Take a unit: new, changed, or as on record."""
        name = cells.text(row, "name")
        unit_id = row.values.get("id", "") or self._named(name) or id_for(name, self._machines)
        self._once(row, unit_id)
        if row.values.get("template"):
            self._from_template(row, unit_id, name)
            return
        machine = self._machines.get(unit_id)
        old = machine.unit if machine else None
        label, before, after = self._intake.label(row, "label", LabelKind.UNIT, unit_id, old.label if old else "")
        new = Unit(unit_id[:64], name, cells.text(row, "design"), label,
                   cells.text(row, "description", old.description if old else ""))
        machine = machine or self._machines.setdefault(unit_id, _Machine(new))
        machine.unit = new
        machine.before += before
        machine.after += after
        changed = old is None or old != new
        if changed:
            machine.changed.append((row, _said_unit(old, new)))
        if not self._hours(row, machine) and not changed:
            self._intake.unchanged += 1

    def take_assembly(self, row: Row) -> None:
        """Take an assembly."""
        machine, assembly_id = self._machine(row), cells.text(row, "id")
        self._once(row, assembly_id)
        new = Assembly(assembly_id[:64], machine.unit.id, cells.text(row, "name"), cells.text(row, "design"))
        self._elsewhere(row, machine, assembly_id, "assemblies")
        old = machine.assemblies.get(new.id)
        machine.assemblies[new.id] = new
        self._note(row, machine, old, new, new.name)

    def take_position(self, row: Row) -> None:
        """Take a position."""
        machine, name = self._machine(row), cells.text(row, "name")
        same = next((one.id for one in machine.positions.values() if one.name == name), "")
        position_id = row.values.get("id", "") or same or id_for(name, self._all_positions(), f"{machine.unit.id}-")
        self._once(row, position_id)
        self._elsewhere(row, machine, position_id, "positions")
        old = machine.positions.get(position_id)
        sheet = cells.text(row, "sheet")
        if not self._intake.knows_sheet(sheet):
            raise row.refused(tr("there is no service sheet '{sheet}'").format(sheet=sheet))
        order = cells.number(row, "walk_order", 0, 10_000, old.walk_order if old else len(machine.positions) + 1)
        side = Side(cells.choice(row, "side", [side.value for side in Side], "both"))
        new = Position(position_id[:64], machine.unit.id, self._assembly(row, machine), name, sheet, side,
                       cells.number(row, "x", 0, 1), cells.number(row, "y", 0, 1), int(order))
        machine.positions[new.id] = new
        machine.touched.add(new.id)
        self._note(row, machine, old, new, new.name)

    def finish(self) -> None:
        """Note the changes; a unit's event goes with the first of its lines."""
        for machine in self._machines.values():
            events = [*machine.before, self._added(machine), *machine.after] if machine.changed else []
            for row, text in machine.changed:
                self._intake.change(row, text, events)
                events = []

    # --- looking up, for parts too ---

    def position(self, row: Row) -> Position:
        """Return the position that a row means by id, or by name on its unit."""
        machine, wanted = self._machine(row), cells.text(row, "position")
        if wanted in machine.positions:
            return machine.positions[wanted]
        found = [one for one in machine.positions.values() if one.name == wanted]
        if len(found) != 1:
            raise row.refused(tr("{unit} has no position '{position}', or more than one").format(
                unit=machine.unit.name, position=wanted))
        return found[0]

    def _machine(self, row: Row) -> _Machine:
        wanted = cells.text(row, "unit")
        unit_id = wanted if wanted in self._machines else self._named(wanted)
        if not unit_id:
            raise row.refused(tr("there is no unit '{unit}'").format(unit=wanted))
        return self._machines[unit_id]

    def _named(self, name: str) -> str:
        return next((machine.unit.id for machine in self._machines.values() if machine.unit.name == name), "")

    def _assembly(self, row: Row, machine: _Machine) -> str:
        wanted = cells.text(row, "assembly")
        found = next((one.id for one in machine.assemblies.values() if wanted in (one.id, one.name)), "")
        if not found:
            raise row.refused(tr("{unit} has no assembly '{assembly}'").format(
                unit=machine.unit.name, assembly=wanted))
        return found

    def _all_positions(self) -> set[str]:
        return {one for machine in self._machines.values() for one in machine.positions}

    def _once(self, row: Row, thing_id: str) -> None:
        if thing_id in self._seen:
            raise row.refused(tr("'{id}' is in these tables twice").format(id=thing_id))
        self._seen.add(thing_id)

    def _elsewhere(self, row: Row, machine: _Machine, thing_id: str, what: str) -> None:
        if any(thing_id in getattr(other, what) for other in self._machines.values() if other is not machine):
            raise row.refused(tr("'{id}' is on another unit").format(id=thing_id))

    # --- changes ---

    def _note(self, row: Row, machine: _Machine, old: object, new: object, name: str) -> None:
        if old == new:
            self._intake.unchanged += 1
        elif old is None:
            machine.changed.append((row, tr("add {name} to {unit}").format(name=name, unit=machine.unit.name)))
        else:
            machine.changed.append((row, tr("change {name} on {unit}: {what}").format(
                name=name, unit=machine.unit.name, what=differences(old, new))))

    def _hours(self, row: Row, machine: _Machine) -> bool:
        """Note what the hour meter says, if that is news."""
        if not row.values.get("hours"):
            return False
        hours = cells.number(row, "hours", 0, cells.MOST_HOURS)
        meter = self._intake.yard.records.hours(machine.unit.id)
        if meter is not None and hours < meter.hours:
            raise row.refused(tr("the hour meter of {unit} stood at {have} h already").format(
                unit=machine.unit.name, have=f"{meter.hours:g}"))
        if meter is not None and hours == meter.hours:
            return False
        said = tr("the hour meter of {unit} says {hours} h").format(unit=machine.unit.name, hours=f"{hours:g}")
        machine.after.append(self._intake.yard.pen.event(HoursRead(machine.unit.id, hours)))
        machine.changed.append((row, said))
        return True

    def _from_template(self, row: Row, unit_id: str, name: str) -> None:
        if unit_id in self._machines:
            raise row.refused(tr("{name} is on record already; a template makes new units").format(name=name))
        try:
            template = unit_template(row.values["template"])
        except NotFound as error:
            raise row.refused(error.operator_message) from error
        missing = sorted({place.sheet for place in template.places if not self._intake.knows_sheet(place.sheet)})
        if missing:
            raise row.refused(tr("the template needs the service sheet '{sheet}'").format(sheet=missing[0]))
        label, issue, _ = self._intake.label(row, "label", LabelKind.UNIT, unit_id)
        new = NewUnit(unit_id[:64], name, cells.text(row, "description", ""),
                      cells.number(row, "hours", 0, cells.MOST_HOURS, 0), label)
        events = [*issue, *unit_events(new, template, self._intake.numbers, self._intake.yard.pen)]
        added = next(event.payload for event in events if isinstance(event.payload, UnitAdded))
        self._machines[unit_id] = _Machine(added.unit, {one.id: one for one in added.assemblies},
                                           {one.id: one for one in added.positions})
        self._intake.change(row, tr("add {name} from the template '{template}', with {count} parts").format(
            name=name, template=template.key, count=len(template.places)), events)

    def _added(self, machine: _Machine) -> Event:
        positions = tuple(machine.positions[one] for one in machine.positions if one in machine.touched)
        return self._intake.yard.pen.event(UnitAdded(
            replace(machine.unit), tuple(machine.assemblies.values()), positions))


def _said_unit(old: Unit | None, new: Unit) -> str:
    if old is None:
        return tr("add {name}, {design}").format(name=new.name, design=new.design)
    return tr("change {name}: {what}").format(name=old.name, what=differences(old, new))
