"""What the set-up's pages ask of the rest: making the yard, units, crew, sheets, taking it out and bringing it in.

`kiosk.set_up` answers. Whoever does a thing is named by their id, and the journal refuses who may not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Protocol

from kiosk.entities import Person, Role, Side
from kiosk.service_sheet import ServiceSheet


@dataclass(frozen=True)
class FirstYard:
    """What the first run asks. `page`: 'Letter' or 'A4'; `units`: 'in' or 'mm'; `kiosk`: 0..99."""

    yard: str = ""
    supervisor: str = ""
    kiosk: int = 1
    time_zone: str = "UTC"
    units: str = "in"
    page: str = "Letter"
    language: str = "en"


@dataclass(frozen=True)
class TemplatePlace:
    """A place of a unit's template, with the part that usually sits there. x, y: 0..1 of the drawing."""

    name: str
    sheet: str
    side: Side
    x: float
    y: float
    part: str
    properties: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class UnitTemplate:
    """A unit with one assembly and its places in walk order. `design` names the drawing."""

    key: str
    title: str
    design: str
    assembly: str
    places: tuple[TemplatePlace, ...]


@dataclass(frozen=True)
class NewPlace:
    """A position that is to come on a unit. x, y: 0..1 of the drawing."""

    name: str = ""
    sheet: str = ""
    side: Side = Side.BOTH
    x: float = 0.5
    y: float = 0.5


SheetPath = tuple[str | int, ...]
"""The way to a value of a sheet's text: ('reading', 0, 'upper_mm')."""


@dataclass(frozen=True)
class SheetField:
    """One thing of a sheet that can be looked at or changed.

    Args:
        kind: 'value' for a text or number, 'flag', 'texts' for a list of texts, 'table', or 'absent' for one that
            could be added.
        shown: What it says now, '' for an absent one.
    """

    path: SheetPath
    kind: str
    title: str
    shown: str


class SheetDraft(Protocol):
    """A sheet being edited. Nothing is in force before it is adopted."""

    @property
    def key(self) -> str: ...
    @property
    def title(self) -> str: ...
    @property
    def revision(self) -> int:
        """The revision that it will be."""
        ...

    @property
    def is_changed(self) -> bool: ...
    def name_of(self, path: SheetPath) -> str:
        """Return what a table or list is called."""
        ...

    def fields(self, path: SheetPath) -> tuple[SheetField, ...]:
        """Return what stands in a table, and what could be added to it."""
        ...

    def texts(self, path: SheetPath) -> tuple[str, ...]:
        """Return the texts of a list."""
        ...

    def value(self, path: SheetPath) -> str:
        """Return a value as one types it."""
        ...

    def change(self, path: SheetPath, typed: str) -> None:
        """Set a value, or add one to a list; a text that is no such value is refused by the field's name."""
        ...

    def flip(self, path: SheetPath) -> None:
        """Turn a flag."""
        ...

    def remove(self, path: SheetPath) -> None:
        """Take a value, a text of a list, or a table out."""
        ...

    def copy(self, path: SheetPath) -> SheetPath:
        """Put another table like this behind it and return the way to it."""
        ...

    def problems(self) -> tuple[str, ...]:
        """Return why it cannot come into force as it stands, in sentences."""
        ...

    def sheet(self) -> ServiceSheet:
        """Return what it says; refused while it has problems that keep it from being read."""
        ...


class PreparedSetUp(Protocol):
    """A set-up that was looked through and changes nothing yet."""

    @property
    def lines(self) -> Sequence[str]:
        """What each line would change."""
        ...

    @property
    def unchanged(self) -> int:
        """How many lines say what is on record already."""
        ...


class SetUp(Protocol):
    """Does what the pages ask for."""

    def is_new(self) -> bool:
        """Return whether the yard is still to be made."""
        ...

    def first_choices(self) -> FirstYard:
        """Return sensible choices to begin with."""
        ...

    def time_zones(self) -> Mapping[str, Sequence[str]]:
        """Return {part of the world: its time zones}."""
        ...

    def found(self, first: FirstYard) -> None:
        """Make the yard; the kiosk begins anew on it with the supervisor's badge."""
        ...

    def templates(self) -> tuple[UnitTemplate, ...]: ...
    def add_unit(self, template: str, name: str, hours: float, by: str | None) -> str:
        """Put a unit with its parts and label numbers on record and return its id."""
        ...

    def add_place(self, unit_id: str, place: NewPlace, by: str | None) -> str:
        """Put a position on record and return its id."""
        ...

    def put_part(self, position_id: str, description: str, properties: str, by: str | None) -> None:
        """Put a part on record at an empty position."""
        ...

    def label_sheet(self, unit_id: str) -> Path:
        """Write every label of a unit to one PDF of sheets."""
        ...

    def add_person(self, name: str, role: Role, by: str | None) -> Person:
        """Put a person with a new badge number on record."""
        ...

    def change_person(self, person: Person, by: str | None) -> None:
        """Change a person; one supervisor stays."""
        ...

    def new_badge(self, person_id: str, reason: str, by: str | None) -> Person:
        """Give a person another badge number; the old one is retired."""
        ...

    def retire(self, person_id: str, reason: str, by: str | None) -> None:
        """Retire a person's badge: they cannot sign in any more; their records stay."""
        ...

    def print_badge(self, person_id: str, by: str | None) -> Path:
        """Print a badge and return its page."""
        ...

    def edit_sheet(self, key: str) -> SheetDraft: ...
    def adopt(self, draft: SheetDraft, by: str | None) -> ServiceSheet:
        """Put a draft into force as the next revision."""
        ...

    def prepared(self) -> Sequence[Path]:
        """Return the folders with a prepared set-up: of the shop, and on sticks that are plugged in."""
        ...

    def ways_out(self) -> Sequence[Path]:
        """Return the folders that a set-up may be taken out to."""
        ...

    def look_through(self, path: Path, by: str | None) -> PreparedSetUp:
        """Return what a prepared set-up would change."""
        ...

    def bring_in(self, prepared: PreparedSetUp) -> None:
        """Put all of it on record, or nothing."""
        ...

    def take_out(self, folder: Path) -> Mapping[str, int]:
        """Write the set-up into a folder and return how much of each was written."""
        ...
