"""What was saved, said after it is durable, and where to go next."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.screens.base import KioskScreen, press_row
from kiosk.widgets.lists import TextRow
from kiosk.widgets.theme import load_kv


class SavedScreen(KioskScreen):
    """Shows a `SavedState`."""

    def show_lists(self) -> None:
        """Fill what was saved and what comes next."""
        state = self.state
        self.ids.lines.show((state.lines, state.findings), self._lines())
        self.ids.next.show(state.next, (
            press_row(action.label, (), "", lambda key=action.key: self.presenter.answer(key),
                      "primary" if action.chosen else "plain", action.enabled) for action in state.next))

    def _lines(self) -> Iterator[TextRow]:
        yield from (TextRow(lines=(line,)) for line in self.state.lines)
        yield from (TextRow(title=text, figure="flag") for text in self.state.findings)


load_kv(__file__)
