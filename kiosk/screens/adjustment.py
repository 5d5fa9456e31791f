"""An adjustment session: measure, turn, run, measure again; each stage has its content, the story is a touch away."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

from kivy.properties import StringProperty

from kiosk.language import tr
from kiosk.presenters.parts import TurnRow
from kiosk.screens.base import figure_of, press_row
from kiosk.screens.reading_cards import ReadingCardsScreen, advice_row
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets import keypad as _keypad  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import TextRow
from kiosk.widgets.steppers import StepperRow
from kiosk.widgets.theme import load_kv, theme


class AdjustmentScreen(ReadingCardsScreen):
    """Shows an `AdjustmentState`. Faces: '' the stage, 'story' all steps so far, 'give up' the reasons.

    Args:
        shown: What the content shows: the face, else the stage.
    """

    shown = StringProperty("measure")
    _stage = ""

    def show_lists(self) -> None:
        """Fill what the stage shows."""
        state = self.state
        if state.stage != self._stage:
            self._stage, self.face = state.stage, ""
        self.shown = self.face or state.stage
        self.find_active()
        self.show_cards()
        self.ids.advice.show(("advice", *self._advice_source()), self._advice())
        self.ids.to_do.show((state.advice, state.differences), map(advice_row, (*state.advice, *state.differences)))
        self.ids.turns.show(state.turns, map(self._turn, state.turns))
        self.ids.outcome.show((state.stage, state.rows, state.differences), self._outcome())
        self.ids.story.show((state.story, state.advice_source), self._story())
        self.ids.reasons.show((self.face, state.reasons), self._reasons())

    def _advice_source(self) -> tuple[Hashable, ...]:
        active = self.active
        again = (active.message, active.again, active.typed, active.why) if active else ()
        return (*again, *self.state.differences, *self.state.advice, self.state.save.missing)

    def _advice(self) -> Iterator[Any]:
        active = self.active
        if active and active.again:
            why = (active.message,) if theme.height > 7 * theme.target else ()
            yield press_row(active.again.label, why, "inspect", self.presenter.measure_again)
        elif active and active.message:
            yield TextRow(title=active.message, figure="stop")
        if active and not active.typed:
            yield TextRow(lines=(active.how,), figure="inspect")
        yield from map(advice_row, (*self.state.advice, *self.state.differences))
        if self.state.save.missing:
            yield TextRow(lines=(self.state.save.missing,), figure="save")

    def _turn(self, row: TurnRow) -> StepperRow:
        stepper = StepperRow(state=row)
        stepper.bind(on_step=lambda _, by: self.presenter.turn(row.key, by))
        return stepper

    def _outcome(self) -> Iterator[Any]:
        yield TextRow(title=tr("Within its limits. Lock the nuts; guards back."), figure="mark_circle")
        for row in self.state.rows:
            yield TextRow(title=f"{row.title} {row.side}".strip(), lines=(row.shown, row.limits),
                          figure=figure_of(row.verdict))
        yield from map(advice_row, self.state.differences)
        yield press_row(tr("Turn once more all the same"), (), "adjust", self.presenter.turn_on)

    def _story(self) -> Iterator[Any]:
        if not self.state.story:
            yield TextRow(title=tr("Nothing is on record yet. Measure first."), figure="info")
        yield from (TextRow(lines=(line,)) for line in self.state.story)
        yield TextRow(lines=(self.state.advice_source,))

    def _reasons(self) -> Iterator[Any]:
        yield TextRow(title=tr("Why is it given up? What is outside its limits stays on the list."), figure="info")
        for reason in self.state.reasons:
            yield press_row(reason, (), "stop", lambda reason=reason: self.presenter.give_up(reason))
        yield press_row(tr("Another reason: type it"), (), "note", lambda: self.ask_text(
            tr("Why is it given up?"), "", self.presenter.give_up))


load_kv(__file__)
