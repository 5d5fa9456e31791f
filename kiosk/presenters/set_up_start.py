"""The set-up's first page: units, crew, service sheets, the yard's name, taking out and bringing in."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.events import YardNamed
from kiosk.language import N_, tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import PageRow
from kiosk.presenters.set_up_crew import CrewSetUpPage
from kiosk.presenters.set_up_exchange import ExchangePage
from kiosk.presenters.set_up_page import SetUpPage
from kiosk.presenters.set_up_sheets import SheetsPage
from kiosk.presenters.set_up_units import UnitsPage
from kiosk.presenters.words import NOTHING, counted


class SetUpStart(SetUpPage):
    """Where the set-up begins."""

    title = N_("Set up the yard")

    def rows(self) -> tuple[PageRow, ...]:
        """Return where one can go."""
        records = self.helpers.records
        units, people = len(records.units()), len(records.people())
        return (
            PageRow("units", tr("Units"), (counted(units, "unit"), tr("Add one from a template, print its labels")),
                    NOTHING),
            PageRow("crew", tr("Crew and badges"), (counted(people, "person"), tr("Add somebody, print a badge")),
                    NOTHING),
            PageRow("sheets", tr("Service sheets"), (tr("Limits, intervals, cautions, steps"),), NOTHING),
            PageRow("exchange", tr("Take out, bring in"), (tr("All of it as tables and sheets, on a stick"),), NOTHING),
            self.field("name", tr("The yard's name"), records.yard_name(), tr("What is the yard called?")),
        )

    def pressed(self, key: str) -> None:
        """Open a page."""
        pages: dict[str, Callable[[Navigation], SetUpPage]] = {
            "units": UnitsPage, "crew": CrewSetUpPage, "sheets": SheetsPage, "exchange": ExchangePage}
        self.desk.open_page(pages[key](self.desk))

    def typed_text(self, key: str, text: str) -> None:
        """Name the yard."""
        self.helpers.records.append(self.desk.session.event(YardNamed(text)))
        self.done(tr("The yard is named {name}.").format(name=text))
