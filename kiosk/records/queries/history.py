"""Histories: service records newest first, a page at a time, and what became of them.

A page goes on below the last record seen (its time and id), so that page 400 costs what page 1 costs. The filters
read the covering indexes only; a record's full text is fetched for the rows of the page alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from peewee import Field, Tuple

from kiosk.entities import Correction, HistoryFilter, ServiceRecord
from kiosk.records import codec
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.models import CorrectionRow, RecordRow
from kiosk.records.queries.base import Queries, found

EVERYTHING = HistoryFilter()


class HistoryQueries(Queries):
    """Questions about what was done."""

    def record(self, record_id: str) -> ServiceRecord:
        """Return one record, corrected or not; NotFound if there is none."""
        row = self._store.row(RecordRow.select(RecordRow.body).where(RecordRow.id == record_id))
        return codec.record_from_text(found(row, "record", record_id)[0])

    def component_history(
        self, component_id: str, filter: HistoryFilter = EVERYTHING, before: tuple[datetime, str] | None = None,
        limit: int = 50,
    ) -> tuple[ServiceRecord, ...]:
        """Return one page of a part's records, newest first, older than the (at, id) in `before`."""
        return self._page(RecordRow.component_id, component_id, filter, before, limit)

    def position_history(
        self, position_id: str, filter: HistoryFilter = EVERYTHING, before: tuple[datetime, str] | None = None,
        limit: int = 50,
    ) -> tuple[ServiceRecord, ...]:
        """Return one page of the records of every part that sat at a position, newest first."""
        return self._page(RecordRow.position_id, position_id, filter, before, limit)

    def corrections(self, record_ids: Iterable[str]) -> Mapping[str, Correction]:
        """Return {record id: its correction} for those of the records that were corrected or annulled."""
        query = CorrectionRow.select().where(CorrectionRow.record_id.in_(list(record_ids)))
        return {row[0]: _correction(row) for row in self._store.rows(query)}

    def correction_that_made(self, record_id: str) -> Correction | None:
        """Return the correction that brought a record in the place of another, None for an ordinary record."""
        row = self._store.row(CorrectionRow.select().where(CorrectionRow.event_id == record_id))
        return None if row is None else _correction(row)

    def _page(self, column: Field, key: str, filter: HistoryFilter, before: tuple[datetime, str] | None,
              limit: int) -> tuple[ServiceRecord, ...]:
        query = _filtered(RecordRow.select(RecordRow.body).where(column == key), filter)
        if before is not None:
            at, record_id = before
            query = query.where(Tuple(RecordRow.at, RecordRow.id) < Tuple(utc_text(at), record_id))
        query = query.order_by(RecordRow.at.desc(), RecordRow.id.desc()).limit(limit)
        return tuple(codec.record_from_text(text) for (text,) in self._store.rows(query))


def _filtered(query: Any, filter: HistoryFilter) -> Any:
    """Narrow a query to the records that a filter lets through; `since` is in, `until` is out."""
    equal = ((RecordRow.job, filter.job), (RecordRow.verdict, filter.verdict), (RecordRow.person_id, filter.person_id))
    for column, wanted in equal:
        if wanted is not None:
            query = query.where(column == wanted)
    if filter.since is not None:
        query = query.where(RecordRow.at >= utc_text(filter.since))
    if filter.until is not None:
        query = query.where(RecordRow.at < utc_text(filter.until))
    return query


def _correction(row: Any) -> Correction:
    record_id, event_id, at, person_id, reason, replacement_id = row
    return Correction(record_id, event_id, from_utc_text(at), person_id, reason, replacement_id)
