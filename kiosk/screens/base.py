"""What all screens share: a state to show, a presenter to ask, lists filled from the state.

A screen is thin: its .kv places and shows `root.state…`, taps go to `root.presenter.…()`. Lists of unknown length are
filled by `show_lists`, called once the .kv is in place and with every new state.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.presenters.parts import NEUTRAL, ActionState, DueRow, FindingRow, Mark, RecordRow
from kiosk.widgets.lists import ListRow, TextRow
from kiosk.widgets.theme import load_kv


class KioskScreen(BoxLayout):
    """A screen's content and side column.

    Args:
        state: The frozen state shown. `presenter`: whom taps ask. Both are given to `__init__` and change later.
        face: Which of several contents the screen's changing part shows; the screen's own matter.
        ask_text: Opens the letter board: `ask_text(prompt, text, done)`.
    """

    state = ObjectProperty(rebind=True)
    presenter = ObjectProperty(rebind=True)
    face = StringProperty("")
    ask_text = ObjectProperty()

    def on_kv_post(self, _base: object) -> None:
        """Fill the lists for the first time."""
        self.fbind("state", self._show_lists)
        self.fbind("face", self._show_lists)
        self.show_lists()

    def _show_lists(self, *_: object) -> None:
        self.show_lists()

    def show_lists(self) -> None:
        """Fill the screen's lists from the state."""

    def turn_to(self, face: str) -> None:
        """Show a face, or go back to the first one if it is shown already."""
        self.face = "" if self.face == face else face


def figure_of(mark: Mark | None) -> str:
    """Return the picture's name of a mark, '' for one that says nothing."""
    return f"mark_{mark.shape}" if mark and mark.word else ""


def _joined(*texts: str) -> str:
    return "  ".join(text for text in texts if text)


def press_row(title: str, lines: tuple[str, ...], figure: str, pressed: Callable[[], object], kind: str = "plain",
              enabled: bool = True) -> ListRow:
    """Return a row that calls `pressed` when it is pressed."""
    row = ListRow(title=title, lines=lines, figure=figure, kind=kind, disabled=not enabled)
    row.bind(on_release=lambda _: pressed())
    return row


def action_row(action: ActionState, pressed: Callable[[str], object]) -> ListRow:
    """Return an offered action as a row; a chosen one is ticked."""
    figure = "mark_circle" if action.chosen else "mark_ring"
    return press_row(action.label, (), figure, lambda: pressed(action.key), "chosen" if action.chosen else "plain",
                     action.enabled)


def due_row(row: DueRow, pressed: Callable[[], object] | None = None) -> Any:
    """Return a due job as a row, pressed or read only."""
    says_it = row.mark.word in row.when or row.mark.colour == NEUTRAL
    when = row.when if says_it else _joined(row.mark.word, row.when)
    lines = (row.place, when, row.last)
    if pressed is None:
        return TextRow(title=row.title, lines=lines, figure=figure_of(row.mark))
    return press_row(row.title, lines, figure_of(row.mark), pressed)


def record_row(row: RecordRow, pressed: Callable[[], object] | None = None) -> Any:
    """Return a service record as a row, pressed or read only."""
    title, lines = _joined(row.when, row.job), (_joined(row.person, row.hours), _joined(row.mark.word, row.summary))
    if pressed is None:
        return TextRow(title=title, lines=lines, figure=figure_of(row.mark))
    return press_row(title, lines, figure_of(row.mark), pressed)


def short_record_row(row: RecordRow) -> TextRow:
    """Return a service record as a row to read where there is little room."""
    return TextRow(title=_joined(row.when, row.job), lines=(_joined(row.person, row.mark.word, row.summary),),
                   figure=figure_of(row.mark))


def finding_row(row: FindingRow, pressed: Callable[[], object] | None = None) -> Any:
    """Return an open finding as a row; one that saving will close is ticked."""
    lines = (row.place, row.since)
    if pressed is None:
        return TextRow(title=row.text, lines=lines, figure="flag")
    figure = "mark_circle" if row.resolves else "flag"
    return press_row(row.text, lines, figure, pressed, "chosen" if row.resolves else "plain")


load_kv(__file__)
