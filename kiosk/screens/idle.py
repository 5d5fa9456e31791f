"""The waiting screen: what to scan, the camera's picture, the yard's units each by its worst state."""

from __future__ import annotations

from kiosk.presenters.states import RoundTile, UnitTile
from kiosk.screens.base import KioskScreen, press_row
from kiosk.widgets import preview as _preview  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import ListRow, StateTile
from kiosk.widgets.theme import load_kv


class IdleScreen(KioskScreen):
    """Shows an `IdleState`."""

    def show_lists(self) -> None:
        """Fill the board of units."""
        rounds, units = self.state.rounds, self.state.units
        self.ids.units.show((*rounds, *units), [*map(self._round_tile, rounds), *map(self._tile, units)])

    def _round_tile(self, row: RoundTile) -> ListRow:
        return press_row(row.title, tuple(text for text in (row.progress, row.people) if text), "",
                         lambda: self.presenter.open_round(row.key), "primary" if row.people else "plain")

    def _tile(self, unit: UnitTile) -> StateTile:
        tile = StateTile(title=unit.name, mark=unit.mark)
        tile.bind(on_release=lambda _: self.presenter.open_unit(unit.unit_id))
        return tile


load_kv(__file__)
