"""The first day: what a newcomer tries in five minutes, step by step, on a yard where nothing counts.

The tour only watches which screen is shown and says what to try next. A step is over when its screen came, whichever
way it was reached; whoever has no label at hand lets the tour scan for them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kiosk.entities import Scan, ScanSource
from kiosk.language import N_, tr
from kiosk.presenters.component import ComponentPresenter
from kiosk.presenters.desk import Desk
from kiosk.presenters.states import FormState, HistoryState, IdleState, SavedState, State

WELCOME = N_("Five minutes on a practice yard. Nothing that you enter here is kept; the real records are not touched.")
DONE = N_("That is all there is to it: scan, do what the form says, save. From here on try what you like; "
          "'End practice' on the start leads back to the real records.")


@dataclass(frozen=True)
class TourLabels:
    """The labels that the tour uses: a mechanic's badge, a bearing that is greased, a chain that is adjusted."""

    badge: str
    bearing: str
    chain: str


@dataclass(frozen=True)
class Step:
    """One thing to try. `label` is what the tour may scan for the newcomer, '' for none."""

    text: str
    is_done: Callable[[State], bool]
    label: str = ""


class Tour:
    """Leads through the steps on a desk of its own. Call `shown` with every state that the desk shows."""

    def __init__(self, desk: Desk, labels: TourLabels) -> None:
        self._desk = desk
        self._steps = self._plan(labels)
        self._at = 0
        self._is_asking = False
        self._last: type[State] | None = None

    def begin(self) -> None:
        """Say what this is and what comes first."""
        self._say(tr(WELCOME))

    def shown(self, state: State) -> None:
        """Take note of what the desk shows; go on when the step is over, say it again on the start screen."""
        if self._is_asking or self._at >= len(self._steps):
            return
        came_home = isinstance(state, IdleState) and self._last not in (None, type(state))
        self._last = type(state)
        if self._steps[self._at].is_done(state):
            self._at += 1
            self._say("")
        elif came_home and not self._desk.current.is_asking:
            self._say("")

    def _plan(self, labels: TourLabels) -> Sequence[Step]:
        return (
            Step(tr("Scan your badge. For practice you are somebody of the invented crew."),
                 lambda state: state.frame.header.is_signed_in, labels.badge),
            Step(tr("Scan the label on a bearing. Its page says what was done last and what it may take today."),
                 lambda _: self._part_is(labels.bearing), labels.bearing),
            Step(tr("Grease it: touch the large button. Cautions and the hour meter come first, once a shift. Give the "
                    "strokes, then save."), lambda state: isinstance(state, SavedState)),
            Step(tr("Now a chain. Scan its label."), lambda _: self._part_is(labels.chain), labels.chain),
            Step(tr("Touch 'Jobs' and open one that measures."), lambda state: isinstance(state, FormState)),
            Step(tr("Type a reading on each side; the drawing shows where to hold the rule. Each is judged as you "
                    "type, and the advice says what to turn. Type what it is 'as left', then save."),
                 lambda state: isinstance(state, SavedState)),
            Step(tr("Go back to the part and open its history: what you entered stands on top, for every shift to "
                    "see."), lambda state: isinstance(state, HistoryState)),
        )

    def _part_is(self, number: str) -> bool:
        current = self._desk.current
        return isinstance(current, ComponentPresenter) and current.part.component.label == number

    def _say(self, before: str) -> None:
        """Say the next step on the screen that is shown, or that the tour is over."""
        self._is_asking = True
        try:
            if self._at >= len(self._steps):
                self._desk.current.ask(tr(DONE), {"go": (tr("Go on"), _nothing)})
                return
            step = self._steps[self._at]
            count = tr("Step {step} of {all}").format(step=self._at + 1, all=len(self._steps))
            answers: dict[str, tuple[str, Callable[[], None]]] = {"go": (tr("I try it"), _nothing)}
            if step.label:
                answers["scan"] = (tr("Scan it for me"), lambda: self._scan(step.label))
            self._desk.current.ask(f"{count}: {step.text}", answers, before)
        finally:
            self._is_asking = False

    def _scan(self, number: str) -> None:
        self._desk.scan(Scan(number, ScanSource.SCANNER, self._desk.helpers.clock()))


def _nothing() -> None:
    """The answer that only closes the question."""
