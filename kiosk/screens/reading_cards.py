"""What the form and the adjustment session share: the reading that is typed, its sides as cards, lines of advice."""

from __future__ import annotations

from kivy.properties import ListProperty, ObjectProperty

from kiosk.presenters.parts import AdviceLine
from kiosk.screens.base import KioskScreen
from kiosk.widgets.lists import TextRow
from kiosk.widgets.readings import ReadingCard

ADVICE_FIGURES = {"do": "right", "why": "info", "check": "tick", "stop": "stop"}


class ReadingCardsScreen(KioskScreen):
    """A screen with readings in its state's `rows`, and a box `cards` for them.

    Args:
        active: The row that is typed into. `beside`: the rows of the same quantity, one a side.
    """

    active = ObjectProperty(None, allownone=True, rebind=True)
    beside = ListProperty()

    def find_active(self) -> None:
        """Find the row that is typed into, and those beside it."""
        rows = self.state.rows
        self.active = next((row for row in rows if row.active), rows[0] if rows else None)
        self.beside = [row for row in rows if self.active and row.title == self.active.title]

    def show_cards(self) -> None:
        """Keep the cards that are there, so that a keystroke only changes their words."""
        cards = self.ids.cards
        while len(cards.children) > len(self.beside):
            cards.remove_widget(cards.children[0])
        while len(cards.children) < len(self.beside):
            card = ReadingCard(state=self.beside[len(cards.children)])
            card.bind(on_press_field=lambda card: self.presenter.focus(card.state.key))
            cards.add_widget(card)
        for card, row in zip(reversed(cards.children), self.beside, strict=True):
            card.state = row


def advice_row(line: AdviceLine) -> TextRow:
    """Return a line of advice; what to do and what stops the work stand in bold."""
    is_main = line.weight in ("do", "stop")
    return TextRow(title=line.text if is_main else "", lines=() if is_main else (line.text,),
                   figure=ADVICE_FIGURES[line.weight])
