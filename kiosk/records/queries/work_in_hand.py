"""Who has what in hand, and rounds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.models import RoundJobRow, WorkHandRow, WorkRow
from kiosk.records.queries.base import Queries, found
from kiosk.work_in_hand import Hand, HandOver, Round, RoundJob, RoundStep, StepState, Work, WorkKind

# A round of the yard has a unit in hand from its first job there to its last.
_UNITS_OF_YARD_ROUND = """SELECT DISTINCT done.unit_id FROM round_job AS done JOIN round_job AS open
    ON open.round_id = done.round_id AND open.unit_id = done.unit_id
    WHERE done.round_id = ? AND done.state <> 'open' AND open.state = 'open'"""


class WorkInHandQueries(Queries):
    """Questions about work in hand."""

    def work(self, work_id: str) -> Work:
        """Return a piece of work; NotFound if none was opened under that id."""
        return self._works([found(self._store.row(WorkRow.select().where(WorkRow.id == work_id)), "work", work_id)])[0]

    def work_in_hand(self, unit_id: str) -> tuple[Work, ...]:
        """Return what anybody has in hand on a unit now, the oldest first; a yard's round while it is at this unit."""
        query = WorkRow.select().where(
            WorkRow.closed_at.is_null() & ((WorkRow.unit_id == unit_id) | WorkRow.unit_id.is_null()))
        works = self._works(self._store.rows(query.order_by(WorkRow.opened_at, WorkRow.id)))
        return tuple(work for work in works if work.unit_id is not None or self._is_at(work.id, unit_id))

    def open_rounds(self) -> tuple[Round, ...]:
        """Return the rounds that go on, the oldest first."""
        query = WorkRow.select().where(WorkRow.closed_at.is_null() & (WorkRow.kind == WorkKind.ROUND.value))
        return self._rounds(query.order_by(WorkRow.opened_at, WorkRow.id))

    def round(self, round_id: str) -> Round:
        """Return a round; NotFound if none was begun under that id."""
        rounds = self._rounds(WorkRow.select().where(
            (WorkRow.id == round_id) & (WorkRow.kind == WorkKind.ROUND.value)))
        made: Round = found(rounds[0] if rounds else None, "round", round_id)
        return made

    def rounds_between(self, since: datetime, until: datetime) -> tuple[Round, ...]:
        """Return the rounds that went on in a span of time, `until` left out, the oldest first."""
        query = WorkRow.select().where(
            (WorkRow.kind == WorkKind.ROUND.value) & (WorkRow.opened_at < utc_text(until))
            & (WorkRow.closed_at.is_null() | (WorkRow.closed_at >= utc_text(since))))
        return self._rounds(query.order_by(WorkRow.opened_at, WorkRow.id))

    def _is_at(self, round_id: str, unit_id: str) -> bool:
        return (unit_id,) in self._store.sql(_UNITS_OF_YARD_ROUND, (round_id,))

    def _works(self, rows: Iterable[Any]) -> tuple[Work, ...]:
        return tuple(work for work, _ in self._with_shift(list(rows)))

    def _with_shift(self, rows: Sequence[Any]) -> list[tuple[Work, str]]:
        hands = self._hands([row[0] for row in rows])
        return [(_work(row, tuple(hands[row[0]])), row[6]) for row in rows]

    def _hands(self, work_ids: Sequence[str]) -> dict[str, list[Hand]]:
        query = WorkHandRow.select().where(WorkHandRow.work_id.in_(work_ids))
        hands: dict[str, list[Hand]] = defaultdict(list)
        for row in self._store.rows(query.order_by(WorkHandRow.since, WorkHandRow.event_id)):
            hands[row[0]].append(_hand(row))
        return hands

    def _rounds(self, query: Any) -> tuple[Round, ...]:
        works = self._with_shift(list(self._store.rows(query)))
        return tuple(Round(work, shift, self._steps(work.id)) for work, shift in works)

    def _steps(self, round_id: str) -> tuple[RoundStep, ...]:
        query = RoundJobRow.select().where(RoundJobRow.round_id == round_id).order_by(RoundJobRow.place)
        return tuple(map(_step, self._store.rows(query)))


def _work(row: Any, hands: tuple[Hand, ...]) -> Work:
    work_id, kind, what, unit_id, component_id, job, _, opened_at, opened_by, closed_at, closed_by, reason = row
    return Work(work_id, WorkKind(kind), what, unit_id, component_id, job, from_utc_text(opened_at), opened_by, hands,
                _instant(closed_at), closed_by, reason)


def _hand(row: Any) -> Hand:
    _, _, person_id, since, until, from_person_id, how, reason = row
    return Hand(person_id, from_utc_text(since), _instant(until), from_person_id,
                None if how is None else HandOver(how), reason)


def _step(row: Any) -> RoundStep:
    _, _, unit_id, position_id, component_id, job, state, record_id, reason, person_id, at = row
    return RoundStep(RoundJob(unit_id, position_id, component_id, job), StepState(state), record_id, reason, person_id,
                     _instant(at))


def _instant(text: str | None) -> datetime | None:
    return None if text is None else from_utc_text(text)
