"""The supervisor's page of the crew: whose PIN is locked at this kiosk, and letting somebody in again."""

from __future__ import annotations

from datetime import datetime

from kiosk.entities import Person
from kiosk.events import PersonUnlocked
from kiosk.language import tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import PageRow
from kiosk.presenters.pin_gate import needs_pin
from kiosk.presenters.words import FINE, LOCKED, NOTHING, clock_text


class CrewPage(PagePresenter):
    """Everybody with a badge. A press on who is locked lets them try again; the journal says who did it."""

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self.title = tr("Crew and PINs")
        self.empty_text = tr("Nobody of the crew is on record.")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the crew, who is locked first."""
        locks = self.helpers.pins.locks()
        people = sorted(self.helpers.records.people(), key=lambda person: (locks.get(person.id) is None, person.name))
        return tuple(self._row(person, person.id in locks, locks.get(person.id)) for person in people)

    def _row(self, person: Person, has_pin: bool, until: datetime | None) -> PageRow:
        if until is not None:
            at = clock_text(until, self.helpers.settings.zone)
            lines = (person.role.value, tr("locked until {at}").format(at=at), tr("Touch to let them try again now"))
            return PageRow(person.id, person.name, lines, LOCKED)
        if has_pin:
            said = tr("PIN set")
        elif needs_pin(self.helpers, person):
            said = tr("chooses a PIN with the next badge")
        else:
            said = tr("no PIN")
        return PageRow(person.id, person.name, (person.role.value, said), FINE if has_pin else NOTHING, enabled=False)

    def pressed(self, key: str) -> None:
        """Let somebody try again: into the journal first, which knows whether this person may."""
        self.desk.session.worker()  # without a person the journal would take it for the set-up's
        person = self.helpers.records.person(key)
        self.helpers.records.append(self.desk.session.event(PersonUnlocked(key, "unlocked at the kiosk")))
        self.helpers.pins.unlock(key)
        self.note = tr("{name} may try again.").format(name=person.name)
        self.helpers.feedback("saved")
