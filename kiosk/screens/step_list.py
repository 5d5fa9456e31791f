"""A step list: what is changed and its labels, then one step at a time with all that belongs to it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kivy.properties import StringProperty

from kiosk.language import tr
from kiosk.presenters.parts import NewPartRow, StepRow
from kiosk.screens.base import action_row, figure_of, press_row
from kiosk.screens.reading_cards import ReadingCardsScreen
from kiosk.widgets import belts as _belts  # noqa: F401  used by the .kv file
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets import keypad as _keypad  # noqa: F401  used by the .kv file
from kiosk.widgets import step_card as _step_card  # noqa: F401  used by the .kv file
from kiosk.widgets import steppers as _steppers  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import TextRow
from kiosk.widgets.theme import load_kv

CAUTION_FIGURES = {"DANGER": "stop", "WARNING": "warning", "CAUTION": "warning", "NOTICE": "info"}


class StepListScreen(ReadingCardsScreen):
    """Shows a `StepListState`. Faces: '' the stage, 'steps' all of them, 'give up' the reasons.

    Args:
        shown: What the content shows: the face, else the stage and what the step takes.
    """

    shown = StringProperty("parts")
    _at = ""

    def show_lists(self) -> None:
        """Fill what the step shows."""
        state = self.state
        if state.progress != self._at:
            self._at, self.face = state.progress, ""
        self.shown = self.face or (state.kind if state.stage == "step" else state.stage)
        self.find_active()
        self.show_cards()
        self.ids.reasons.show(state.reasons, (
            action_row(reason, lambda key: self.presenter.choose_reason(key)) for reason in state.reasons))
        self.ids.parts.show((state.stage, state.parts), self._parts())
        self.ids.labels.show((state.stage, state.parts), self._labels())
        self.ids.caution.show((state.caution, state.kind, state.save.missing, state.passes), self._caution())
        self.ids.how.show((self.active, state.save.missing), self._how())
        self.ids.steps.show(state.steps, map(self._step_row, state.steps))
        self.ids.give_up.show((self.face, state.give_up_reasons), self._give_up())

    def _parts(self) -> Iterator[Any]:
        """Yield the parts that may be changed, then a key for each chosen one that names the new part."""
        for part in self.state.parts:
            figure = "mark_circle" if part.chosen else "mark_ring"
            yield press_row(part.title, (part.text,), figure, lambda part=part: self.presenter.choose_part(part.key),
                            "chosen" if part.chosen else "plain")
        for part in self.state.parts:
            if part.chosen:
                yield press_row(tr("Another kind of part: name it"), (part.title,), "note",
                                lambda part=part: self._name(part))

    def _name(self, part: NewPartRow) -> None:
        self.ask_text(tr("New part: {place}").format(place=part.title), part.text,
                      lambda text: self.presenter.name_part(part.key, text))

    def _labels(self) -> Iterator[Any]:
        for part in self.state.parts:
            yield TextRow(title=f"{part.label}  {part.state.word}", lines=(f"{part.title}: {part.text}",),
                          figure=figure_of(part.state))

    def _caution(self) -> Iterator[Any]:
        caution = self.state.caution
        if caution is not None:
            yield TextRow(title=f"{tr(caution.signal)}: {caution.hazard}", lines=(caution.action,),
                          figure=CAUTION_FIGURES[caution.signal])
        if self.state.passes:
            yield TextRow(lines=(self.state.passes,), figure="adjust")

    def _how(self) -> Iterator[Any]:
        active = self.active
        if active and active.again:
            yield press_row(active.again.label, (), "inspect", self.presenter.measure_again)
        if active and active.message:
            yield TextRow(title=active.message, figure="stop")
        if active:
            yield TextRow(lines=(active.how if not active.typed else active.why,), figure="inspect")
        if self.state.save.missing:
            yield TextRow(lines=(self.state.save.missing,), figure="save")

    def _step_row(self, step: StepRow) -> TextRow:
        return TextRow(title=f"{step.number}. {step.text}", figure="mark_circle" if step.done else "mark_ring")

    def _give_up(self) -> Iterator[Any]:
        yield TextRow(title=tr("Why is it given up? What is left undone stays on the list."), figure="info")
        for reason in self.state.give_up_reasons:
            yield press_row(reason, (), "stop", lambda reason=reason: self.presenter.give_up(reason))
        yield press_row(tr("Another reason: type it"), (), "note", lambda: self.ask_text(
            tr("Why is it given up?"), "", self.presenter.give_up))


load_kv(__file__)
