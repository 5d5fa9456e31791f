"""Hour meters: the last reading, and how fast a unit's hours run.

Hours come from readings of the meter alone and from every record that holds. They are running totals of all the
unit's meters, so they only rise.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from kiosk.entities import HoursReading
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.models import HourReadingRow
from kiosk.records.queries.base import Queries

_DAY = timedelta(days=1)
Point = tuple[datetime, float]


class HourQueries(Queries):
    """Questions about running hours."""

    def hours(self, unit_id: str) -> HoursReading | None:
        """Return a unit's latest hour-meter reading, None if there is none."""
        query = HourReadingRow.select(
            HourReadingRow.unit_id, HourReadingRow.hours, HourReadingRow.at, HourReadingRow.person_id,
        ).where(HourReadingRow.unit_id == unit_id)
        row = self._store.row(query.order_by(*_newest_first()).limit(1))
        if row is None:
            return None
        unit_id, hours, at, person_id = row
        return HoursReading(unit_id, hours, from_utc_text(at), person_id)

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
        query = _points(unit_id).where(HourReadingRow.at < utc_text(end))
        return _point(self._store.row(query.order_by(*_newest_first()).limit(1)))

    def _reading_from(self, unit_id: str, start: datetime) -> Point | None:
        query = _points(unit_id).where(HourReadingRow.at >= utc_text(start))
        return _point(self._store.row(query.order_by(HourReadingRow.at, HourReadingRow.source_id).limit(1)))


def _points(unit_id: str) -> Any:
    return HourReadingRow.select(HourReadingRow.at, HourReadingRow.hours).where(HourReadingRow.unit_id == unit_id)


def _newest_first() -> tuple[Any, Any]:
    return HourReadingRow.at.desc(), HourReadingRow.source_id.desc()


def _point(row: Any) -> Point | None:
    return None if row is None else (from_utc_text(row[0]), row[1])
