"""The cautions of a job, confirmed card by card by the person whose badge is in, once per unit and shift.

No form opens and no one-touch job is saved around them. The hour meter is asked here too when it was not read this
shift, so that a greasing round is asked once and then costs one scan and one touch a bearing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from kiosk.entities import Person, Unit
from kiosk.errors import NotAllowed, NotFound
from kiosk.events import CautionsConfirmed
from kiosk.language import N_, tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.hours import HoursEntry, are_hours_fresh
from kiosk.presenters.keys import keypad_key
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import BAD, GOOD, NEUTRAL, UNSURE, CautionRow, FrameState, Mark
from kiosk.presenters.states import CautionsState
from kiosk.presenters.words import DEFERENCE, mark
from kiosk.service_sheet import CautionSpec, JobSpec, ServiceSheet

CARDS_A_PAGE = 5
READ_FIRST_S = 2.0
"""So long a card stands before the badge confirms it: nobody reads one faster, and a scanner's double read does not."""
_COLOURS = {"DANGER": BAD, "WARNING": UNSURE, "CAUTION": UNSURE, "NOTICE": NEUTRAL}


def cautions_of(sheet: ServiceSheet, job: JobSpec) -> tuple[CautionSpec, ...]:
    """Return a job's cautions, most dangerous first.

    Raises:
        NotFound: the sheet names a caution that it does not have; no work goes on without it.
    """
    try:
        return tuple(sheet.caution(key) for key in job.cautions)
    except KeyError as error:
        raise NotFound(tr("The sheet '{sheet}' lacks the caution {error}. Tell the supervisor.").format(
                           sheet=sheet.title, error=error)) from error


@dataclass(frozen=True)
class Briefing:
    """What is confirmed before work on a unit begins: the cautions of one job, or of all jobs of a round."""

    unit: Unit
    title: str
    place: str
    cautions: tuple[CautionSpec, ...]


def briefing_of(part: Part, job: JobSpec) -> Briefing:
    """Return what is confirmed before one job."""
    return Briefing(part.unit, job.title, part.place, cautions_of(part.sheet, job))


def not_confirmed(helpers: Helpers, person: Person, briefing: Briefing) -> tuple[CautionSpec, ...]:
    """Return the cautions that this person has not confirmed for the unit in this shift."""
    confirmed = helpers.records.cautions_confirmed(briefing.unit.id, person.id, helpers.shift().key)
    return tuple(caution for caution in briefing.cautions if caution.key not in confirmed)


def is_briefed(helpers: Helpers, person: Person, briefing: Briefing) -> bool:
    """Say whether the work may begin: every caution confirmed and the hour meter read in this shift."""
    return not not_confirmed(helpers, person, briefing) and are_hours_fresh(helpers, briefing.unit.id)


def open_cautions(helpers: Helpers, person: Person, part: Part, job: JobSpec) -> tuple[CautionSpec, ...]:
    """Return the cautions that this person has not confirmed for this unit in this shift."""
    return not_confirmed(helpers, person, briefing_of(part, job))


def is_cleared(helpers: Helpers, person: Person, part: Part, job: JobSpec) -> bool:
    """Say whether the job may begin: every caution confirmed and the hour meter read in this shift."""
    return is_briefed(helpers, person, briefing_of(part, job))


def require_cleared(helpers: Helpers, person: Person, part: Part, job: JobSpec) -> tuple[str, ...]:
    """Return the keys of the cautions that hold for a record made now.

    Raises:
        NotAllowed: one is not confirmed in this shift (a form left open over the change of shift).
    """
    missing = open_cautions(helpers, person, part, job)
    if missing:
        raise NotAllowed(tr("The cautions are not confirmed for this shift: {hazard} Confirm them first.").format(
                             hazard=missing[0].hazard))
    return job.cautions


