"""Cutting out a bad length of belt: where it is, which way to mend it, the joint's bolts in their order."""

from __future__ import annotations

from collections.abc import Iterator

from kivy.properties import StringProperty

from kiosk.language import tr
from kiosk.presenters.parts import EntryRow, PlanRow
from kiosk.screens.base import KioskScreen, press_row
from kiosk.screens.reading_cards import advice_row
from kiosk.screens.step_list import CAUTION_FIGURES
from kiosk.widgets import belts as _belts  # noqa: F401  used by the .kv file
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets import keypad as _keypad  # noqa: F401  used by the .kv file
from kiosk.widgets import step_card as _step_card  # noqa: F401  used by the .kv file
from kiosk.widgets.fields import FieldCard
from kiosk.widgets.lists import ListRow, TextRow
from kiosk.widgets.theme import load_kv


class SpliceScreen(KioskScreen):
    """Shows a `SpliceState`; its stage picks the content. `says` what is wrong with an entry, '' if nothing is."""

    says = StringProperty("")

    def show_lists(self) -> None:
        """Fill the list of the stage."""
        state = self.state
        self.says = "\n".join(row.message for row in state.entries if row.message)
        self.ids.entries.show(state.entries, map(self._entry, state.entries))
        self.ids.facts.show((self.says, state.facts, state.advice), self._facts())
        self.ids.plans.show(state.plans, map(self._plan, state.plans))
        self.ids.joint.show((state.joint, state.passes, state.advice, state.will_open), self._joint())
        self.ids.caution.show((state.step,), self._caution())

    def _entry(self, row: EntryRow) -> FieldCard:
        card = FieldCard(name=row.title, typed=row.typed, tail=row.unit, active=row.active)
        card.bind(on_release=lambda _: self.presenter.focus(row.key))
        return card

    def _facts(self) -> Iterator[TextRow]:
        if self.says:
            yield TextRow(title=self.says, figure="stop")
        yield from map(advice_row, self.state.advice)
        yield TextRow(lines=self.state.facts)

    def _plan(self, plan: PlanRow) -> ListRow:
        figure = ("mark_circle" if plan.chosen else "mark_ring") if plan.feasible else "mark_square"
        # The rest of the reasons stands beside the joint: a row that grows when it is chosen would leave the page.
        lines = (plan.cuts, plan.takeup) if plan.feasible else plan.reasons
        return press_row(plan.title, tuple(text for text in lines if text), figure,
                         lambda: self.presenter.choose_plan(plan.key), "chosen" if plan.chosen else "plain",
                         plan.feasible)

    def _caution(self) -> Iterator[TextRow]:
        caution = self.state.step.caution if self.state.step else None
        if caution is not None:
            yield TextRow(title=f"{tr(caution.signal)}: {caution.hazard}", lines=(caution.action,),
                          figure=CAUTION_FIGURES[caution.signal])
        yield from map(advice_row, (line for line in self.state.advice if line.weight == "do"))

    def _joint(self) -> Iterator[TextRow]:
        if self.state.joint:
            yield TextRow(title=self.state.joint, figure="splice")
        if self.state.passes:
            yield TextRow(title=self.state.passes, figure="adjust")
        yield from map(advice_row, self.state.advice)
        yield from (TextRow(title=text, figure="flag") for text in self.state.will_open)

    def tick_next(self) -> None:
        """Ask to tick the bolt whose turn it is."""
        for bolt in self.state.bolts:
            if bolt.next:
                self.presenter.tick_bolt(bolt.number)
                return


load_kv(__file__)
