"""The idle screen: 'scan a label or your badge', and the yard's units each by its worst state."""

from __future__ import annotations

from kiosk.language import N_, tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.parts import FrameState
from kiosk.presenters.round_plan import open_round_of, progress_text, round_title
from kiosk.presenters.rounds import begin_round
from kiosk.presenters.rows import person_name
from kiosk.presenters.states import IdleState, RoundTile, UnitTile
from kiosk.work_in_hand import Round

YARD_ROUND = "yard"

_HINT = N_("Hold a label under the scanner or the camera, or type its ten digits.")


class IdlePresenter(ScreenPresenter):
    """The kiosk waits."""

    def build(self, frame: FrameState) -> IdleState:
        """Return the idle screen's state."""
        prompt = tr("Scan a label") if frame.header.is_signed_in else tr("Scan a label or your badge")
        hint = self.desk.clock_message or self.desk.device_message or tr(_HINT)
        return IdleState(frame, prompt, hint, self._tiles(), self._practise(), self._rounds())

    @action
    def open_unit(self, unit_id: str) -> None:
        """Open a unit from the board."""
        self.desk.open_unit(unit_id)

    @action
    def open_round(self, key: str) -> None:
        """Open a round that goes on, or begin that of the yard."""
        going = next((one for one in self.helpers.records.open_rounds() if one.work.id == key), None)
        if going is None:
            begin_round(self.desk, None)
        elif going.work.unit_id is not None:
            self.desk.open_unit(going.work.unit_id)
        else:
            self._open_yard_round(going)

    def _open_yard_round(self, going: Round) -> None:
        """Show the yard's round; whoever has not got it takes it up first."""
        self.desk.in_hand.when_in_hand(self, going.work, lambda: self.desk.open_round(going.work.id))

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

    def _rounds(self) -> tuple[RoundTile, ...]:
        """Return the rounds that go on, and that of the yard where none does."""
        rounds = self.helpers.records.open_rounds()
        tiles = tuple(RoundTile(one.work.id, one.work.what, progress_text(one), self._holders(one)) for one in rounds)
        if open_round_of(rounds, None) is not None:
            return tiles
        return (*tiles, RoundTile(YARD_ROUND, round_title(None), tr("begin"), ""))

    def _holders(self, one: Round) -> str:
        return " + ".join(person_name(self.helpers, hand.person_id) for hand in one.work.holders)

    def _tiles(self) -> tuple[UnitTile, ...]:
        """Return the board; only units that something was entered for are worked out anew."""
        marks = self.desk.due.board(self.helpers.today())
        return tuple(UnitTile(unit.id, unit.name, unit.description, marks[unit.id])
                     for unit in self.helpers.records.units())
