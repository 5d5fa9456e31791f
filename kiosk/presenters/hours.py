"""The hour meter, asked once per unit and shift: prefilled, confirmed or typed, refused when it is impossible."""

from __future__ import annotations

from datetime import datetime

from kiosk.calc import meter
from kiosk.entities import HoursReading
from kiosk.errors import NotAllowed, UnreadableNumber
from kiosk.events import HoursRead
from kiosk.language import N_, tr
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.keys import digits_after
from kiosk.presenters.parts import ActionState, HoursPanel
from kiosk.presenters.session import Session
from kiosk.presenters.shifts import working_day
from kiosk.presenters.words import hours_text, sentence, when_text

_READ_IT = N_("Read the hour meter and type it")
_GUESSED = N_("Read the hour meter: the number here is a guess. Type what the meter shows")
METER_ENDS = (10_000.0, 100_000.0)
"""Where meters start again at zero: four or five digits before the point. [h]"""

_OR_CHOOSE = N_("Read the meter again, or choose what you meant.")
_OR_ASK = (N_("Read the meter again. If it really shows that, tell the supervisor: the last reading was wrong, or "
              "the meter was changed."))
_TOO_MANY = N_("That is more than 24 hours a day since the last reading.")
_REFUSALS = {
    "went backwards": N_("That is less than the last reading."),
    "dated before the reading before": N_("The kiosk's clock stands before the last reading. Have its clock set."),
}


def are_hours_fresh(helpers: Helpers, unit_id: str) -> bool:
    """Say whether the unit's hour meter was read in this shift."""
    reading = helpers.records.hours(unit_id)
    return reading is not None and reading.at >= helpers.shift().start


def current_hours(helpers: Helpers, unit_id: str) -> float:
    """Return the unit's hours for a record made now. [h]

    Raises:
        NotAllowed: the meter was not read in this shift.
    """
    reading = helpers.records.hours(unit_id)
    if reading is None or not are_hours_fresh(helpers, unit_id):
        raise NotAllowed(tr("The hour meter was not read in this shift yet. Read it and type it in."))
    return reading.hours


def estimated_hours(helpers: Helpers, unit_id: str, last: HoursReading, now: datetime) -> float:
    """Return what the meter probably shows: the last reading and the unit's usual hours since. [h]"""
    rate = helpers.records.hours_per_day(unit_id, helpers.today()) or 0.0
    days = max((now - last.at).total_seconds() / 86_400, 0.0)
    return round(last.hours + rate * days, 1)


class HoursEntry:
    """The field for one unit's hour meter; holds what was typed until it is accepted."""

    def __init__(self, helpers: Helpers, session: Session, unit_id: str) -> None:
        self._helpers, self._session, self._unit_id = helpers, session, unit_id
        self._last = helpers.records.hours(unit_id)
        self._typed = self._estimate()
        self._is_estimate = True
        self._message = ""
        self._meant: tuple[float, ...] = ()
        self._gone_round: tuple[float, ...] = ()

    @property
    def is_confirmed(self) -> bool:
        """Whether the meter was read in this shift."""
        return are_hours_fresh(self._helpers, self._unit_id)

    def key(self, key: str) -> None:
        """Take a key; the first one replaces the estimate."""
        before = "" if self._is_estimate and key != "back" else self._typed
        self._typed, self._is_estimate = digits_after(before, key), False
        self._message, self._meant, self._gone_round = "", (), ()

    def take(self, text: str) -> None:
        """Take a reading that was offered, and confirm it."""
        self._typed, self._is_estimate = text, False
        self.confirm()

    def confirm(self) -> None:
        """Check what stands in the field and enter it into the journal; refused readings stay on the field."""
        hours = self._read()
        if hours is None or self._is_refused(hours):
            return
        self._helpers.records.append(self._session.event(HoursRead(self._unit_id, hours), self._session.worker()))
        self._message, self._meant, self._gone_round = "", (), ()

    def panel(self) -> HoursPanel:
        """Return the field as the screen shows it."""
        return HoursPanel(
            prompt=tr(_GUESSED if self._is_estimate and self._typed else _READ_IT), typed=self._typed,
            last=self._last_text(),
            message=self._message, confirmed=self.is_confirmed,
            suggestions=self._suggestions(),
        )

    def _suggestions(self) -> tuple[ActionState, ...]:
        return (*(ActionState(f"{hours:.1f}", hours_text(hours)) for hours in self._meant),
                *(ActionState(f"{hours:.1f}", tr("{hours}: the meter went round").format(hours=hours_text(hours)))
                  for hours in self._gone_round))

    def _estimate(self) -> str:
        if self._last is None:
            return ""
        return f"{estimated_hours(self._helpers, self._unit_id, self._last, self._helpers.clock()):.1f}"

    def _read(self) -> float | None:
        try:
            return read_hours(self._typed)
        except UnreadableNumber as error:
            self._message = error.operator_message
            return None

    def _is_refused(self, hours: float) -> bool:
        if self._last is None:
            return False
        settings = self._helpers.settings
        checked = meter.check(self._last.hours, working_day(self._last.at, settings), hours,
                              working_day(self._helpers.clock(), settings))
        if checked.verdict != "reject":
            return False
        self._meant, self._gone_round = checked.alternatives, self._rolled_over(hours)
        why = tr(_REFUSALS.get(checked.reason, _TOO_MANY))
        self._message = f"{why} {tr(_OR_CHOOSE if self._meant or self._gone_round else _OR_ASK)}"
        return True

    def _rolled_over(self, hours: float) -> tuple[float, ...]:
        """Return the total that a meter gone round past its end stands for, offered where such a gain is possible."""
        last, settings = self._last, self._helpers.settings
        if last is None or hours >= last.hours:
            return ()
        today = working_day(self._helpers.clock(), settings)
        totals = (last.hours + meter.gain_over_rollover(last.hours % end, hours, end, confirmed=True)
                  for end in METER_ENDS if hours < end and last.hours >= end / 2)
        return tuple(total for total in totals
                     if meter.check(last.hours, working_day(last.at, settings), total, today).verdict != "reject")

    def _last_text(self) -> str:
        if self._last is None:
            return tr("not read before")
        when = when_text(self._last.at, self._helpers.clock(), self._helpers.settings.zone)
        return tr("last {hours}, {when}").format(hours=hours_text(self._last.hours), when=when)


def read_hours(text: str) -> float:
    """Return typed hours. [h]

    Raises:
        UnreadableNumber: nothing, or no number, was typed.
    """
    try:
        return float(text)
    except ValueError as error:
        raise UnreadableNumber(text, sentence(tr("type the hours that the meter shows, like 1234.5"))) from error
