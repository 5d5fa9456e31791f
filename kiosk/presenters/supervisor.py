"""The supervisor's pages: open findings, units held out of service, reports, and which parts do not last."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.entities import Role
from kiosk.events import UnitHeld, UnitReleased
from kiosk.language import N_, tr, trn
from kiosk.presenters.coming_page import ComingPage, RecordsPage
from kiosk.presenters.crew_page import CrewPage
from kiosk.presenters.findings_page import FindingsPage
from kiosk.presenters.hub_page import HubPage
from kiosk.presenters.kiosk_pages import ThisKioskPage
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import PageRow
from kiosk.presenters.ports import Drawing
from kiosk.presenters.restore_page import RestorePage
from kiosk.presenters.rows import person_name
from kiosk.presenters.set_up_start import SetUpStart
from kiosk.presenters.where_to import WhereTo
from kiosk.presenters.words import DAMAGED, FINE, HELD, LOCKED, NOTHING, OPEN_FINDING, counted, when_text

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
                (counted(len(findings), "open finding"), tr("Photos, close with a reason")),
                OPEN_FINDING if findings else FINE,
            ),
            PageRow("coming", tr("What is coming"), (tr("Overdue, this shift, this week"),), NOTHING),
            PageRow("histories", tr("Histories"), (tr("Of a unit, of one of the crew"),), NOTHING),
            PageRow(
                "units",
                tr("Hold a unit"),
                (tr("{count} out of service now").format(count=counted(len(holds), "unit")),),
                HELD if holds else FINE,
            ),
            PageRow("reports", tr("Reports"), (tr("Shift, month, findings, audit; on a USB stick, too"),), NOTHING),
            PageRow("life", tr("Which parts do not last"), (tr("Life by kind and position"),), NOTHING),
            *self._hub_rows(),
            self._crew_row(),
            self._set_up_row(),
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

    def _set_up_row(self) -> PageRow:
        may = self.desk.session.worker().role is Role.SUPERVISOR and self.helpers.set_up is not None
        lines = (tr("Units, crew, service sheets"), "" if may else tr("takes a supervisor"))
        return PageRow("set up", tr("Set up the yard"), lines, NOTHING, enabled=may)

    def _crew_row(self) -> PageRow:
        locked = sum(until is not None for until in self.helpers.pins.locks().values())
        said = trn("{n} PIN is locked", "{n} PINs are locked", locked).format(n=locked) if locked else ""
        lines = (said, tr("Let somebody in again")) if locked else (tr("Who has a PIN, who is locked"),)
        return PageRow("crew", tr("Crew and PINs"), lines, LOCKED if locked else NOTHING)

    def pressed(self, key: str) -> None:
        """Open a page."""
        pages: dict[str, Callable[[Navigation], PagePresenter]] = {
            "findings": FindingsPage, "coming": ComingPage, "histories": RecordsPage, "units": HoldPage,
            "reports": ReportsPage, "life": LifePage, "hub": HubPage, "crew": CrewPage, "records": RestorePage,
            "set up": SetUpStart, "kiosk": ThisKioskPage}
        self.desk.open_page(pages[key](self.desk))


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
    """Reports written to the shop's report folder or a USB stick."""

    title = N_("Reports")

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self._where = WhereTo(self.helpers.reports, with_kind=True)

    def rows(self) -> tuple[PageRow, ...]:
        """Return paper, place and kind of file, then the reports."""
        return (*(PageRow(key, tr(title), (tr(what),), NOTHING) for key, title, what in REPORTS), *self._where.rows())

    def pressed(self, key: str) -> None:
        """Change how it is written, or write a report, off the screen's thread."""
        if self._where.takes(key):
            return
        reports, wish, doing = self.helpers.reports, self._where.wish(), tr("Writing the report")
        tell = self.helpers.tell_progress
        self.later(lambda: tr("Saved as {path}").format(path=reports.report(key, wish, tell)), doing)


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
