"""The waiting screen: what to scan, the camera's picture, the yard's units each by its worst state."""

from __future__ import annotations

from kiosk.presenters.states import UnitTile
from kiosk.screens.base import KioskScreen
from kiosk.widgets import preview as _preview  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import StateTile
from kiosk.widgets.theme import load_kv


class IdleScreen(KioskScreen):
    """Shows an `IdleState`."""

    def show_lists(self) -> None:
        """Fill the board of units."""
        self.ids.units.show(self.state.units, map(self._tile, self.state.units))

    def _tile(self, unit: UnitTile) -> StateTile:
        tile = StateTile(title=unit.name, mark=unit.mark)
        tile.bind(on_release=lambda _: self.presenter.open_unit(unit.unit_id))
        return tile


load_kv(__file__)
