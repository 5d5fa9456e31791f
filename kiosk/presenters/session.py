"""Who is signed in at the kiosk, since when idle, and events in their name."""

from __future__ import annotations

import contextlib
from datetime import datetime

from kiosk.entities import Person, ScanSource
from kiosk.errors import NotAllowed, StoreUnavailable
from kiosk.events import Event, Payload, SignedIn, SignedOut
from kiosk.language import speak, tr
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.hub_words import hub_words
from kiosk.presenters.parts import HeaderState
from kiosk.presenters.words import clock_text


class Session:
    """The person at the kiosk. `scan_source`: how the last label reached it, kept with every record."""

    def __init__(self, helpers: Helpers) -> None:
        self._helpers = helpers
        self._person: Person | None = None
        self._proof = ""
        self._touched_at = helpers.clock()
        self.scan_source = ScanSource.KEYPAD
        self._yard = ""
        speak(self.language)

    @property
    def person(self) -> Person | None:
        """Who is signed in, None if nobody is."""
        return self._person

    @property
    def units(self) -> str:
        """'in' or 'mm', as the person's badge says."""
        return self._person.units if self._person else self._helpers.settings.units

    @property
    def language(self) -> str:
        """The language that the kiosk speaks: the person's, the yard's while nobody is signed in."""
        return self._person.language if self._person else self._helpers.settings.language

    def worker(self) -> Person:
        """Return who is signed in.

        Raises:
            NotAllowed: nobody is; says what to do.
        """
        if self._person is None:
            raise NotAllowed(tr("Nobody is signed in. Scan your badge to work."))
        return self._person

    def sign_in(self, person: Person, proof: str = "badge") -> None:
        """Sign a person in, signing out whoever was there; both go into the journal, with what proved who it is."""
        if self._person == person:
            return
        if self._person is not None:
            self.sign_out("another badge")
        self._put_on_record(self.event(SignedIn(self._helpers.shift().key, proof), person))
        self._person, self._proof = person, proof
        speak(self.language)

    def sign_out(self, reason: str) -> None:
        """Sign the person out, if there is one."""
        if self._person is not None:
            leaving, self._person, self._proof = self._person, None, ""
            speak(self.language)
            self._put_on_record(self.event(SignedOut(reason), leaving))

    def _put_on_record(self, event: Event) -> None:
        """Note who came and went, but where nothing can be saved: a supervisor must get in to mend that."""
        if self._helpers.records.can_save:
            self._helpers.records.append(event)

    @property
    def proof(self) -> str:
        """What showed who it is: 'badge' or 'badge and PIN', '' while nobody is signed in."""
        return self._proof

    def proved(self, proof: str) -> None:
        """Note that the person showed more than at the sign-in."""
        self._proof = proof

    def event(self, payload: Payload, person: Person | None = None, event_id: str = "") -> Event:
        """Return an event now, in the person's name."""
        by = person or self._person
        return Event(event_id or self._helpers.new_id(), self._helpers.clock(), by.id if by else None, payload)

    def touched(self) -> None:
        """Somebody is there."""
        self._touched_at = self._helpers.clock()

    def idle_s(self, now: datetime) -> float:
        """Return for how long nobody touched anything. [s]"""
        return (now - self._touched_at).total_seconds()

    def is_idle(self, now: datetime) -> bool:
        """Whether a person is signed in and has not touched anything for too long."""
        return self._person is not None and self.idle_s(now) >= self._helpers.settings.idle_logout_s

    def header(self) -> HeaderState:
        """Return the line on top of every screen."""
        person, alone = self._person, self._hub_words()
        now, zone = self._helpers.clock(), self._helpers.settings.zone
        clock = f"{now.astimezone(zone):%H:%M}" if alone else clock_text(now, zone)
        return HeaderState(
            yard=self._marked(self._yard_name()),
            person=self._marked(person.name) if person else "",
            role=person.role.value if person else "",
            shift=alone or tr(self._helpers.shift().name),
            clock=clock + " ?" * self._helpers.is_clock_doubtful(),
        )

    def _marked(self, text: str) -> str:
        """Return a name so that nobody takes practice for the yard's own records."""
        return tr("PRACTICE · {name}").format(name=text) if self._helpers.settings.is_practice else text

    def _hub_words(self) -> str:
        standing = self._helpers.hub_watch.standing() if self._helpers.hub_watch else None
        return hub_words(standing, self._helpers.clock(), self._helpers.settings.zone)

    def _yard_name(self) -> str:
        """Return the yard's name; the last known one while the records cannot be read, so that messages still show."""
        with contextlib.suppress(StoreUnavailable):
            self._yard = self._helpers.records.yard_name()
        return self._yard
