"""The cautions of a job, confirmed card by card by the person whose badge is in, once per unit and shift.

No form opens and no one-touch job is saved around them. The hour meter is asked here too when it was not read this
shift, so that a greasing round is asked once and then costs one scan and one touch a bearing.
"""

from __future__ import annotations

from collections.abc import Callable

from kiosk.entities import Person
from kiosk.errors import NotAllowed, NotFound
from kiosk.events import CautionsConfirmed
from kiosk.language import tr
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


def open_cautions(helpers: Helpers, person: Person, part: Part, job: JobSpec) -> tuple[CautionSpec, ...]:
    """Return the cautions that this person has not confirmed for this unit in this shift."""
    confirmed = helpers.records.cautions_confirmed(part.unit.id, person.id, helpers.shift().key)
    return tuple(caution for caution in cautions_of(part.sheet, job) if caution.key not in confirmed)


def is_cleared(helpers: Helpers, person: Person, part: Part, job: JobSpec) -> bool:
    """Say whether the job may begin: every caution confirmed and the hour meter read in this shift."""
    return not open_cautions(helpers, person, part, job) and are_hours_fresh(helpers, part.unit.id)


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
    """The cards of one job on one unit; `then` goes on to the work."""

    def __init__(self, desk: Navigation, part: Part, job: JobSpec, then: Callable[[], None]) -> None:
        super().__init__(desk)
        self._part, self._job, self._then = part, job, then
        self._person = desk.session.worker()
        self._cautions = open_cautions(self.helpers, self._person, part, job)
        self._confirmed: set[str] = set()
        self._page = 0
        self._asks_hours = not are_hours_fresh(self.helpers, part.unit.id)
        self._hours = HoursEntry(self.helpers, desk.session, part.unit.id)

    def build(self, frame: FrameState) -> CautionsState:
        """Return the cards of the page shown."""
        start, missing = self._page * CARDS_A_PAGE, self._missing()
        return CautionsState(
            frame=frame, title=tr("Before you start: {job}").format(job=self._job.title), place=self._part.place,
            cards=tuple(self._card(caution) for caution in self._cautions[start:start + CARDS_A_PAGE]),
            page=self._page + 1, pages=self._pages(),
            confirmed_text=tr("{person} confirms for {unit}, this shift: touch each card").format(
                               person=self._person.name, unit=self._part.unit.name),
            hours=self._hours.panel() if self._asks_hours else None,
            deference=tr(DEFERENCE), ready=not missing, missing=missing,
        )

    @action
    def confirm(self, key: str) -> None:
        """Confirm one card, or take the confirmation back; a full page turns by itself."""
        if key not in {caution.key for caution in self._cautions}:
            return
        self._confirmed ^= {key}
        start = self._page * CARDS_A_PAGE
        page = {caution.key for caution in self._cautions[start:start + CARDS_A_PAGE]}
        if page <= self._confirmed and self._page + 1 < self._pages():
            self._page += 1

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
    def go_on(self) -> None:
        """Enter the confirmation into the journal and go on to the work; says what is missing if it cannot."""
        if self._missing():
            raise NotAllowed(self._missing())
        if self._cautions:
            keys = tuple(caution.key for caution in self._cautions)
            payload = CautionsConfirmed(self._part.unit.id, self.helpers.shift().key, keys)
            self.helpers.records.append(self.desk.session.event(payload, self._person))
        self._then()

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
