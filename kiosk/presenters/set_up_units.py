"""Units: added from a template, renamed, their positions and parts put on record, all labels printed in one go."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kiosk.entities import Position, Side, Unit
from kiosk.errors import RecordError
from kiosk.events import UnitAdded
from kiosk.language import N_, tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import PageRow
from kiosk.presenters.set_up_page import ChoicePage, SetUpPage, next_of
from kiosk.presenters.set_up_ports import NewPlace
from kiosk.presenters.words import FINE, NOTHING, counted

SIDES = tuple(side.value for side in Side)


class UnitsPage(SetUpPage):
    """The fleet, and a way to add to it."""

    title = N_("Units")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the way to add one, then the fleet."""
        units = self.helpers.records.units()
        add = PageRow("add", tr("Add a unit"), (tr("From a template, with its parts and labels"),), NOTHING)
        return (add, *(PageRow(unit.id, unit.name, (unit.description,), NOTHING) for unit in units))

    def pressed(self, key: str) -> None:
        """Add a unit, or open one."""
        if key != "add":
            self.desk.open_page(UnitSetUpPage(self.desk, key))
            return
        options = [(one.key, one.title, counted(len(one.places), "position")) for one in self.set_up.templates()]
        self.desk.open_page(ChoicePage(self.desk, tr("What kind of unit?"), options, self._begin))

    def _begin(self, template: str) -> None:
        self.desk.back()
        self.desk.open_page(NewUnitPage(self.desk, template))


class NewUnitPage(SetUpPage):
    """A unit that is to come."""

    title = N_("A new unit")

    def __init__(self, desk: Navigation, template: str) -> None:
        super().__init__(desk)
        self._template = template
        self._name, self._hours = "", ""

    def rows(self) -> tuple[PageRow, ...]:
        """Return what is asked, and the way on."""
        title = next(one.title for one in self.set_up.templates() if one.key == self._template)
        ready = bool(self._name and self._hours)
        return (
            self.field("name", tr("Name"), self._name, tr("What is the unit called?"), title),
            self.field("hours", tr("Hour meter"), self._hours, tr("What does its hour meter say?")),
            PageRow("add", tr("Put it on record"), ("" if ready else tr("needs name and hour meter"),),
                    FINE if ready else NOTHING, enabled=ready),
        )

    def typed_text(self, key: str, text: str) -> None:
        """Take the name or the hours."""
        if key == "name":
            self._name = text
        else:
            number(text, tr("Hour meter"))
            self._hours = text

    def pressed(self, key: str) -> None:
        """Put the unit on record and open it."""
        if not (self._name and self._hours):
            return
        unit_id = self.set_up.add_unit(self._template, self._name, number(self._hours, tr("Hour meter")), self.by)
        self.desk.back()
        page = UnitSetUpPage(self.desk, unit_id)
        page.done(tr("{unit} is on record. Print its labels, and stick each one to its part.").format(unit=self._name))
        self.desk.open_page(page)


class UnitSetUpPage(SetUpPage):
    """One unit: its name, labels, positions."""

    def __init__(self, desk: Navigation, unit_id: str) -> None:
        super().__init__(desk)
        self._id = unit_id
        self.title = self._unit.name

    @property
    def _unit(self) -> Unit:
        return self.helpers.records.unit(self._id)

    def rows(self) -> tuple[PageRow, ...]:
        """Return what can be done, then the positions in walk order."""
        unit, records = self._unit, self.helpers.records
        parts = {part.position_id: part for part in records.components_of_unit(self._id)}
        places = [self._place(place, place.id in parts) for place in records.positions(self._id)]
        return (
            PageRow("labels", tr("Print all labels"), (tr("{labels}, as sheets to cut").format(
                labels=counted(len(parts) + 1, "label")),), NOTHING),
            PageRow("add", tr("Add a position"), (counted(len(places), "position"),), NOTHING),
            self.field("name", tr("Name"), unit.name, tr("What is the unit called?")),
            self.field("description", tr("Description"), unit.description, tr("What kind of machine is it?")),
            *places,
        )

    def _place(self, place: Position, has_part: bool) -> PageRow:
        sheet = sheet_title(self, place.sheet)
        return PageRow(place.id, place.name, (sheet, "" if has_part else tr("no part yet")), NOTHING)

    def pressed(self, key: str) -> None:
        """Print all labels, add a position, or open one."""
        if key == "labels":
            set_up, unit_id = self.set_up, self._id
            self.later(lambda: tr("Printed as {page}").format(page=set_up.label_sheet(unit_id).name),
                       tr("Drawing the labels"))
        elif key == "add":
            self.desk.open_page(NewPlacePage(self.desk, self._id))
        else:
            self.desk.open_page(PlacePage(self.desk, key))

    def typed_text(self, key: str, text: str) -> None:
        """Rename or describe the unit."""
        unit = replace(self._unit, name=text) if key == "name" else replace(self._unit, description=text)
        if key == "name" and any(one.name == text and one.id != unit.id for one in self.helpers.records.units()):
            raise RecordError(tr("There is a unit called {name} already.").format(name=text))
        assemblies = self.helpers.records.assemblies(unit.id)
        self.helpers.records.append(self.desk.session.event(UnitAdded(unit, assemblies, ())))
        self.title = unit.name
        self.done(tr("On record."))


