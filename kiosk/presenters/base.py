"""What every screen's presenter has: a state, a message bar with answers, the way back, and actions that never raise.

An action clears the last message, does its work, and shows the new state. What is refused by an error of ours comes
back as a message on the same screen, with everything typed still there.
"""

from __future__ import annotations

import functools
from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import replace
from typing import Concatenate, ParamSpec, TypeVar

from kiosk.entities import Scan
from kiosk.errors import KioskError, NotAllowed
from kiosk.language import tr
from kiosk.presenters.label_words import sentence_of
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import ActionState, FrameState, MessageState
from kiosk.presenters.states import State
from labels.errors import LabelError

P = ParamSpec("P")
S = TypeVar("S", bound="ScreenPresenter")
Handler = Callable[[], None]


def action(method: Callable[Concatenate[S, P], None]) -> Callable[Concatenate[S, P], None]:
    """Return a presenter's method as an action: clear the message, do it, show the state; refusals become messages."""

    def run(self: S, /, *args: P.args, **kwargs: P.kwargs) -> None:
        self.desk.session.touched()
        self.clear_message()
        try:
            method(self, *args, **kwargs)
            self._refresh_if_shown()
        except (KioskError, LabelError) as error:
            self.refuse(sentence_of(error))

    functools.update_wrapper(run, method)
    return run


class ScreenPresenter(ABC):
    """Root of the presenters. `state` is the last state shown, None before the first."""

    def __init__(self, desk: Navigation) -> None:
        self.desk = desk
        self.helpers = desk.helpers
        self.state: State | None = None
        self._message: MessageState | None = None
        self._answers: dict[str, Handler] = {}
        self._waits_for: Callable[[Scan], bool] | None = None

    @abstractmethod
    def build(self, frame: FrameState) -> State:
        """Return the state to show, with this frame."""

    def refresh(self) -> None:
        """Make a new state and show it."""
        self.state = self.build(self.desk.frame(self._message))
        self.desk.show_now(self)

    def reframe(self) -> None:
        """Show the same state under a new header; nothing is looked up again."""
        if self.state is not None:
            self.state = replace(self.state, frame=self.desk.frame(self._message))
            self.desk.show_now(self)

    @property
    def unsaved(self) -> str:
        """What would be lost from sight by leaving, '' if nothing."""
        return ""

    @property
    def is_asking(self) -> bool:
        """Whether a question waits for its answer."""
        return bool(self._answers)

    def typed(self, key: str) -> bool:
        """Take a key of a real keyboard for the screen's own field; False if it has none."""
        return False

    def shows_course(self, course_id: str) -> bool:
        """Whether this screen shows that guided work."""
        return False

    def second_passed(self) -> None:  # noqa: B027  most screens stand still
        """Show what goes on with time; called about once a second while this screen is shown."""

    def start_timer(self) -> None:
        """Start the screen's timer, asked for by a command label.

        Raises:
            NotAllowed: it has none.
        """
        raise NotAllowed(tr("This screen has no timer to start."))

    def takes_scan(self, scan: Scan) -> bool:
        """Whether this screen was waiting for exactly this scan; True ends its way to the desk."""
        return False

    def takes_awaited(self, scan: Scan) -> bool:
        """Whether a question on the message bar waits for this scan."""
        return self._waits_for is not None and self._waits_for(scan)

    def answer_number(self, number: int) -> bool:
        """Give the answer of that number, counted from 1, to the question shown; False if there is none."""
        keys = list(self._answers)
        if not 1 <= number <= len(keys):
            return False
        self.answer(keys[number - 1])
        return True

    # --- messages ---

    def clear_message(self) -> None:
        """Forget the message and its answers."""
        self._message, self._answers, self._waits_for = None, {}, None

    def tell(self, text: str, what_now: str = "", kind: str = "info") -> None:
        """Show a message on this screen."""
        self._message, self._answers = MessageState(kind, text, what_now), {}
        self._show_message()

    def refuse(self, text: str, what_now: str = "") -> None:
        """Show why something was refused, with the sound for it."""
        self.helpers.feedback("refused")
        self.tell(text, what_now, "refused")

    def ask(self, text: str, answers: dict[str, tuple[str, Handler]], what_now: str = "") -> None:
        """Ask on this screen; each answer is key: (label, what to do)."""
        buttons = tuple(ActionState(key, label) for key, (label, _) in answers.items())
        self._message = MessageState("question", text, what_now, buttons)
        self._answers = {key: handler for key, (_, handler) in answers.items()}
        self._show_message()

    def wait_for(self, takes: Callable[[Scan], bool], text: str, answers: dict[str, tuple[str, Handler]]) -> None:
        """Ask for a scan on this screen: `takes` gets the next ones, until an answer is given or the screen is left."""
        self.ask(text, answers)
        self._waits_for = takes

    def refuse_and_wait(self, text: str) -> None:
        """Say why a scan is not the one that is waited for, and go on waiting."""
        self.helpers.feedback("refused")
        if self._message is not None:
            self._message = replace(self._message, what_now=text)
            self._show_message()

    def _show_message(self) -> None:
        """Show the message on a new state, or on the last one when the records cannot be read any more."""
        try:
            self.refresh()
        except KioskError:
            self.reframe()

    def answer(self, key: str) -> None:
        """Take the answer to the question on the message bar; an answer to nothing changes nothing."""
        handler = self._answers.get(key)
        if handler is not None:
            self._answer(handler)

    def _answer(self, handler: Handler) -> None:
        self.desk.session.touched()
        self.clear_message()
        try:
            handler()
            self._refresh_if_shown()
        except (KioskError, LabelError) as error:
            self.refuse(sentence_of(error))

    def _refresh_if_shown(self) -> None:
        if self.desk.is_current(self):
            self.refresh()

    # --- the way back, the same on every screen ---

    def back(self) -> None:
        """Go back to the screen before."""
        self.desk.back()

    def home(self) -> None:
        """Go to the idle screen."""
        self.desk.home()

    def sign_out(self) -> None:
        """Sign out and go to the idle screen."""
        self.desk.sign_out()

    def open_label_pad(self) -> None:
        """Open the pad for typing a label number."""
        self.desk.open_label_pad()

    def label_key(self, key: str) -> None:
        """Take a key of the label pad."""
        self.desk.label_key(key)

    def close_label_pad(self) -> None:
        """Close the label pad, forgetting what was typed on it."""
        self.desk.close_label_pad()

    def pin_key(self, key: str) -> None:
        """Take a key of the PIN pad."""
        self.desk.pin_key(key)

    def change_pin(self) -> None:
        """Change the PIN that was typed on the pad for a new one."""
        self.desk.change_pin()

    def close_pin_pad(self) -> None:
        """Close the PIN pad; nobody else is signed in."""
        self.desk.close_pin_pad()
