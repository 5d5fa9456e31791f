"""A part comes off and a new one goes on: why, what is new, its label printed and read back, saved in one touch."""

from __future__ import annotations

from collections.abc import Iterator

from kivy.properties import ObjectProperty

from kiosk.presenters.parts import EntryRow
from kiosk.screens.base import KioskScreen, action_row
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets import keypad as _keypad  # noqa: F401  used by the .kv file
from kiosk.widgets.fields import FieldCard
from kiosk.widgets.lists import TextRow
from kiosk.widgets.theme import load_kv


class ReplaceScreen(KioskScreen):
    """Shows a `ReplaceState`. The left part shows the reasons, or the keys while a number is asked for.

    Args:
        number_row: The active entry if it is typed on the number keys, else None.
    """

    number_row = ObjectProperty(None, allownone=True, rebind=True)

    def show_lists(self) -> None:
        """Fill reasons, entries and what is said of the label."""
        state = self.state
        self.number_row = next((row for row in state.entries if row.active and row.numeric), None)
        self.ids.reasons.show(state.reasons, (
            action_row(reason, lambda key: self.presenter.choose_reason(key)) for reason in state.reasons))
        self.ids.entries.show((state.entries, state.label), self._entries())

    def _entries(self) -> Iterator[object]:
        yield from map(self._entry, self.state.entries)
        if self.state.label:
            figure = "mark_circle" if self.state.label.read_back else "label"
            yield TextRow(title=self.state.label.number, lines=(self.state.label.text,), figure=figure)

    def _entry(self, row: EntryRow) -> FieldCard:
        card = FieldCard(name=row.message or row.title, typed=row.typed, active=row.active)
        card.bind(on_release=lambda _: self._ask(row))
        return card

    def _ask(self, row: EntryRow) -> None:
        self.presenter.focus(row.key)
        if not row.numeric:
            self.ask_text(row.title, row.typed, lambda text: self.presenter.set_text(row.key, text))


load_kv(__file__)
