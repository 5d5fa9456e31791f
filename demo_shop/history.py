"""The yard's history as journal events in the order of time, the same for the same seed, length and end.

Set-up first (yard, sheets, crew, machines and the parts found on them), then one list of events a day. The last day
is cut off at `until`, in the middle of that morning's rounds, so that today shows something done and something due.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from demo_shop.machine_life import MachineLife, Span, hands_on
from demo_shop.pen import Pen
from demo_shop.yard import CREW, KIOSK, MACHINES, TIME_ZONE, YARD_NAME
from kiosk.entities import LabelKind
from kiosk.events import Event, PersonAdded, SheetAdopted, YardNamed
from kiosk.sheets import SheetShelf

THREE_YEARS_DAYS = 1096
ROUNDS_BEGIN, TODAY_ENDS, SET_UP_AT = time(6, 3), time(7, 0), time(5, 0)
_ZONE = ZoneInfo(TIME_ZONE)
# A working day begins with the early shift; before it, yesterday's night shift is still on.
_DAY_BEGINS = timedelta(hours=6)


@dataclass(frozen=True)
class Scope:
    """How much history: from so many days before `until` up to it, from a seed. `until` is aware."""

    until: datetime
    days: int = THREE_YEARS_DAYS
    seed: int = 7

    @property
    def span(self) -> Span:
        """First and last working day."""
        last = working_day(self.until)
        return Span(last - timedelta(days=self.days), last)


def working_day(moment: datetime) -> date:
    """Return the yard's working day of an aware moment."""
    return (moment.astimezone(_ZONE) - _DAY_BEGINS).date()


def this_morning(now: datetime) -> datetime:
    """Return the moment at which a history ends that is made now: during today's rounds."""
    return min(now, _local(working_day(now), TODAY_ENDS))


class History:
    """Makes the events of a scope. Iterate once; `issued_numbers` is complete afterwards."""

    def __init__(self, scope: Scope, sheets: SheetShelf) -> None:
        self._scope, self._sheets = scope, sheets
        self._pen = Pen(scope.seed, KIOSK)
        self._lives = [MachineLife(machine, scope.span, sheets, self._pen, scope.seed) for machine in MACHINES]

    def __iter__(self) -> Iterator[list[Event]]:
        span = self._scope.span
        yield list(self._set_up(_local(span.first, SET_UP_AT)))
        for number in range(self._scope.days + 1):
            day = span.first + timedelta(days=number)
            events = sorted(self._day(day), key=lambda event: event.at)
            yield [event for event in events if event.at <= self._scope.until]

    def _set_up(self, at: datetime) -> Iterator[Event]:
        yield self._pen.event(at, None, YardNamed(YARD_NAME))
        for sheet in self._sheets.sheets():
            yield self._pen.event(at, None, SheetAdopted(sheet.key, sheet.revision, self._sheets.text(sheet.key)))
        for hand in CREW:
            badge, issued = self._pen.label(LabelKind.BADGE, at)
            yield issued
            yield self._pen.event(at, None, PersonAdded(hand.person(badge)))
        for life in self._lives:
            yield from life.set_up(at)

    def _day(self, day: date) -> Iterator[Event]:
        """Yield one day's events: each hand goes from machine to machine."""
        hands = hands_on(day)
        free_at = [_local(day, ROUNDS_BEGIN) + timedelta(seconds=47 * place) for place in range(len(hands))]
        for place, life in enumerate(self._lives):
            hand = (place + day.toordinal()) % len(hands)
            events, end = life.day(day, hands[hand], free_at[hand])
            free_at[hand] = end + timedelta(minutes=2) if events else end
            yield from events


def _local(day: date, at: time) -> datetime:
    return datetime.combine(day, at, _ZONE).astimezone(UTC)
