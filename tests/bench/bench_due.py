"""How long the due list of a yard of sixty units takes, and its board, beside the rows they need fetched by sqlite3.

The peer asks, by hand and once for the whole yard, for every part with its place, every job's last time, the hour
meters and the open findings; it works nothing out. The yard is that of `big_yard`. 'After a save' is what the kiosk
does while it runs: all was worked out before, and then one more entry came.
"""

from __future__ import annotations

import sqlite3
import statistics
from contextlib import closing
from typing import Any

from big_yard import END, KIOSK, big_yard
from figures import Figure, beside, call_times_ms

from demo_shop.build import SHEETS
from kiosk.entities import News
from kiosk.presenters.due_memory import DueMemory
from kiosk.presenters.settings import FloorSettings
from kiosk.records import YardRecords
from kiosk.sheets import SheetShelf

BENCH, PEER, CASES = "due", "sqlite3", 15
SETTINGS = FloorSettings(time_zone="America/New_York")
_PARTS = """SELECT component.*, position.walk_order FROM component JOIN position ON position.id = component.position_id
    WHERE component.retired_at IS NULL"""
_LAST = """SELECT last_done.* FROM last_done JOIN component ON component.id = last_done.component_id
    WHERE component.retired_at IS NULL"""
_HOURS = "SELECT at, hours FROM hour_reading WHERE unit_id = ? AND at < ? ORDER BY at DESC, source_id DESC LIMIT 1"
_FINDINGS = "SELECT * FROM finding WHERE closed_at IS NULL"


def run() -> list[Figure]:
    """Return both figures."""
    yard = big_yard()
    records, sheets = YardRecords.open(yard.path, KIOSK), SheetShelf.load(SHEETS)
    today = END.date()

    def anew() -> DueMemory:
        return DueMemory(records, sheets, SETTINGS)

    kept = DueMemory(_JustSaved(records), sheets, SETTINGS)  # type: ignore[arg-type]
    try:
        with closing(sqlite3.connect(yard.path)) as bare:
            return [
                _beside("yard due list", lambda: anew().of_yard(today), bare),
                _beside("unit board", lambda: anew().board(today), bare),
                _beside("yard due list, after a save", lambda: kept.of_yard(today), bare),
                _beside("unit board, after a save", lambda: kept.board(today), bare),
            ]
    finally:
        records.close()


class _JustSaved:
    """The records, each time as if their last entry had only just come."""

    def __init__(self, records: YardRecords) -> None:
        self._records = records

    def news(self, since: int) -> News:
        """Return what the last entry speaks of; everything at the first look."""
        last = self._records.news(0).arrival
        return self._records.news(last - 1 if since else 0)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._records, name)


def _beside(figure: str, ours: Any, bare: sqlite3.Connection) -> Figure:
    """Turn by turn, so that a slow moment of the machine meets both."""
    pairs = [(call_times_ms(ours, 1)[0], call_times_ms(lambda: _rows(bare), 1)[0]) for _ in range(CASES)]
    times, peer = (statistics.median(each) for each in zip(*pairs, strict=True))
    return beside(BENCH, figure, times, "ms", PEER, peer, CASES)


def _rows(bare: sqlite3.Connection) -> list[Any]:
    units = [unit_id for (unit_id,) in bare.execute("SELECT id FROM unit")]
    hours = [bare.execute(_HOURS, (unit_id, moment)).fetchone() for unit_id in units for moment in ("9", "2026-01-01")]
    return [bare.execute(statement).fetchall() for statement in (_PARTS, _LAST, _FINDINGS)] + [hours]