class NewPlacePage(SetUpPage):
    """A position that is to come."""

    title = N_("A new position")

    def __init__(self, desk: Navigation, unit_id: str) -> None:
        super().__init__(desk)
        self._unit_id, self._place = unit_id, NewPlace()

    def rows(self) -> tuple[PageRow, ...]:
        """Return what is asked, and the way on."""
        ready = bool(self._place.name and self._place.sheet)
        return (*place_rows(self, self._place), PageRow(
            "add", tr("Put it on record"), ("" if ready else tr("needs name and service sheet"),),
            FINE if ready else NOTHING, enabled=ready))

    def typed_text(self, key: str, text: str) -> None:
        """Take the name or a place on the drawing."""
        self._place = place_with(self._place, key, text)

    def pressed(self, key: str) -> None:
        """Turn a choice on, or put the position on record."""
        if key == "side":
            self._place = replace(self._place, side=Side(next_of(SIDES, self._place.side)))
        elif key == "sheet":
            ask_sheet(self, self._take_sheet)
        elif self._place.name and self._place.sheet:
            position = self.set_up.add_place(self._unit_id, self._place, self.by)
            self.desk.back()
            page = PlacePage(self.desk, position)
            page.done(tr("On record."))
            self.desk.open_page(page)

    def _take_sheet(self, key: str) -> None:
        self._place = replace(self._place, sheet=key)


class PlacePage(SetUpPage):
    """One position: what it is called, where it is drawn, which sheet serves it, the part that sits there."""

    def __init__(self, desk: Navigation, position_id: str) -> None:
        super().__init__(desk)
        self._id = position_id
        self._part, self._properties = "", ""
        self.title = self._position.name

    @property
    def _position(self) -> Position:
        return self.helpers.records.position(self._id)

    def rows(self) -> tuple[PageRow, ...]:
        """Return what can be changed, and the part or the way to put one on record."""
        here = self._position
        place = NewPlace(here.name, here.sheet, here.side, here.x, here.y)
        return (*place_rows(self, place), self.field(
            "order", tr("Place in the walk"), str(here.walk_order), tr("Which place in the walk round the unit?")),
            *self._part_rows())

    def _part_rows(self) -> tuple[PageRow, ...]:
        part = self.helpers.records.component_at(self._id)
        if part is not None:
            return (PageRow("part", tr("Part"), (part.description or part.id, tr("changed by the job 'replace'")),
                            NOTHING, enabled=False),)
        return (
            self.field("description", tr("Part"), self._part, tr("What part sits here?")),
            self.field("properties", tr("What is known of it"), self._properties,
                       tr("Written like bearing=UC208; mass_kg=0.45"), tr("may stay empty")),
            PageRow("put", tr("Put the part on record"), ("" if self._part else tr("needs a description"),),
                    FINE if self._part else NOTHING, enabled=bool(self._part)),
        )

    def typed_text(self, key: str, text: str) -> None:
        """Take the part's words, or change the position."""
        if key == "description":
            self._part = text
        elif key == "properties":
            self._properties = text
        elif key == "order":
            self._change(replace(self._position, walk_order=int(number(text, tr("Place in the walk")))))
        else:
            here = self._position
            new = place_with(NewPlace(here.name, here.sheet, here.side, here.x, here.y), key, text)
            self._change(replace(here, name=new.name, x=new.x, y=new.y))

    def pressed(self, key: str) -> None:
        """Turn a choice on, or put the part on record."""
        if key == "side":
            self._change(replace(self._position, side=Side(next_of(SIDES, self._position.side))))
        elif key == "sheet":
            ask_sheet(self, lambda sheet: self._change(replace(self._position, sheet=sheet)))
        elif key == "put" and self._part:
            self.set_up.put_part(self._id, self._part, self._properties, self.by)
            self.done(tr("The part is on record. Print its label from its page."))

    def _change(self, position: Position) -> None:
        records = self.helpers.records
        unit, assemblies = records.unit(position.unit_id), records.assemblies(position.unit_id)
        records.append(self.desk.session.event(UnitAdded(unit, assemblies, (position,))))
        self.title = position.name
        self.done(tr("On record."))


def place_rows(page: SetUpPage, place: NewPlace) -> tuple[PageRow, ...]:
    """Return the rows of a position."""
    percent = tr("percent of the drawing")
    return (
        page.field("name", tr("Name"), place.name, tr("What is the position called?")),
        PageRow("sheet", tr("Service sheet"), (sheet_title(page, place.sheet) or tr("nothing yet"),), NOTHING),
        PageRow("side", tr("Side"), (tr(place.side),), NOTHING),
        page.field("x", tr("From the drawing's left"), f"{place.x * 100:g}", tr("From the left, 0 to 100?"), percent),
        page.field("y", tr("From the drawing's foot"), f"{place.y * 100:g}", tr("From below, 0 to 100?"), percent),
    )


def place_with(place: NewPlace, key: str, text: str) -> NewPlace:
    """Return a position with a field as it was typed."""
    if key == "name":
        return replace(place, name=text)
    share = number(text, tr("Place on the drawing"), 100.0) / 100
    return replace(place, x=share) if key == "x" else replace(place, y=share)


def ask_sheet(page: SetUpPage, take: Callable[[str], None]) -> None:
    """Ask which service sheet serves a place."""
    options = [(sheet.key, sheet.title, "") for sheet in page.helpers.sheets.sheets()]
    page.desk.open_page(ChoicePage(page.desk, tr("Service sheet"), options, take))


def sheet_title(page: SetUpPage, key: str) -> str:
    """Return a sheet's title, its key where there is no such sheet."""
    return next((sheet.title for sheet in page.helpers.sheets.sheets() if sheet.key == key), key)


def number(text: str, field: str, most: float = 1_000_000.0) -> float:
    """Return a number that was typed, from 0 to `most`.

    Raises:
        RecordError: it is none; names the field.
    """
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = -1.0
    if not 0 <= value <= most:
        raise RecordError(tr("{field}: '{typed}' is no number from 0 to {most}.").format(
            field=field, typed=text, most=f"{most:,.0f}"))
    return value
