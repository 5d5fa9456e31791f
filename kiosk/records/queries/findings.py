"""Findings, and the cautions that were confirmed."""

from __future__ import annotations

from typing import Any

from kiosk.entities import Finding, Severity, UnitHold
from kiosk.records.instants import from_utc_text
from kiosk.records.models import CautionConfirmedRow, FindingRow, UnitHoldRow
from kiosk.records.queries.base import Queries, found


class FindingQueries(Queries):
    """Questions about what is wrong, and about who confirmed which cautions."""

    def open_findings(self, *, unit_id: str | None = None, component_id: str | None = None) -> tuple[Finding, ...]:
        """Return the open findings of a unit, a part, or the whole yard, oldest first."""
        query = FindingRow.select().where(FindingRow.closed_at.is_null())
        if unit_id is not None:
            query = query.where(FindingRow.unit_id == unit_id)
        if component_id is not None:
            query = query.where(FindingRow.component_id == component_id)
        return tuple(map(_finding, self._store.rows(query.order_by(FindingRow.opened_at, FindingRow.id))))

    def finding(self, finding_id: str) -> Finding:
        """Return one finding, open or closed; NotFound if there is none."""
        row = self._store.row(FindingRow.select().where(FindingRow.id == finding_id))
        return _finding(found(row, "finding", finding_id))

    def findings_of(self, component_id: str) -> tuple[Finding, ...]:
        """Return every finding on a part, open or closed, newest first."""
        query = FindingRow.select().where(FindingRow.component_id == component_id)
        return tuple(map(_finding, self._store.rows(query.order_by(FindingRow.opened_at.desc(),
                                                                   FindingRow.id.desc()))))

    def hold_of(self, unit_id: str) -> UnitHold | None:
        """Return why a unit is held out of service now, None if it may go out."""
        row = self._store.row(UnitHoldRow.select().where(
            (UnitHoldRow.unit_id == unit_id) & UnitHoldRow.released_at.is_null()))
        return None if row is None else _hold(row)

    def holds(self) -> tuple[UnitHold, ...]:
        """Return every unit that is held out of service now, oldest first."""
        query = UnitHoldRow.select().where(UnitHoldRow.released_at.is_null())
        return tuple(map(_hold, self._store.rows(query.order_by(UnitHoldRow.held_at))))

    def holds_of(self, unit_id: str) -> tuple[UnitHold, ...]:
        """Return every time a unit was held out of service, newest first."""
        query = UnitHoldRow.select().where(UnitHoldRow.unit_id == unit_id)
        return tuple(map(_hold, self._store.rows(query.order_by(UnitHoldRow.held_at.desc()))))

    def cautions_confirmed(self, unit_id: str, person_id: str, shift: str) -> frozenset[str]:
        """Return the cautions that a person confirmed for a unit in a shift."""
        query = CautionConfirmedRow.select(CautionConfirmedRow.caution).where(
            (CautionConfirmedRow.unit_id == unit_id) & (CautionConfirmedRow.shift == shift)
            & (CautionConfirmedRow.person_id == person_id))
        return frozenset(caution for (caution,) in self._store.rows(query))


def _finding(row: Any) -> Finding:
    (finding_id, unit_id, position_id, component_id, text, opened_at, opened_by, record_id, closed_at, closed_by,
     closed_reason, _, severity) = row
    return Finding(finding_id, unit_id, position_id, component_id, text, from_utc_text(opened_at), opened_by,
                   record_id, None if closed_at is None else from_utc_text(closed_at), closed_by, closed_reason,
                   Severity(severity))


def _hold(row: Any) -> UnitHold:
    hold_id, unit_id, reason, held_at, held_by, released_at, released_by, released_reason = row
    return UnitHold(hold_id, unit_id, reason, from_utc_text(held_at), held_by,
                    None if released_at is None else from_utc_text(released_at), released_by, released_reason)
