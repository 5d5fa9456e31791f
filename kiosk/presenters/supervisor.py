"""The supervisor's pages: open findings, units held out of service, reports, and which parts do not last."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.events import FindingClosed, UnitHeld, UnitReleased
from kiosk.language import N_, tr, trn
from kiosk.presenters.crew_page import CrewPage
from kiosk.presenters.hub_page import HubPage
from kiosk.presenters.kiosk_pages import ThisKioskPage
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import PageRow
from kiosk.presenters.ports import Drawing
from kiosk.presenters.restore_page import RestorePage
from kiosk.presenters.rows import person_name
from kiosk.presenters.words import DAMAGED, FINE, HELD, LOCKED, NOTHING, OPEN_FINDING, counted, place_text, when_text

REPORTS = (
    ("shift", N_("Shift report"), N_("What was done in this shift, left outside, overridden, found")),
    ("month", N_("Monthly summary"), N_("Jobs a day, by unit, where most was replaced")),
    ("findings", N_("Open findings"), N_("Every one, the oldest first; units held out of service")),
    ("audit", N_("Audit extract"), N_("Corrections, closings, holds, replacements and overrides of the last 30 days")),
)


class SupervisorPresenter(PagePresenter):
    """The way in."""

    title = N_("Supervisor")

    def rows(self) -> tuple[PageRow, ...]:
        """Return where one can go."""
        findings, holds = self.helpers.records.open_findings(), self.helpers.records.holds()
        return (
            PageRow(
                "findings",
                tr("Open findings"),
                (counted(len(findings), "open finding"), tr("Close one with a reason")),
                OPEN_FINDING if findings else FINE,
            ),
            PageRow(
                "units",
                tr("Hold a unit"),
                (tr("{count} out of service now").format(count=counted(len(holds), "unit")),),
                HELD if holds else FINE,
            ),
            PageRow("reports", tr("Reports"), (tr("Shift, month, findings, audit, as PDF"),), NOTHING),
            PageRow("life", tr("Which parts do not last"), (tr("Life by kind and position"),), NOTHING),
            *self._hub_rows(),
            self._crew_row(),
            *self._records_row(),
            PageRow("kiosk", tr("This kiosk"), (tr("What works, devices, updates"),), NOTHING),
        )

    def _records_row(self) -> tuple[PageRow, ...]:
        restores = self.helpers.restores
        if restores is None:
            return ()
        if restores.can_restore:
            return (PageRow("records", tr("Backups"), (tr("Nothing can be saved: put one in the records' place"),),
                            DAMAGED),)
        return (PageRow("records", tr("Backups"), (tr("Which there are; put one in the records' place"),), NOTHING),)

    def _hub_rows(self) -> tuple[PageRow, ...]:
        conflicts = self.helpers.records.open_conflicts()
        if self.helpers.hub_watch is None and not conflicts:
            return ()
        said = trn("{n} thing to settle", "{n} things to settle", len(conflicts)).format(n=len(conflicts))
        lines = (said,) if conflicts else (tr("Last seen, entries waiting, chains"),)
        return (PageRow("hub", tr("Kiosks of the yard"), lines, OPEN_FINDING if conflicts else NOTHING),)

    def _crew_row(self) -> PageRow:
        locked = sum(until is not None for until in self.helpers.pins.locks().values())
        said = trn("{n} PIN is locked", "{n} PINs are locked", locked).format(n=locked) if locked else ""
        lines = (said, tr("Let somebody in again")) if locked else (tr("Who has a PIN, who is locked"),)
        return PageRow("crew", tr("Crew and PINs"), lines, LOCKED if locked else NOTHING)

    def pressed(self, key: str) -> None:
        """Open a page."""
        pages: dict[str, Callable[[Navigation], PagePresenter]] = {
            "findings": FindingsPage, "units": HoldPage, "reports": ReportsPage, "life": LifePage,
            "hub": HubPage, "crew": CrewPage, "records": RestorePage, "kiosk": ThisKioskPage}
        self.desk.open_page(pages[key](self.desk))


class FindingsPage(PagePresenter):
    """Every open finding of the yard, closed by a reason."""

    title = N_("Open findings")
    empty_text = N_("No open findings.")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the findings, the oldest first; pressing one asks for the reason to close it."""
        helpers = self.helpers
        rows = []
        for finding in helpers.records.open_findings():
            place = place_text(helpers.records.unit(finding.unit_id), helpers.records.position(finding.position_id))
            since = when_text(finding.opened_at, helpers.clock(), helpers.settings.zone)
            seen = tr("since {since}, {person_name}").format(
                       since=since, person_name=person_name(helpers, finding.opened_by))
            lines = tuple(line for line in (place, seen, tr(finding.severity.value)) if line)
            rows.append(
                PageRow(
                    finding.id,
                    finding.text,
                    lines,
                    OPEN_FINDING,
                    tr("Why is it closed? {text}").format(text=finding.text),
                )
            )
        return tuple(rows)

    def typed_text(self, key: str, text: str) -> None:
        """Close a finding with a reason."""
        self.helpers.records.append(self.desk.session.event(FindingClosed(key, text)))
        self.note = tr("The finding is closed.")
        self.helpers.feedback("saved")


