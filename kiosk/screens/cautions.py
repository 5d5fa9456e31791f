"""The job's cautions, one touch a card, and the hour meter when it was not read this shift."""

from __future__ import annotations

from kivy.properties import BooleanProperty

from kiosk.presenters.parts import CautionRow
from kiosk.presenters.states import CautionsState
from kiosk.screens.base import KioskScreen, action_row
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets import fields as _fields  # noqa: F401  used by the .kv file
from kiosk.widgets import keypad as _keypad  # noqa: F401  used by the .kv file
from kiosk.widgets.cautions import CautionCard
from kiosk.widgets.theme import load_kv


class CautionsScreen(KioskScreen):
    """Shows a `CautionsState`. Once all cards of the last page are confirmed, the hour meter comes up by itself."""

    asks_hours = BooleanProperty(False)

    def show_lists(self) -> None:
        """Fill the cards, or the hour meter's suggestions."""
        state = self.state
        is_next = _cards_are_done(state) and _hours_are_open(state)
        self.asks_hours = self.face == "hours" or (self.face == "" and is_next)
        self._show_cards()
        suggestions = state.hours.suggestions if state.hours else ()
        self.ids.suggestions.show(suggestions, (
            action_row(action, lambda key: self.presenter.take_hours(key)) for action in suggestions))

    def _show_cards(self) -> None:
        """Keep the cards while only their ticks change, so that the page stays; turn it once all on it are ticked."""
        cards, rows = self.ids.cards, self.state.cards
        cards.show(tuple(row.key for row in rows), map(self._card, rows))
        for card, row in zip(cards.rows(), rows, strict=True):
            card.row = row
        on_page = cards.rows_on_page()
        if on_page and all(card.row.confirmed for card in on_page):
            cards.turn(1)

    def turn_cards(self, by: int) -> None:
        """Turn the cards shown, and at their end the presenter's page."""
        before = self.ids.cards.page
        self.ids.cards.turn(by)
        if self.ids.cards.page == before:
            (self.presenter.next_page if by > 0 else self.presenter.previous_page)()

    def _card(self, row: CautionRow) -> CautionCard:
        card = CautionCard(row=row)
        card.bind(on_release=lambda _: self.presenter.confirm(row.key))
        return card


def _cards_are_done(state: CautionsState) -> bool:
    return state.page == state.pages and all(card.confirmed for card in state.cards)


def _hours_are_open(state: CautionsState) -> bool:
    return state.hours is not None and not state.hours.confirmed


load_kv(__file__)
