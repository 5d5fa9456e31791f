"""A job's form: the readings typed on the kiosk's keys, each judged on its gauge, what to do, what saving will do."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

from kivy.properties import StringProperty

from kiosk.language import tr
from kiosk.presenters.parts import ReadingRow, StepRow
from kiosk.screens.base import figure_of, finding_row, press_row
from kiosk.screens.reading_cards import ReadingCardsScreen, advice_row
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets import keypad as _keypad  # noqa: F401  used by the .kv file
from kiosk.widgets import shapes as _shapes  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import ListRow, TextRow
from kiosk.widgets.theme import load_kv, theme


class FormScreen(ReadingCardsScreen):
    """Shows a `FormState`. Faces of the lower part: '' keys, 'list' (all readings, steps, findings, note).

    Args:
        beside_cards: What stands next to the cards: 'advice', 'question' or 'picture'.
    """

    beside_cards = StringProperty("advice")

    def show_lists(self) -> None:
        """Fill cards, advice and the lower part."""
        self.find_active()
        self.beside_cards = self._beside_cards()
        self.show_cards()
        self.ids.advice.show(("advice", *self._advice_source()), self._advice())
        if self.face == "list":
            self._show_list()

    def _beside_cards(self) -> str:
        """Return what stands beside the cards: a question, how to measure while nothing is typed yet, else advice."""
        active = self.active
        if active and active.suggestion:
            return "question"
        is_told = any(line.weight in ("do", "stop") for line in (*self.state.advice, *self.state.differences))
        is_new = active and active.picture and not active.typed and not active.message and not is_told
        return "picture" if is_new else "advice"

    def _show_list(self) -> None:
        state = self.state
        message = self.active.message if self.active else ""
        source = (message, state.advice, state.differences, state.will_open, state.rows, state.steps, state.findings,
                  state.note, state.advice_source)
        self.ids.list.show(source, self._list())

    def _advice_source(self) -> tuple[Hashable, ...]:
        message = self.active.message if self.active else ""
        how = (self.active.why if self.active.typed else self.active.how) if self.active else ""
        again = self.active.again if self.active else None
        return (message, again, how, *self.state.differences, *self.state.advice, self.state.save.missing)

    def _advice(self) -> Iterator[Any]:
        if self.active and self.active.again:
            # on a low panel the row keeps to its first line, or no advice would fit under it; the list tells the rest
            why = (self.active.message,) if theme.height > 7 * theme.target else ()
            yield press_row(self.active.again.label, why, "inspect", self.presenter.measure_again)
        elif self.active and self.active.message:
            yield TextRow(title=self.active.message, figure="stop")
        yield from map(advice_row, (*self.state.advice, *self.state.differences))
        if self.active and not self.active.typed:
            yield TextRow(lines=(self.active.how,), figure="inspect")
        elif self.active:
            yield TextRow(lines=(self.active.why,), figure="info")
        if self.state.save.missing:
            yield self._missing_row()

    def _missing_row(self) -> Any:
        """Return what is still missing; where the row is not in sight, a touch leads to it."""
        missing = self.state.save
        if not missing.row or missing.row in {row.key for row in self.beside}:
            return TextRow(lines=(missing.missing,), figure="save")
        return press_row(missing.missing, (), "right", lambda: self.presenter.focus(missing.row))

    def _list(self) -> Iterator[Any]:
        state = self.state
        if self.active and self.active.message:
            yield TextRow(title=self.active.message, figure="info")
        if self.active and self.active.how:
            yield TextRow(lines=(self.active.how,), figure="inspect")
        yield from map(advice_row, (*state.advice, *state.differences))
        yield from (TextRow(title=text, figure="flag") for text in state.will_open)
        yield from map(self._step_row, state.steps)
        yield from (finding_row(row, lambda row=row: self.presenter.toggle_finding(row.key)) for row in state.findings)
        yield press_row(tr("Note"), (state.note or tr("Nothing noted yet."),), "note",
                        lambda: self.ask_text(tr("Note"), state.note, self.presenter.set_note))
        yield from map(self._reading_row, state.rows)
        yield TextRow(lines=(state.advice_source,))

    def _step_row(self, step: StepRow) -> ListRow:
        return press_row(step.text, (), "mark_circle" if step.done else "mark_ring",
                         lambda: self.presenter.toggle_step(step.number), "chosen" if step.done else "plain")

    def _reading_row(self, row: ReadingRow) -> ListRow:
        name = f"{row.title} {row.side}".strip()
        word = row.verdict.word if row.verdict else ""
        lines = (f"{row.shown or row.typed}  {word}".strip(), row.limits, row.why)
        return press_row(name, lines, figure_of(row.verdict),
                         lambda: self._go_to(row.key), "chosen" if row.active else "plain")

    def _go_to(self, key: str) -> None:
        self.face = ""
        self.presenter.focus(key)


load_kv(__file__)
