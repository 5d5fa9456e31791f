"""The helpers that every presenter gets, in one frozen bundle, and the look-ups that most screens begin with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from kiosk.entities import Component, Position, Unit
from kiosk.errors import NotFound
from kiosk.language import tr
from kiosk.presenters.drafts import DraftStore, NoDraftStore
from kiosk.presenters.ports import (
    Clock,
    ClockWatch,
    HubWatch,
    LabelDesk,
    NewId,
    NoPhotos,
    Photos,
    Pins,
    Progress,
    Records,
    Reports,
    Restores,
    RunSlow,
    Sheets,
    ThisKiosk,
    no_progress,
    run_at_once,
)
from kiosk.presenters.set_up_ports import SetUp
from kiosk.presenters.settings import FloorSettings
from kiosk.presenters.shifts import Shift, shift_at
from kiosk.presenters.words import place_text
from kiosk.service_sheet import JobSpec, ServiceSheet

Feedback = Callable[[str], None]


@dataclass(frozen=True)
class Helpers:
    """What the kiosk gives its presenters. `feedback` plays 'read', 'refused' or 'saved'.

    `practise` begins practice on an invented yard, or ends it; None where there is none.
    `draft_store` keeps what was typed over a restart. `restores`: None where no backup can be put in place.
    `tell_progress` shows how much of slow work is done, 0..1, from any thread.
    """

    records: Records
    sheets: Sheets
    labels: LabelDesk
    reports: Reports
    clock: Clock
    new_id: NewId
    settings: FloorSettings
    feedback: Feedback
    pins: Pins
    clock_watch: ClockWatch | None = None
    this_kiosk: ThisKiosk | None = None
    practise: Callable[[], None] | None = None
    hub_watch: HubWatch | None = None
    set_up: SetUp | None = None
    draft_store: DraftStore = field(default_factory=NoDraftStore)
    run_slow: RunSlow = run_at_once
    restores: Restores | None = None
    photos: Photos = field(default_factory=NoPhotos)
    tell_progress: Progress = no_progress

    def shift(self) -> Shift:
        """Return the shift that is running now."""
        return shift_at(self.clock(), self.settings)

    def is_clock_doubtful(self) -> bool:
        """Say whether the times of what is entered now are not sure."""
        return self.clock_watch is not None and self.clock_watch.doubt is not None

    def today(self) -> date:
        """Return the yard's working day."""
        return self.shift().day


@dataclass(frozen=True)
class Part:
    """A component with everything that says what and where it is.

    Args:
        sheets: Gives the part's sheet in the language spoken, which may change while the part's page is open.
    """

    component: Component
    position: Position
    unit: Unit
    sheets: Sheets

    @property
    def sheet(self) -> ServiceSheet:
        """The sheet that serves it."""
        return self.sheets.sheet(self.component.sheet)

    @property
    def place(self) -> str:
        """Where it sits."""
        return place_text(self.unit, self.position)

    @property
    def title(self) -> str:
        """What it is."""
        return self.component.description or self.sheet.title

    def job(self, key: str) -> JobSpec:
        """Return a job of its sheet.

        Raises:
            NotFound: the sheet in force has no such job.
        """
        try:
            return self.sheet.job(key)
        except KeyError as error:
            raise NotFound(tr("The service sheet '{sheet}' has no job '{key}' any more.").format(
                               sheet=self.sheet.title, key=key)) from error


@dataclass(frozen=True)
class OneSheet:
    """Answers `Sheets` with one sheet, whatever is asked for: a part with a sheet that is not in force yet."""

    only: ServiceSheet

    def sheet(self, key: str) -> ServiceSheet:
        """Return the sheet."""
        return self.only

    def sheets(self) -> tuple[ServiceSheet, ...]:
        """Return the sheet."""
        return (self.only,)


def part_of(helpers: Helpers, component_id: str) -> Part:
    """Return a component with its position, unit and sheet.

    Raises:
        NotFound: no such component, or no sheet for it.
    """
    component = helpers.records.component(component_id)
    position = helpers.records.position(component.position_id)
    part = Part(component, position, helpers.records.unit(component.unit_id), helpers.sheets)
    helpers.sheets.sheet(component.sheet)  # refused here, and not on the page
    return part