class CautionsPresenter(ScreenPresenter):
    """The cards before one job, or one round, on a unit; `then` goes on to the work."""

    def __init__(self, desk: Navigation, briefing: Briefing, then: Callable[[], None]) -> None:
        super().__init__(desk)
        self._briefing, self._then = briefing, then
        self._person = desk.session.worker()
        self._cautions = not_confirmed(self.helpers, self._person, briefing)
        self._confirmed: set[str] = set()
        self._by_badge: set[str] = set()
        self._shown_at = self.helpers.clock()
        self._page = 0
        self._asks_hours = not are_hours_fresh(self.helpers, briefing.unit.id)
        self._hours = HoursEntry(self.helpers, desk.session, briefing.unit.id)

    def build(self, frame: FrameState) -> CautionsState:
        """Return the cards of the page shown."""
        missing = self._missing()
        return CautionsState(
            frame=frame, title=tr("Before you start: {job}").format(job=self._briefing.title),
            place=self._briefing.place,
            cards=tuple(self._card(caution) for caution in self._on_page()),
            page=self._page + 1, pages=self._pages(),
            confirmed_text=tr("{person} confirms for {unit}, this shift: touch each card, or scan your own badge "
                              "for it").format(person=self._person.name, unit=self._briefing.unit.name),
            hours=self._hours.panel() if self._asks_hours else None,
            deference=tr(DEFERENCE), ready=not missing, missing=missing,
        )

    @action
    def confirm(self, key: str) -> None:
        """Confirm one card, or take the confirmation back; a full page turns by itself."""
        if key not in {caution.key for caution in self._cautions}:
            return
        self._confirmed ^= {key}
        self._by_badge -= {key}
        self._turn_if_done()

    @action
    def confirm_by_badge(self) -> None:
        """Confirm the first open card of the page shown: its reader scanned their own badge once more, just for it.

        Raises:
            NotAllowed: it has not stood long enough to be read.
        """
        card = next((card for card in self._on_page() if card.key not in self._confirmed), None)
        if card is None:
            return
        now = self.helpers.clock()
        if now - self._shown_at < timedelta(seconds=READ_FIRST_S):
            raise NotAllowed(tr("Read the card first; then scan your badge for it: {hazard}").format(
                                 hazard=card.hazard))
        self._shown_at = now
        self._confirmed |= {card.key}
        self._by_badge |= {card.key}
        self.helpers.feedback("read")
        self._turn_if_done()

    @action
    def next_page(self) -> None:
        """Show the next cards."""
        self._page = min(self._page + 1, self._pages() - 1)

    @action
    def previous_page(self) -> None:
        """Show the cards before."""
        self._page = max(self._page - 1, 0)

    @action
    def hours_key(self, key: str) -> None:
        """Take a key for the hour meter."""
        self._hours.key(key)

    def typed(self, key: str) -> bool:
        """Take a key of a real keyboard for the hour meter, if it is asked here."""
        if not self._asks_hours or self._hours.is_confirmed:
            return False
        if keypad_key(key) == "next":
            self.confirm_hours()
        else:
            self.hours_key(keypad_key(key))
        return True

    @action
    def take_hours(self, key: str) -> None:
        """Take a reading that was offered instead of a refused one."""
        self._hours.take(key)

    @action
    def confirm_hours(self) -> None:
        """Enter the hour meter as it stands on the field."""
        self._hours.confirm()

    @action
    def save_by_card(self) -> None:
        """Do what the screen's main button does now: enter the hour meter once all cards are confirmed, then go on."""
        if len(self._confirmed) == len(self._cautions) and self._asks_hours and not self._hours.is_confirmed:
            self._hours.confirm()
        if not self._missing():
            self._go_on()

    @action
    def go_on(self) -> None:
        """Enter the confirmation into the journal and go on to the work; says what is missing if it cannot."""
        self._go_on()

    def _go_on(self) -> None:
        if self._missing():
            raise NotAllowed(self._missing())
        if self._cautions:
            keys = tuple(caution.key for caution in self._cautions)
            payload = CautionsConfirmed(self._briefing.unit.id, self.helpers.shift().key, keys, self._how())
            self.helpers.records.append(self.desk.session.event(payload, self._person))
        self._then()

    def _how(self) -> str:
        by_touch = self._confirmed - self._by_badge
        return "touch" if not self._by_badge else N_("touch and own badge") if by_touch else "own badge"

    def _on_page(self) -> tuple[CautionSpec, ...]:
        start = self._page * CARDS_A_PAGE
        return self._cautions[start:start + CARDS_A_PAGE]

    def _turn_if_done(self) -> None:
        if {caution.key for caution in self._on_page()} <= self._confirmed and self._page + 1 < self._pages():
            self._page += 1

    def _pages(self) -> int:
        return max(1, -(-len(self._cautions) // CARDS_A_PAGE))

    def _card(self, caution: CautionSpec) -> CautionRow:
        confirmed = caution.key in self._confirmed
        return CautionRow(caution.key, caution.signal, caution.hazard, caution.action, confirmed,
                          mark("confirmed", GOOD) if confirmed else _signal_mark(caution.signal))

    def _missing(self) -> str:
        """Return what must still be done, '' when the work may begin."""
        left = len(self._cautions) - len(self._confirmed)
        parts = [tr("{left} of {count} cautions to confirm").format(
                     left=left, count=len(self._cautions))] if left else []
        if self._asks_hours and not self._hours.is_confirmed:
            parts.append(tr("the hour meter to read"))
        return tr("Still to do: {what}.").format(what=tr(" and ").join(parts)) if parts else ""


def _signal_mark(signal: str) -> Mark:
    return mark(signal.lower(), _COLOURS.get(signal, UNSURE))
