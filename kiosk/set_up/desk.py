"""The set-up of one shop: what the pages and the commands ask for, put to work on the shop's records and folders.

Answers `presenters.set_up_ports.SetUp`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from kiosk.entities import Assembly, Component, Person, Position, Role
from kiosk.errors import KioskError, RecordError
from kiosk.events import UnitAdded
from kiosk.language import tr
from kiosk.presenters.ports import NewId
from kiosk.presenters.set_up_ports import FirstYard, NewPlace, SheetDraft, UnitTemplate
from kiosk.service_sheet import ServiceSheet
from kiosk.set_up import coming_in, crew, exchange, founding, going_out
from kiosk.set_up.cells import properties_of
from kiosk.set_up.intake import Intake, Yard
from kiosk.set_up.label_sheets import unit_labels
from kiosk.set_up.naming import id_for
from kiosk.set_up.new_units import NewUnit, part_events, unit_events
from kiosk.set_up.numbers import NumberSource
from kiosk.set_up.pen import Pen
from kiosk.set_up.sheet_draft import TomlDraft, adopted
from kiosk.set_up.sheet_folder import SheetFolder
from kiosk.set_up.templates import unit_template, unit_templates
from kiosk.shop import Shop


def _nowhere(first: FirstYard) -> None:
    raise KioskError(tr("A yard is made by `kiosk run` in a new folder, or by `kiosk setup new`."))


@dataclass(frozen=True)
class SetUpDesk:
    """Does the set-up's work.

    Args:
        shop: Open.
        begin_anew: Makes the yard that the first run chose, and begins the kiosk anew on it.
    """

    shop: Shop
    new_id: NewId
    begin_anew: Callable[[FirstYard], None] = _nowhere

    # --- the first run ---

    def is_new(self) -> bool:
        """Return whether the yard is still to be made: nobody and nothing is on record."""
        return not self.shop.trouble and not self.shop.records.people() and not self.shop.records.units()

    def first_choices(self) -> FirstYard:
        """Return choices to begin with."""
        return founding.guessed()

    def time_zones(self) -> Mapping[str, Sequence[str]]:
        """Return {part of the world: its time zones}."""
        return founding.time_zones()

    def found(self, first: FirstYard) -> None:
        """Make the yard and begin anew on it."""
        self.begin_anew(first)

    def record_founding(self, first: FirstYard) -> Person:
        """Put the yard's first entries on record, and return the supervisor.

        Raises:
            RecordError: there is a yard on record already, or a name is missing.
        """
        if not self.is_new():
            raise RecordError(tr("There is a yard on record here already."))
        events = list(founding.founding_events(first, self.shop.sheets, self._numbers(), self.pen(None)))
        self.shop.records.append_all(events)
        return self.shop.records.people()[0]

    # --- units ---

    def templates(self) -> tuple[UnitTemplate, ...]:
        """Return the templates of units."""
        return unit_templates()

    def add_unit(self, template: str, name: str, hours: float, by: str | None) -> str:
        """Put a unit with its parts and label numbers on record and return its id."""
        chosen, units = unit_template(template), self.shop.records.units()
        if not name.strip():
            raise RecordError(tr("The unit's name is missing."))
        if any(unit.name == name for unit in units):
            raise RecordError(tr("There is a unit called {name} already.").format(name=name))
        for place in chosen.places:
            self.shop.sheets.sheet(place.sheet)
        new = NewUnit(id_for(name, {unit.id for unit in units}), name.strip(), "", hours)
        self.shop.records.append_all(list(unit_events(new, chosen, self._numbers(), self.pen(by))))
        return new.id

    def add_place(self, unit_id: str, place: NewPlace, by: str | None) -> str:
        """Put a position on record and return its id."""
        records = self.shop.records
        unit, there = records.unit(unit_id), records.positions(unit_id)
        self.shop.sheets.sheet(place.sheet)
        if any(position.name == place.name for position in there):
            raise RecordError(tr("{unit} has a position called {name} already.").format(
                unit=unit.name, name=place.name))
        assemblies = records.assemblies(unit_id) or (Assembly(f"{unit_id}-main", unit_id, unit.name, unit.design),)
        taken = {position.id for one in records.units() for position in records.positions(one.id)}
        order = max((position.walk_order for position in there), default=0) + 1
        position = Position(id_for(place.name, taken, f"{unit_id}-"), unit_id, assemblies[0].id, place.name,
                            place.sheet, place.side, place.x, place.y, order)
        records.append(self.pen(by).event(UnitAdded(unit, assemblies, (position,))))
        return position.id

    def put_part(self, position_id: str, description: str, properties: str, by: str | None) -> None:
        """Put a part on record at an empty position, with a label number of its own."""
        position = self.shop.records.position(position_id)
        meter = self.shop.records.hours(position.unit_id)
        try:
            read = properties_of(properties)
        except ValueError as error:
            raise RecordError(tr("Properties are written like bearing=UC208; mass_kg=0.45.")) from error
        events = part_events(position, description.strip(), read, meter.hours if meter else 0.0,
                             self._numbers().take, self.pen(by))
        self.shop.records.append_all(list(events))

    def part_at(self, position_id: str) -> Component | None:
        """Return the part that sits at a position now."""
        return self.shop.records.component_at(position_id)

    def label_sheet(self, unit_id: str) -> Path:
        """Write every label of a unit to one PDF of sheets, on the shop's paper."""
        labels = unit_labels(self.shop.records, self.shop.records.unit(unit_id), self.shop.zone)
        return self.shop.press.print_sheets(list(labels), self.shop.config.page)

    # --- crew ---

    def add_person(self, name: str, role: Role, by: str | None) -> Person:
        """Put a person with a new badge number on record."""
        like = (self.shop.config.units, self.shop.config.language)
        person, events = crew.new_person(self.shop.records, name, role, like, self._numbers(), self.pen(by))
        self.shop.records.append_all(events)
        return person

    def change_person(self, person: Person, by: str | None) -> None:
        """Change a person."""
        self.shop.records.append_all(crew.changed_person(self.shop.records, person, self.pen(by)))

    def new_badge(self, person_id: str, reason: str, by: str | None) -> Person:
        """Give a person another badge number; the old one is retired."""
        person, events = crew.other_badge(self.shop.records.person(person_id), reason, self._numbers(), self.pen(by))
        self.shop.records.append_all(events)
        return person

    def retire(self, person_id: str, reason: str, by: str | None) -> None:
        """Retire a person's badge."""
        person = self.shop.records.person(person_id)
        self.shop.records.append_all(crew.retired(self.shop.records, person, reason, self.pen(by)))

    def print_badge(self, person_id: str, by: str | None) -> Path:
        """Print a badge and return its page."""
        person = self.shop.records.person(person_id)
        return self.shop.press.print_again(person.badge, [person.name, str(person.role)], "badge", by)

    # --- sheets ---

    def edit_sheet(self, key: str) -> SheetDraft:
        """Return a sheet to be edited."""
        return TomlDraft(self.shop.sheets.text(key), self.shop.sheets.file_of(key) or f"{key}.toml")

    def adopt(self, draft: SheetDraft, by: str | None) -> ServiceSheet:
        """Put a draft into force as the next revision: in the journal, in its file, at once on every screen."""
        assert isinstance(draft, TomlDraft)
        event, text = adopted(draft, self.shop.sheets.sheet(draft.key), self.pen(by))
        with self._folder().prepared({draft.key: text}):
            self.shop.records.append(event)
        return self.shop.sheets.sheet(draft.key)

    # --- out and in ---

    def prepared(self) -> Sequence[Path]:
        """Return the folders with a prepared set-up."""
        return exchange.prepared(self.shop.folder, exchange.sticks())

    def ways_out(self) -> Sequence[Path]:
        """Return the folders that a set-up may be taken out to."""
        return exchange.ways_out(self.shop.folder, exchange.sticks())

    def look_through(self, path: Path, by: str | None = None) -> Intake:
        """Return what a prepared set-up would change; see `coming_in.look_through`."""
        shop = self.shop
        return coming_in.look_through(path, Yard(shop.records, shop.sheets, shop.sheets.text, shop.config.kiosk,
                                                 shop.zone, self.pen(by)))

    def bring_in(self, prepared: object) -> None:
        """Put on record what was looked through, all or nothing."""
        assert isinstance(prepared, Intake)
        coming_in.bring_in(prepared, self._folder())

    def take_out(self, folder: Path) -> Mapping[str, int]:
        """Write the set-up into a folder and return how much of each was written."""
        return going_out.take_out(self.shop.records, self.shop.sheets, folder)

    # --- what all need ---

    def pen(self, by: str | None) -> Pen:
        """Return what writes events now, in a person's name."""
        return Pen(self.new_id, self.shop.clock(), by)

    def _numbers(self) -> NumberSource:
        return NumberSource(self.shop.records, self.shop.config.kiosk)

    def _folder(self) -> SheetFolder:
        return SheetFolder(self.shop.folder / self.shop.config.sheets, self.shop.sheets)
