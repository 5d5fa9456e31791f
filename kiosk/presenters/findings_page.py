"""Findings: all that are open, and one of them with who saw it, how soon to put it right, photos, what to do."""

from __future__ import annotations

from kiosk.entities import Finding, PhotoOf, Severity
from kiosk.events import FindingClosed, UnitHeld
from kiosk.language import N_, tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import PageRow
from kiosk.presenters.photo_page import PhotoPage
from kiosk.presenters.rows import person_name
from kiosk.presenters.words import HELD, NOTHING, OPEN_FINDING, counted, place_text, when_text

CLOSE, PHOTOS, PART, HOLD = "close", "photos", "part", "hold"
SOONEST_FIRST = (Severity.BEFORE_USE, Severity.NEXT_SERVICE, Severity.WATCH, Severity.NOT_SAID)


def seen_text(desk: Navigation, finding: Finding) -> str:
    """Return since when a finding is open and who saw it."""
    helpers = desk.helpers
    since = when_text(finding.opened_at, helpers.clock(), helpers.settings.zone)
    return tr("since {since}, {person_name}").format(
        since=since, person_name=person_name(helpers, finding.opened_by))


class FindingsPage(PagePresenter):
    """Every open finding of the yard, those first that must be put right before the unit goes out."""

    title = N_("Open findings")
    empty_text = N_("No open findings.")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the findings; pressing one opens it."""
        findings = sorted(self.helpers.records.open_findings(),
                          key=lambda finding: SOONEST_FIRST.index(finding.severity))
        pictured = {kept.subject_id for kept in self.helpers.records.photos_of(
            PhotoOf.FINDING, [finding.id for finding in findings])}
        return tuple(self._row(finding, finding.id in pictured) for finding in findings)

    def _row(self, finding: Finding, has_photo: bool) -> PageRow:
        records = self.helpers.records
        place = place_text(records.unit(finding.unit_id), records.position(finding.position_id))
        lines = (tr(finding.severity.value) if finding.severity.value else "", place, seen_text(self.desk, finding),
                 tr("with a photo") if has_photo else "")
        return PageRow(finding.id, finding.text, tuple(line for line in lines if line), OPEN_FINDING)

    def pressed(self, key: str) -> None:
        """Open a finding."""
        self.desk.open_page(FindingPage(self.desk, key))


class FindingPage(PagePresenter):
    """One finding."""

    def __init__(self, desk: Navigation, finding_id: str) -> None:
        super().__init__(desk)
        self._id = finding_id
        self._finding = self.helpers.records.finding(finding_id)
        self.title = self._finding.text

    def rows(self) -> tuple[PageRow, ...]:
        """Return what is known of it, then what can be done about it."""
        records, finding = self.helpers.records, self.helpers.records.finding(self._id)
        unit = records.unit(finding.unit_id)
        place = place_text(unit, records.position(finding.position_id))
        photos = len(records.photos_of(PhotoOf.FINDING, [self._id]))
        severity = tr(finding.severity.value) if finding.severity.value else tr("nobody said how soon")
        rows = [
            PageRow("known", severity[:1].upper() + severity[1:], (place, seen_text(self.desk, finding)), OPEN_FINDING,
                    enabled=False),
            PageRow(PHOTOS, tr("Photos"), (counted(photos, "photo"),), NOTHING),
            PageRow(PART, tr("Open the part"), (), NOTHING),
        ]
        if finding.closed_at is None:
            rows.append(PageRow(CLOSE, tr("Close the finding"), (tr("with a reason"),), NOTHING,
                                tr("Why is it closed? {text}").format(text=finding.text)))
        if records.hold_of(unit.id) is None:
            rows.append(PageRow(HOLD, tr("Hold {name} out of service").format(name=unit.name), (), HELD,
                                tr("Why is {name} held out of service?").format(name=unit.name)))
        return tuple(rows)

    def pressed(self, key: str) -> None:
        """Open its photos, or its part."""
        if key == PHOTOS:
            place = self.helpers.records.position(self._finding.position_id).name
            self.desk.open_page(PhotoPage(self.desk, PhotoOf.FINDING, self._id, place))
        elif key == PART:
            self.desk.open_component(self._finding.component_id)

    def typed_text(self, key: str, text: str) -> None:
        """Close it, or hold its unit, with a reason."""
        payload = FindingClosed(self._id, text) if key == CLOSE else UnitHeld(self._finding.unit_id, text)
        self.helpers.records.append(self.desk.session.event(payload))
        self.note = tr("The finding is closed.") if key == CLOSE else tr("The unit is held out of service.")
        self.helpers.feedback("saved")
