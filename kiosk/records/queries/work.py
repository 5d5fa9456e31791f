"""What due dates, grease counts and trends are worked out from; only records that hold count."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from kiosk.entities import LastDone, SeriesPoint, Side
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.models import ReadingRow, RecordRow
from kiosk.records.queries.base import Queries

# By hand: a due list asks this for every unit of the yard. CROSS keeps the order: first the unit's parts.
_LAST_DONE = """SELECT last_done.component_id, last_done.job, last_done.at, last_done.hours, last_done.person_id,
    last_done.record_id FROM component CROSS JOIN last_done ON last_done.component_id = component.id
    WHERE component.unit_id = ? AND component.retired_at IS NULL"""


class WorkQueries(Queries):
    """Questions about when, how often and with what readings a job was done."""

    def last_done(self, unit_id: str) -> Mapping[tuple[str, str], LastDone]:
        """Return {(component id, job): last time} for the parts that sit on the unit now."""
        return {(component_id, job): LastDone(from_utc_text(at), hours, person_id, record_id)
                for component_id, job, at, hours, person_id, record_id in self._store.sql(_LAST_DONE, (unit_id,))}

    def strokes_since(self, component_id: str, since: datetime) -> tuple[tuple[datetime, int], ...]:
        """Return when and how many grease strokes a part was given since an instant, oldest first."""
        query = RecordRow.select(RecordRow.at, RecordRow.strokes).where(
            (RecordRow.component_id == component_id) & (RecordRow.at >= utc_text(since))
            & RecordRow.strokes.is_null(False) & RecordRow.corrected_by.is_null()
        ).order_by(RecordRow.at, RecordRow.id)
        return tuple((from_utc_text(at), strokes) for at, strokes in self._store.rows(query))

    def series(self, component_id: str, quantity: str, side: Side | None = None, newest: int | None = None
               ) -> tuple[SeriesPoint, ...]:
        """Return the readings of one quantity on one part, oldest first; with `newest` only so many of the last."""
        query = ReadingRow.select(
            ReadingRow.at, ReadingRow.hours, ReadingRow.value, ReadingRow.phase, ReadingRow.side,
        ).where((ReadingRow.component_id == component_id) & (ReadingRow.quantity == quantity))
        if side is not None:
            query = query.where(ReadingRow.side == side.value)
        if newest is None:
            rows = self._store.rows(query.order_by(ReadingRow.at, ReadingRow.record_id, ReadingRow.place))
        else:
            rows = self._store.rows(query.order_by(
                ReadingRow.at.desc(), ReadingRow.record_id.desc(), ReadingRow.place.desc()).limit(newest))[::-1]
        return tuple(SeriesPoint(from_utc_text(at), *others) for at, *others in rows)
