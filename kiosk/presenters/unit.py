"""A unit's screen: its assemblies drawn with every position by its worst state, due jobs, findings, hours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from kiosk.entities import Assembly, DueItem, Finding, Position
from kiosk.language import tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.due_list import is_due
from kiosk.presenters.marks import marks_of_positions
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import DiagramMark, DiagramState, DueRow, FrameState, Mark
from kiosk.presenters.rows import due_row, finding_row
from kiosk.presenters.states import UnitState
from kiosk.presenters.words import FINE, counted, hours_text, when_text


class UnitPresenter(ScreenPresenter):
    """One unit of the fleet."""

    def __init__(self, desk: Navigation, unit_id: str) -> None:
        super().__init__(desk)
        self._unit = self.helpers.records.unit(unit_id)
        self._positions = {position.id: position for position in self.helpers.records.positions(unit_id)}
        self._shown = 0

    def build(self, frame: FrameState) -> UnitState:
        """Return the unit's state."""
        helpers, unit = self.helpers, self._unit
        due = self.desk.due.of_unit(unit.id, helpers.today())
        findings = helpers.records.open_findings(unit_id=unit.id)
        urgent = [item for item in due if is_due(item, helpers.today())]
        return UnitState(
            frame=frame, unit_id=unit.id, title=unit.name, description=unit.description, hours=self._hours(),
            diagrams=self._diagrams(due, findings), shown=self._shown, due=self._due_rows(urgent),
            findings=tuple(finding_row(helpers, finding, self._place(finding.position_id)) for finding in findings),
            summary=_summary(urgent, findings),
        )

    @action
    def show_assembly(self, index: int) -> None:
        """Draw another assembly of the unit."""
        if 0 <= index < len(self.helpers.records.assemblies(self._unit.id)):
            self._shown = index

    @action
    def open_position(self, position_id: str) -> None:
        """Open the part at a position."""
        self.desk.open_position(position_id)

    @action
    def open_component(self, component_id: str) -> None:
        """Open a part from the list of due jobs."""
        self.desk.open_component(component_id)

    def _hours(self) -> str:
        reading, zone = self.helpers.records.hours(self._unit.id), self.helpers.settings.zone
        if reading is None:
            return tr("hour meter not read yet")
        return tr("{hours}, read {at}").format(
                   hours=hours_text(reading.hours), at=when_text(reading.at, self.helpers.clock(), zone))

    def _due_rows(self, urgent: list[DueItem]) -> tuple[DueRow, ...]:
        """Return what is due, the most urgent first and then in the order in which one walks round the unit."""
        walked = sorted(urgent, key=lambda item: (not item.overdue, self._walk_order(item.position_id)))
        return tuple(due_row(self.helpers, item, self._place(item.position_id), self.helpers.today())
                     for item in walked)

    def _walk_order(self, position_id: str) -> int:
        position = self._positions.get(position_id)
        return position.walk_order if position else 0

    def _place(self, position_id: str) -> str:
        position = self._positions.get(position_id)
        return position.name if position else ""

    def _diagrams(self, due: tuple[DueItem, ...], findings: tuple[Finding, ...]) -> tuple[DiagramState, ...]:
        marks = marks_of_positions(self.helpers, due, findings)
        assemblies = self.helpers.records.assemblies(self._unit.id)
        return tuple(_diagram(assembly, self._positions.values(), marks) for assembly in assemblies)


def _diagram(assembly: Assembly, positions: Iterable[Position], marks: Mapping[str, Mark]) -> DiagramState:
    """Return one assembly with the marks of its positions, in walk order."""
    there = sorted((place for place in positions if place.assembly_id == assembly.id), key=lambda p: p.walk_order)
    return DiagramState(assembly.id, assembly.name, assembly.design, tuple(
        DiagramMark(place.id, place.x, place.y, place.name, place.walk_order, marks.get(place.id, FINE))
        for place in there
    ))


def _summary(urgent: list[DueItem], findings: tuple[Finding, ...]) -> str:
    overdue = sum(item.overdue for item in urgent)
    return tr("{overdue} overdue · {count} due today · {count_2}").format(
               overdue=overdue, count=len(urgent) - overdue, count_2=counted(len(findings), "open finding"))
