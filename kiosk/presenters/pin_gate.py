"""The pad on which a PIN is typed or chosen. It shows dots, never digits, and forgets what was typed with every step.

A badge says who it is; the PIN proves it for those whom the yard's `pin_for` names. A person without a PIN at this
kiosk chooses one, twice; one whose PIN is on record but not kept here any more is refused until it is set anew.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from kiosk.entities import Person, Role
from kiosk.errors import KioskError, NotAllowed
from kiosk.events import Event, Payload, PersonLocked, PersonUnlocked, PinSet, PinsPaused
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.keys import digits_after
from kiosk.presenters.parts import PinPadState
from kiosk.presenters.ports import PinAnswer
from kiosk.presenters.words import counted

SHORTEST, LONGEST = 4, 12
CLOSES_AFTER_S = 60.0
BY_BADGE, BY_PIN = "badge", "badge and PIN"
_WHO = {"leads": frozenset({Role.LEAD, Role.SUPERVISOR}), "all": frozenset(Role), "nobody": frozenset[Role]()}


def needs_pin(helpers: Helpers, person: Person) -> bool:
    """Say whether the yard asks this person for a PIN."""
    return person.role in _WHO[helpers.settings.pin_for]


class PinGate:
    """One person at the pad.

    Args:
        signed_in: Called with the person once the PIN proved right or was chosen.
        changed: Called when the pad looks different.
    """

    def __init__(self, helpers: Helpers, person: Person, signed_in: Callable[[Person], None],
                 changed: Callable[[], None]) -> None:
        self.person = person
        self._helpers, self._signed_in, self._changed = helpers, signed_in, changed
        self._typed, self._first, self._busy, self._is_open, self._changes = "", "", False, True, False
        self._stage = "enter" if helpers.pins.is_set(person.id) else "choose"
        if self._stage == "choose" and helpers.records.pin_was_set(person.id):
            raise NotAllowed(tr("The PIN of {person} is not kept at this kiosk any more. Have it set again with "
                                "'kiosk pin set'.").format(person=person.name))
        if self._stage == "choose" and not helpers.records.can_save:
            raise NotAllowed(tr("{person} has no PIN at this kiosk, and none can be chosen while nothing can be saved. "
                                "Restore the records at the desk with 'kiosk restore'.").format(person=person.name))
        wait_s = helpers.pins.wait_s(person.id)
        self._said = tr("Wait {time_text}, then type it.").format(time_text=_time_text(wait_s)) if wait_s > 0 else ""

    def state(self) -> PinPadState:
        """Return what the pad shows."""
        return PinPadState("●" * len(self._typed), self._said or self._hint(), tr("Looking …") if self._busy else "",
                           can_change=self._stage == "enter")

    def close(self) -> None:
        """Forget what was typed; an answer still on its way signs nobody in."""
        self._typed, self._first, self._is_open = "", "", False

    def change(self) -> None:
        """Take the PIN that was typed as the old one, and have a new one chosen if it is right."""
        if self._stage == "enter" and not self._busy and self._is_open:
            self._changes = True
            self.key("enter")
            self._changes = self._busy

    def key(self, key: str) -> None:
        """Take a key of the pad: a digit, 'back', 'clear' or 'enter'."""
        if self._busy or not self._is_open:
            return
        if key != "enter":
            self._said = ""
            self._typed = digits_after(self._typed, key, LONGEST) if key != "." else self._typed
            return
        typed, self._typed = self._typed, ""
        if len(typed) < SHORTEST:
            self._said = tr("A PIN has {shortest} to {longest} digits.").format(shortest=SHORTEST, longest=LONGEST)
        elif self._stage == "enter":
            self._busy = True
            self._helpers.pins.check(self.person.id, typed, self._checked, self._failed)
        else:
            self._choose(typed)

    def _choose(self, typed: str) -> None:
        if self._stage == "choose":
            self._stage, self._first, self._said = "repeat", typed, ""
            return
        first, self._first = self._first, ""
        self._stage = "choose"
        if typed != first:
            self._said = tr("The two were not the same. Choose again.")
            return
        self._busy = True
        self._helpers.pins.choose(self.person.id, typed, self._chosen, self._failed)

    def _checked(self, answer: PinAnswer) -> None:
        self._busy = False
        self._record(answer)
        changes, self._changes = self._changes, False
        if answer.right and changes:
            self._stage = "choose"
            self._changed()
            return
        if answer.right:
            self._through()
            return
        self._helpers.feedback("refused")
        self._said = _sentence(answer)
        self._changed()

    def _record(self, answer: PinAnswer) -> None:
        """Put a lock, a pause or the end of a lock into the journal, in the kiosk's own name."""
        if answer.was_locked:
            self._append(PersonUnlocked(self.person.id, "the time ran out"), None)
        if answer.locked_until is not None:
            self._append(PersonLocked(self.person.id, answer.locked_until, answer.wrong_tries), None)
        if answer.paused_until is not None:
            self._append(PinsPaused(answer.paused_until, answer.kiosk_tries), None)

    def _chosen(self, method: str) -> None:
        self._busy = False
        self._append(PinSet(self.person.id, method), self.person.id)
        self._through()

    def _through(self) -> None:
        if self._is_open:
            self._signed_in(self.person)

    def _failed(self, error: Exception) -> None:
        self._busy = self._changes = False
        self._helpers.feedback("refused")
        self._said = (error.operator_message if isinstance(error, KioskError)
                      else tr("The PIN could not be looked at. Try again, and tell the supervisor if it comes again."))
        self._changed()

    def _append(self, payload: Payload, person_id: str | None) -> None:
        if not self._helpers.records.can_save:  # the wrong tries are counted beside the records all the same
            return
        now: datetime = self._helpers.clock()
        self._helpers.records.append(Event(self._helpers.new_id(), now, person_id, payload))

    def _hint(self) -> str:
        if self._stage == "enter":
            return tr("PIN of {person}").format(person=self.person.name)
        if self._stage == "choose" and self._helpers.pins.is_set(self.person.id):
            return tr("{person}: choose the new PIN, {shortest} to {longest} digits").format(
                person=self.person.name, shortest=SHORTEST, longest=LONGEST)
        if self._stage == "choose":
            return tr("{person}: choose a PIN of {shortest} to {longest} digits").format(
                       person=self.person.name, shortest=SHORTEST, longest=LONGEST)
        return tr("The same PIN once more")


def _sentence(answer: PinAnswer) -> str:
    if answer.locked_until is not None:
        return tr("{wrong_tries} wrong PINs in a row: locked for {time_text}.").format(
                   wrong_tries=answer.wrong_tries, time_text=_time_text(answer.wait_s))
    if not answer.looked_at:
        return tr("Too early. Wait {time_text}, then type it again.").format(time_text=_time_text(answer.wait_s))
    left = tr("one more try") if answer.tries_left == 1 else tr("{tries_left} more tries").format(
                                                             tries_left=answer.tries_left)
    return tr("That is not the PIN. Wait {time_text}; {left} before it locks.").format(
               time_text=_time_text(answer.wait_s), left=left)


def _time_text(seconds: float) -> str:
    """Return a wait in words, never shorter than it is."""
    if seconds > 90:
        return counted(-(-seconds // 60), "minute")
    return counted(max(1.0, -(-seconds // 1)), "second")
