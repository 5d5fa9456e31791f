"""Labels on their way through the printer, how well labels read, and where loose ones were found."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from kiosk.entities import LabelMoment, LabelPrint, LabelSighting, PrintState, ScanSource
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.models import LabelFoundRow, LabelPrintRow, LabelSeenRow
from kiosk.records.queries.base import Queries, found

_PRINT = LabelPrintRow.select(
    LabelPrintRow.id, LabelPrintRow.number, LabelPrintRow.lines, LabelPrintRow.copies, LabelPrintRow.reason,
    LabelPrintRow.state, LabelPrintRow.note, LabelPrintRow.job, LabelPrintRow.queued_at, LabelPrintRow.moved_at)
_SEEN = LabelSeenRow.select(LabelSeenRow.at, LabelSeenRow.source, LabelSeenRow.how, LabelSeenRow.tries,
                            LabelSeenRow.took_ms, LabelSeenRow.grade)
MOST_FAILURES = 50
NEWEST_READS = 10
_MOMENTS = """SELECT issued_at, 'issued', '', NULL FROM label WHERE number = ?
    UNION ALL SELECT retired_at, 'retired', retired_reason, NULL FROM label
        WHERE number = ? AND retired_at IS NOT NULL
    UNION ALL SELECT queued_at, 'print asked for', reason, NULL FROM label_print WHERE number = ?
    UNION ALL SELECT moved_at, state, note, NULL FROM label_print WHERE number = ? AND state <> 'queued'
    UNION ALL SELECT at, 'found loose', place, person_id FROM label_found WHERE number = ?"""
_OF_UNIT = """SELECT c.id, s.at, s.source, s.how, s.tries, s.took_ms, s.grade
    FROM component c JOIN label_seen s ON s.number = c.label
    WHERE c.unit_id = ? AND c.retired_at IS NULL AND s.at >= ? AND s.at > coalesce((SELECT max(p.queued_at)
        FROM label_print p WHERE p.number = c.label AND p.state IN ('printed', 'read back')), '')
    ORDER BY s.number, s.at DESC"""
_FAILURES = """SELECT number, queued_at AS failed_at FROM label_print WHERE reason IN ({marks})
    UNION ALL SELECT number, retired_at FROM label WHERE retired_at IS NOT NULL AND retired_reason IN ({marks})
    ORDER BY failed_at DESC LIMIT ?"""
_BEFORE = """SELECT at, source, how, tries, took_ms, grade FROM label_seen WHERE number = ? AND at < ?
    ORDER BY at DESC LIMIT 5"""
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

    def label_sightings_of_unit(self, unit_id: str, since: datetime) -> dict[str, tuple[LabelSighting, ...]]:
        """Return {component id: how its label read since an instant and since it was last printed, newest first}."""
        found: dict[str, list[LabelSighting]] = {}
        for component_id, *row in self._store.sql(_OF_UNIT, (unit_id, utc_text(since))):
            found.setdefault(component_id, []).append(_sighting(row))
        return {component_id: tuple(sightings) for component_id, sightings in found.items()}

    def sightings_before_failures(self, reasons: Sequence[str]) -> tuple[tuple[LabelSighting, ...], ...]:
        """Return how labels read, newest first, before they were printed again or replaced for these reasons.

        The newest failures count, MOST_FAILURES of them.
        """
        marks = ", ".join("?" * len(reasons))
        failures = self._store.sql(_FAILURES.format(marks=marks), (*reasons, *reasons, MOST_FAILURES))
        return tuple(tuple(map(_sighting, self._store.sql(_BEFORE, failure))) for failure in failures)

    def label_moments(self, number: str) -> tuple[LabelMoment, ...]:
        """Return what happened to a label, newest first; of how it was read, the newest few."""
        moments = [LabelMoment(from_utc_text(at), what, detail, person_id)
                   for at, what, detail, person_id in self._store.sql(_MOMENTS, (number,) * 5)]
        moments += [LabelMoment(seen.at, "read", f"{seen.source.value}, {seen.how}")
                    for seen in self.label_sightings(number, limit=NEWEST_READS)]
        return tuple(sorted(moments, key=lambda moment: moment.at, reverse=True))

    def last_found(self, number: str) -> tuple[datetime, str] | None:
        """Return when and where a label was last found loose, None if it never was."""
        query = LabelFoundRow.select(LabelFoundRow.at, LabelFoundRow.place).where(
            LabelFoundRow.number == number).order_by(LabelFoundRow.at.desc()).limit(1)
        row = self._store.row(query)
        return None if row is None else (from_utc_text(row[0]), row[1])


def _print(row: Any) -> LabelPrint:
    print_id, number, lines, copies, reason, state, note, job, queued_at, moved_at = row
    return LabelPrint(print_id, number, tuple(json.loads(lines)), copies, reason, PrintState(state), note, job,
                      from_utc_text(queued_at), from_utc_text(moved_at))


def _sighting(row: Any) -> LabelSighting:
    at, source, how, tries, took_ms, grade = row
    return LabelSighting(from_utc_text(at), ScanSource(source), how, tries, took_ms, grade)
