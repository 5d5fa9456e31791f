"""The idle screen: 'scan a label or your badge', and the yard's units each by its worst state."""

from __future__ import annotations

from kiosk.language import N_, tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.parts import FrameState
from kiosk.presenters.states import IdleState, UnitTile

_HINT = N_("Hold a label under the scanner or the camera, or type its ten digits.")


class IdlePresenter(ScreenPresenter):
    """The kiosk waits."""

    def build(self, frame: FrameState) -> IdleState:
        """Return the idle screen's state."""
        prompt = tr("Scan a label") if frame.header.is_signed_in else tr("Scan a label or your badge")
        return IdleState(frame, prompt, self.desk.clock_message or self.desk.device_message or tr(_HINT), self._tiles())

    @action
    def open_unit(self, unit_id: str) -> None:
        """Open a unit from the board."""
        self.desk.open_unit(unit_id)

    @action
    def open_supervisor(self) -> None:
        """Open the supervisor's pages."""
        self.desk.open_supervisor()

    def _tiles(self) -> tuple[UnitTile, ...]:
        """Return the board; only units that something was entered for are worked out anew."""
        marks = self.desk.due.board(self.helpers.today())
        return tuple(UnitTile(unit.id, unit.name, unit.description, marks[unit.id])
                     for unit in self.helpers.records.units())