class HoldPage(PagePresenter):
    """Units held out of service, and let go again; both with a reason."""

    title = N_("Hold a unit out of service")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the units; pressing one asks why it is held, or why it may go out again."""
        return tuple(self._row(unit.id, unit.name) for unit in self.helpers.records.units())

    def _row(self, unit_id: str, name: str) -> PageRow:
        hold = self.helpers.records.hold_of(unit_id)
        if hold is None:
            return PageRow(
                unit_id, name, (tr("in service"),), NOTHING, tr("Why is {name} held out of service?").format(name=name)
            )
        since = when_text(hold.held_at, self.helpers.clock(), self.helpers.settings.zone)
        lines = (hold.reason, tr("since {since}, {person_name}").format(
                                  since=since, person_name=person_name(self.helpers, hold.held_by)))
        return PageRow(unit_id, name, lines, HELD, tr("Why may {name} go out again?").format(name=name))

    def typed_text(self, key: str, text: str) -> None:
        """Hold a unit, or let it go."""
        held = self.helpers.records.hold_of(key) is not None
        payload = UnitReleased(key, text) if held else UnitHeld(key, text)
        self.helpers.records.append(self.desk.session.event(payload))
        name = self.helpers.records.unit(key).name
        said = tr("{name} may go out again.") if held else tr("{name} is held out of service.")
        self.note = said.format(name=name)
        self.helpers.feedback("saved")


class ReportsPage(PagePresenter):
    """Reports written to the shop's report folder."""

    title = N_("Reports")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the kinds of report."""
        return tuple(PageRow(key, tr(title), (tr(what),), NOTHING) for key, title, what in REPORTS)

    def pressed(self, key: str) -> None:
        """Write a report as PDF, off the screen's thread."""
        reports = self.helpers.reports
        self.later(lambda: tr("Saved as {path}").format(path=reports.report_pdf(key)), tr("Writing the report"))


class LifePage(PagePresenter):
    """Kinds of parts to choose from."""

    title = N_("Which parts do not last")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the kinds of parts of the yard's sheets."""
        return tuple(PageRow(sheet.key, sheet.title, (), NOTHING) for sheet in self.helpers.sheets.sheets())

    def pressed(self, key: str) -> None:
        """Open a kind of part."""
        self.desk.open_page(LifeOfKind(self.desk, key))


class LifeOfKind(PagePresenter):
    """The life of one kind of part: all, left and right, and the positions that eat them, beside the curve."""

    def __init__(self, desk: Navigation, sheet: str) -> None:
        super().__init__(desk)
        self.title = tr("Life of parts: {title}").format(title=self.helpers.sheets.sheet(sheet).title)
        self._picture = self.helpers.reports.life_picture(sheet)

    def rows(self) -> tuple[PageRow, ...]:
        """Return what the lives say, to be read."""
        return tuple(PageRow(str(number), heading, (text,), NOTHING, enabled=False)
                     for number, (heading, text) in enumerate(self._picture.lines))

    def drawing(self) -> Drawing | None:
        """Return the curve."""
        return self._picture.drawing
