"""Which shift a moment belongs to, and which working day: a night shift belongs to the day on which it began."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from kiosk.presenters.settings import FloorSettings

_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Shift:
    """One shift. `key` as events keep it: '2026-03-02 early'. `start` is aware UTC, `day` the working day."""

    key: str
    name: str
    day: date
    start: datetime


def shift_at(moment: datetime, settings: FloorSettings) -> Shift:
    """Return the shift that is running at a moment (aware).

    Args:
        moment: Aware datetime in any zone.
        settings: Shift starts are local times; the first one of the day begins the working day.
    """
    local = moment.astimezone(settings.zone)
    starts = sorted(zip(settings.shift_starts, settings.shift_names, strict=True))
    running = [(start, name) for start, name in starts if start <= local.time()]
    day = local.date() if running else local.date() - timedelta(days=1)
    start, name = (running or starts)[-1]
    began = datetime.combine(day, start, settings.zone).astimezone(UTC)
    return Shift(f"{day.isoformat()} {name}", name, day, began)


def working_day(moment: datetime, settings: FloorSettings) -> date:
    """Return the yard's working day of a moment: it begins with the first shift of the day."""
    local = moment.astimezone(settings.zone)
    return local.date() if local.time() >= settings.day_begins else local.date() - _DAY


def noon(day: date) -> datetime:
    """Return a working day as one moment, so that whole days can be counted by the clock."""
    return datetime.combine(day, time(12), UTC)
