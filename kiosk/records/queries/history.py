"""What was done: one record, pages of a part's, a position's, a unit's or a person's history, and what was corrected.

A page goes on after the last record of the page before by its time and id (keyset), so the thousandth page costs what
the first does. The index of each history holds all that pages and filters need and says where in the journal the
record stands; the statements are written by hand, since building them by peewee took longer than running them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any

from kiosk.entities import Correction, HistoryFilter, HistoryScope, ServiceRecord
from kiosk.records import chain, codec
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.models import CorrectionRow
from kiosk.records.queries.base import Queries, found

EVERYTHING = HistoryFilter()
_COLUMNS = {HistoryScope.PART: "component_id", HistoryScope.POSITION: "position_id", HistoryScope.UNIT: "unit_id",
            HistoryScope.PERSON: "person_id"}
Before = tuple[datetime, str]

# All that an entry's hash covers: none is shown that is not as it was saved.
_ENTRY = ", ".join(f"journal.{name}" for name in (
    "kiosk", "seq", "id", "at", "kind", "person_id", "body", "previous_hash", "hash"))
_BODY = 6
_RECORD = f"SELECT {_ENTRY} FROM record JOIN journal ON journal.arrival = record.arrival WHERE record.id = ?"
# CROSS keeps the order of the join: first the index of the history, then the journal.
_PAGE = f"""SELECT {_ENTRY} FROM record CROSS JOIN journal ON journal.arrival = record.arrival
    WHERE {{wanted}} ORDER BY record.at DESC, record.id DESC LIMIT ?"""


class HistoryQueries(Queries):
    """Questions about what was done."""

    def record(self, record_id: str) -> ServiceRecord:
        """Return one record, corrected or not; NotFound if there is none."""
        rows = self._store.sql(_RECORD, (record_id,))
        return _record(found(rows[0] if rows else None, "record", record_id))

    def component_history(self, component_id: str, filter: HistoryFilter = EVERYTHING, before: Before | None = None,
                          limit: int = 50) -> tuple[ServiceRecord, ...]:
        """Return one page of a part's records, newest first, older than the (at, id) in `before`."""
        return self._page("component_id", component_id, filter, before, limit)

    def position_history(self, position_id: str, filter: HistoryFilter = EVERYTHING, before: Before | None = None,
                         limit: int = 50) -> tuple[ServiceRecord, ...]:
        """Return one page of the records of every part that sat at a position, newest first."""
        return self._page("position_id", position_id, filter, before, limit)

    def unit_history(self, unit_id: str, filter: HistoryFilter = EVERYTHING, before: Before | None = None,
                     limit: int = 50) -> tuple[ServiceRecord, ...]:
        """Return one page of the records of everything on a unit, newest first."""
        return self._page("unit_id", unit_id, filter, before, limit)

    def person_history(self, person_id: str, filter: HistoryFilter = EVERYTHING, before: Before | None = None,
                       limit: int = 50) -> tuple[ServiceRecord, ...]:
        """Return one page of the records of one of the crew, newest first."""
        return self._page("person_id", person_id, filter, before, limit)

    def history_page(self, scope: HistoryScope, subject_id: str, filter: HistoryFilter = EVERYTHING,
                     before: Before | None = None, limit: int = 50) -> tuple[ServiceRecord, ...]:
        """Return one page of a part's, a position's, a unit's or a person's records, newest first."""
        return self._page(_COLUMNS[scope], subject_id, filter, before, limit)

    def corrections(self, record_ids: Iterable[str]) -> Mapping[str, Correction]:
        """Return {record id: its correction} for those of the records that were corrected or annulled."""
        query = CorrectionRow.select().where(CorrectionRow.record_id.in_(list(record_ids)))
        return {row[0]: _correction(row) for row in self._store.rows(query)}

    def correction_that_made(self, record_id: str) -> Correction | None:
        """Return the correction that brought a record in the place of another, None for an ordinary record."""
        row = self._store.row(CorrectionRow.select().where(CorrectionRow.event_id == record_id))
        return None if row is None else _correction(row)

    def _page(self, column: str, key: str, filter: HistoryFilter, before: Before | None,
              limit: int) -> tuple[ServiceRecord, ...]:
        conditions, values = [f"record.{column} = ?"], [key]
        for condition, value in _filters(filter):
            conditions.append(condition)
            values.append(value)
        if before is not None:
            conditions.append("(record.at, record.id) < (?, ?)")
            values += [utc_text(before[0]), before[1]]
        statement = _PAGE.format(wanted=" AND ".join(conditions))
        return tuple(_record(row) for row in self._store.sql(statement, (*values, limit)))


def _record(row: tuple[Any, ...]) -> ServiceRecord:
    """Return the record of a journal's entry, once the entry's hash says that it is as it was saved."""
    chain.demand_as_saved(row)
    return codec.record_of_body(row[_BODY])


def _filters(filter: HistoryFilter) -> Iterator[tuple[str, Any]]:
    """Yield a condition and its value for each thing that a filter asks for; `since` is in, `until` is out."""
    if filter is EVERYTHING:
        return
    asked = (
        ("record.job = ?", filter.job), ("record.verdict = ?", filter.verdict),
        ("record.person_id = ?", filter.person_id),
        ("record.at >= ?", None if filter.since is None else utc_text(filter.since)),
        ("record.at < ?", None if filter.until is None else utc_text(filter.until)),
        ("record.hours >= ?", filter.hours_from), ("record.hours < ?", filter.hours_until),
    )
    yield from ((condition, value) for condition, value in asked if value is not None)


def _correction(row: Any) -> Correction:
    record_id, event_id, at, person_id, reason, replacement_id = row
    return Correction(record_id, event_id, from_utc_text(at), person_id, reason, replacement_id)
