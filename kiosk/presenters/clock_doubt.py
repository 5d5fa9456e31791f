"""What the kiosk does while the system's clock cannot be right: says so, puts it on record, asks who may know."""

from __future__ import annotations

import contextlib

from kiosk.entities import Person, Role
from kiosk.errors import KioskError
from kiosk.events import ClockTrusted, Event
from kiosk.language import tr
from kiosk.presenters.base import ScreenPresenter
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.session import Session
from kiosk.presenters.words import clock_text

_MAY_TRUST = frozenset({Role.LEAD, Role.SUPERVISOR})


class ClockDoubt:
    """The desk's eye on the clock."""

    def __init__(self, helpers: Helpers, session: Session) -> None:
        self._helpers, self._session, self._watch = helpers, session, helpers.clock_watch

    @property
    def message(self) -> str:
        """Why the times of entries are not sure, '' while they are."""
        doubt = self._watch.doubt if self._watch else None
        if doubt is None:
            return ""
        says = clock_text(doubt[0], self._helpers.settings.zone)
        return (tr("This computer's clock says {says}, which cannot be right. Work is kept in its order and marked; "
                   "have a lead set the clock or confirm it.").format(says=says))

    def look(self) -> bool:
        """Put on record that the clock went wrong or came right; return whether there is something new to say."""
        watch = self._watch
        news = watch.news() if watch else None
        if watch is None or news is None:
            return False
        with contextlib.suppress(KioskError):  # tried again at the next tick
            self._helpers.records.append(Event(self._helpers.new_id(), self._helpers.clock(), None, news))
            watch.recorded()
            return True
        return False

    def ask(self, screen: ScreenPresenter, person: Person) -> None:
        """Ask a lead or supervisor who just came whether the computer's clock is right after all."""
        doubt = self._watch.doubt if self._watch else None
        if doubt is None or person.role not in _MAY_TRUST:
            return
        system, kiosk = (clock_text(moment, self._helpers.settings.zone) for moment in doubt)
        screen.ask(
            tr("This computer's clock says {system}; the kiosk goes by {kiosk}. Is the computer's clock right?").format(
                system=system, kiosk=kiosk),
            {"yes": (tr("Yes, it is right"), self._trust), "no": (tr("No, it is wrong"), lambda: None)},
            tr("Compare it with a watch."))

    def _trust(self) -> None:
        assert self._watch is not None
        self._helpers.records.append(self._session.event(ClockTrusted("confirmed by a lead or supervisor")))
        self._watch.recorded()
        self._watch.take_system()
