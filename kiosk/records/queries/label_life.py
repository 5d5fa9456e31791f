"""Labels on their way through the printer, how well labels read, and where loose ones were found."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from kiosk.entities import LabelPrint, LabelSighting, PrintState, ScanSource
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.models import LabelFoundRow, LabelPrintRow, LabelRow, LabelSeenRow
from kiosk.records.queries.base import Queries, found

_PRINT = LabelPrintRow.select(
    LabelPrintRow.id, LabelPrintRow.number, LabelPrintRow.lines, LabelPrintRow.copies, LabelPrintRow.reason,
    LabelPrintRow.state, LabelPrintRow.note, LabelPrintRow.job, LabelPrintRow.queued_at, LabelPrintRow.moved_at)
_SEEN = LabelSeenRow.select(LabelSeenRow.at, LabelSeenRow.source, LabelSeenRow.how, LabelSeenRow.tries,
                            LabelSeenRow.took_ms, LabelSeenRow.grade)
_OVER = [state.value for state in PrintState if state.is_over]


class LabelLifeQueries(Queries):
    """Questions about what becomes of labels."""

    def open_label_prints(self) -> tuple[LabelPrint, ...]:
        """Return this kiosk's prints that are not over, in the order in which they were asked for."""
        query = _PRINT.where((LabelPrintRow.kiosk == self._kiosk) & LabelPrintRow.state.not_in(_OVER))
        return tuple(map(_print, self._store.rows(query.order_by(LabelPrintRow.queued_at, LabelPrintRow.id))))

    def label_print(self, print_id: str) -> LabelPrint:
        """Return one print; NotFound if it was never asked for."""
        row = self._store.row(_PRINT.where(LabelPrintRow.id == print_id))
        return _print(found(row, "print", print_id))

    def last_label_print(self, number: str) -> LabelPrint | None:
        """Return the newest print of a label number, over or not; None if it was never sent to a printer."""
        query = _PRINT.where(LabelPrintRow.number == number).order_by(
            LabelPrintRow.queued_at.desc(), LabelPrintRow.id.desc()).limit(1)
        row = self._store.row(query)
        return None if row is None else _print(row)

    def label_sightings(self, number: str, since: datetime | None = None, limit: int = 20
                        ) -> tuple[LabelSighting, ...]:
        """Return how well a label read, newest first, since an instant if one is given."""
        query = _SEEN.where(LabelSeenRow.number == number)
        if since is not None:
            query = query.where(LabelSeenRow.at >= utc_text(since))
        query = query.order_by(LabelSeenRow.at.desc(), LabelSeenRow.event_id.desc()).limit(limit)
        return tuple(map(_sighting, self._store.rows(query)))

    def last_found(self, number: str) -> tuple[datetime, str] | None:
        """Return when and where a label was last found loose, None if it never was."""
        query = LabelFoundRow.select(LabelFoundRow.at, LabelFoundRow.place).where(
            LabelFoundRow.number == number).order_by(LabelFoundRow.at.desc()).limit(1)
        row = self._store.row(query)
        return None if row is None else (from_utc_text(row[0]), row[1])

    def blank_labels(self) -> tuple[str, ...]:
        """Return the numbers that were issued for parts and belong to nothing yet, oldest first."""
        query = LabelRow.select(LabelRow.number).where(
            LabelRow.subject_id.is_null() & LabelRow.retired_at.is_null() & (LabelRow.kind == "component")
        ).order_by(LabelRow.issued_at, LabelRow.number)
        return tuple(number for (number,) in self._store.rows(query))


def _print(row: Any) -> LabelPrint:
    print_id, number, lines, copies, reason, state, note, job, queued_at, moved_at = row
    return LabelPrint(print_id, number, tuple(json.loads(lines)), copies, reason, PrintState(state), note, job,
                      from_utc_text(queued_at), from_utc_text(moved_at))


def _sighting(row: Any) -> LabelSighting:
    at, source, how, tries, took_ms, grade = row
    return LabelSighting(from_utc_text(at), ScanSource(source), how, tries, took_ms, grade)
