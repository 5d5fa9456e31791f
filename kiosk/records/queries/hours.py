"""Hour meters: the last reading, and how fast a unit's hours run.

Hours come from readings of the meter alone and from every record that holds. They are running totals of all the
unit's meters, so they only rise.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from kiosk.entities import HoursReading
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.queries.base import Queries

_DAY = timedelta(days=1)
Point = tuple[datetime, float]

# By hand: a due list asks these for every unit of the yard, and building them by peewee took longer than running them.
_LATEST = """SELECT unit_id, hours, at, person_id FROM hour_reading WHERE unit_id = ?
    ORDER BY at DESC, source_id DESC LIMIT 1"""
_BEFORE = "SELECT at, hours FROM hour_reading WHERE unit_id = ? AND at < ? ORDER BY at DESC, source_id DESC LIMIT 1"
_FROM = "SELECT at, hours FROM hour_reading WHERE unit_id = ? AND at >= ? ORDER BY at, source_id LIMIT 1"


class HourQueries(Queries):
    """Questions about running hours."""

    def hours(self, unit_id: str) -> HoursReading | None:
        """Return a unit's latest hour-meter reading, None if there is none."""
        for found, hours, at, person_id in self._store.sql(_LATEST, (unit_id,)):
            return HoursReading(found, hours, from_utc_text(at), person_id)
        return None

    def hours_per_day(self, unit_id: str, today: date, over_days: int = 60) -> float | None:
        """Return the unit's running hours per calendar day over the last `over_days`, None if unknown.

        Days on which it stood still count. The hours at the beginning of the time asked for lie on the straight
        line between the readings around it; where the readings begin later, so does the time.
        """
        start = datetime.combine(today, time.min, UTC) - over_days * _DAY
        end = datetime.combine(today, time.min, UTC) + _DAY
        last = self._reading_before(unit_id, end)
        first = self._reading_at_start(unit_id, start)
        if last is None or first is None or last[0] <= first[0]:
            return None
        days = (today - first[0].date()).days
        return max(0.0, last[1] - first[1]) / days if days > 0 else None

    def _reading_at_start(self, unit_id: str, start: datetime) -> Point | None:
        before, after = self._reading_before(unit_id, start), self._reading_from(unit_id, start)
        if before is None or after is None:
            return after or (None if before is None else (start, before[1]))
        share = (start - before[0]) / (after[0] - before[0])
        return start, before[1] + share * (after[1] - before[1])

    def _reading_before(self, unit_id: str, end: datetime) -> Point | None:
        return self._point(_BEFORE, unit_id, end)

    def _reading_from(self, unit_id: str, start: datetime) -> Point | None:
        return self._point(_FROM, unit_id, start)

    def _point(self, statement: str, unit_id: str, moment: datetime) -> Point | None:
        for at, hours in self._store.sql(statement, (unit_id, utc_text(moment))):
            return from_utc_text(at), hours
        return None
