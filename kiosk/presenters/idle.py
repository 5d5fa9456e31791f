"""The idle screen: 'scan a label or your badge', and the yard's units each by its worst state."""

from __future__ import annotations

from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.marks import mark_of_unit
from kiosk.presenters.parts import FrameState
from kiosk.presenters.states import IdleState, UnitTile

_HINT = "Hold a label under the scanner or the camera, or type its ten digits."


class IdlePresenter(ScreenPresenter):
    """The kiosk waits."""

    def build(self, frame: FrameState) -> IdleState:
        """Return the idle screen's state."""
        prompt = "Scan a label" if frame.header.is_signed_in else "Scan a label or your badge"
        return IdleState(frame, prompt, self.desk.camera_message or _HINT, tuple(self._tiles()))

    @action
    def open_unit(self, unit_id: str) -> None:
        """Open a unit from the board."""
        self.desk.open_unit(unit_id)

    def _tiles(self) -> list[UnitTile]:
        return [
            UnitTile(unit.id, unit.name, unit.description, mark_of_unit(self.helpers, unit.id))
            for unit in self.helpers.records.units()
        ]
