"""The idle screen: 'scan a label or your badge', and the yard's units each by its worst state."""

from __future__ import annotations

from kiosk.language import N_, tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.board import board_of_yard
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import FrameState
from kiosk.presenters.states import IdleState, UnitTile

_HINT = N_("Hold a label under the scanner or the camera, or type its ten digits.")


class IdlePresenter(ScreenPresenter):
    """The kiosk waits."""

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self._board: tuple[object, tuple[UnitTile, ...]] = (None, ())

    def build(self, frame: FrameState) -> IdleState:
        """Return the idle screen's state."""
        prompt = tr("Scan a label") if frame.header.is_signed_in else tr("Scan a label or your badge")
        return IdleState(frame, prompt, self.desk.clock_message or self.desk.device_message or _HINT, self._tiles())

    @action
    def open_unit(self, unit_id: str) -> None:
        """Open a unit from the board."""
        self.desk.open_unit(unit_id)

    @action
    def open_supervisor(self) -> None:
        """Open the supervisor's pages."""
        self.desk.open_supervisor()

    def _tiles(self) -> tuple[UnitTile, ...]:
        """Return the board; worked out again only after something was entered, or on another day."""
        helpers = self.helpers
        stand = (helpers.records.head(), helpers.today())
        if self._board[0] != stand:
            marks = board_of_yard(helpers.records, helpers.sheets, stand[1], helpers.settings)
            units = helpers.records.units()
            tiles = tuple(UnitTile(unit.id, unit.name, unit.description, marks[unit.id]) for unit in units)
            self._board = (stand, tiles)
        return self._board[1]
