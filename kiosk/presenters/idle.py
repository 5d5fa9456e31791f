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
        hint = self.desk.clock_message or self.desk.device_message or tr(_HINT)
        return IdleState(frame, prompt, hint, self._tiles(), self._practise())

    @action
    def open_unit(self, unit_id: str) -> None:
        """Open a unit from the board."""
        self.desk.open_unit(unit_id)

    @action
    def open_supervisor(self) -> None:
        """Open the supervisor's pages."""
        self.desk.open_supervisor()

    @action
    def practise(self) -> None:
        """Begin practice on an invented yard, or end it."""
        if self.helpers.practise is not None:
            self.helpers.practise()

    def _practise(self) -> str:
        """Return what the button for practice says: offered while nobody is signed in, its end at any time."""
        if self.helpers.practise is None:
            return ""
        if self.helpers.settings.is_practice:
            return tr("End practice")
        return "" if self.desk.session.person else tr("Practise")

    def _tiles(self) -> tuple[UnitTile, ...]:
        """Return the board; only units that something was entered for are worked out anew."""
        marks = self.desk.due.board(self.helpers.today())
        return tuple(UnitTile(unit.id, unit.name, unit.description, marks[unit.id])
                     for unit in self.helpers.records.units())
