"""A unit's screen: its assemblies drawn with every position by its worst state, due jobs, findings, hours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from kiosk.entities import Assembly, DueItem, Finding, Position
from kiosk.language import tr, trn
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.before_shift import before_shift
from kiosk.presenters.due_list import is_due
from kiosk.presenters.in_hand import NOT_THE_LOCK, in_hand_text
from kiosk.presenters.marks import marks_of_positions
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import ActionState, DiagramMark, DiagramState, DueRow, FrameState, Mark
from kiosk.presenters.round_plan import open_round_of, round_jobs
from kiosk.presenters.rounds import begin_round
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
            summary=_summary(urgent, findings), round=self._round_button(), in_hand=self._in_hand(),
            before=before_shift(helpers, unit.id, findings, self.desk.session.units), lock_out=self._lock_out_button(),
        )

    @action
    def begin_round(self) -> None:
        """Begin the unit's round, go on with it, or take it up from whoever has it."""
        self.desk.when_free(self, self._unit.id, self._begin_round)

    def _begin_round(self) -> None:
        going = open_round_of(self.helpers.records.open_rounds(), self._unit.id)
        if going is None:
            begin_round(self.desk, self._unit.id)
        else:
            self.desk.open_round(going.work.id)

    @action
    def toggle_lock_out(self) -> None:
        """Note a lock-out in one's own name, after saying what the note is not; or take one's own note back."""
        self.desk.session.worker()
        unit_id, in_hand = self._unit.id, self.desk.in_hand
        if in_hand.own_lock_out(unit_id) is not None:
            self.ask(tr("Is your own lock off {unit} again, and everybody clear of it?").format(unit=self._unit.name), {
                "yes": (tr("Yes, my lock is off"), lambda: in_hand.take_lock_out_back(unit_id)),
                "no": (tr("No"), lambda: None)})
            return
        self.ask(tr("Did you hang your own lock on {unit} and try the start?").format(unit=self._unit.name), {
            "yes": (tr("Yes, note it"), lambda: in_hand.note_lock_out(unit_id)), "no": (tr("No"), lambda: None),
        }, tr(NOT_THE_LOCK))

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

    def _round_button(self) -> ActionState | None:
        going = open_round_of(self.helpers.records.open_rounds(), self._unit.id)
        if going is None:
            count = len(round_jobs(self.desk, self._unit.id))
            text = trn("Round: {n} job", "Round: {n} jobs", count).format(n=count)
            return ActionState("begin", text) if count else None
        person = self.desk.session.person
        is_mine = person is not None and going.work.is_held_by(person.id)
        return ActionState("go on", tr("Round: go on") if is_mine else tr("Round: take up"))

    def _in_hand(self) -> str:
        works = self.helpers.records.work_in_hand(self._unit.id)
        return " ".join(in_hand_text(self.desk, work, self._unit.name) for work in works[:2])

    def _lock_out_button(self) -> ActionState | None:
        if self.desk.session.person is None:
            return None
        is_noted = self.desk.in_hand.own_lock_out(self._unit.id) is not None
        return ActionState("lock-out", tr("My lock is off again") if is_noted else tr("Note my lock-out"), is_noted)

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
