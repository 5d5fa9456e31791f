"""How long a save takes, from the event to the durable record, beside a bare insert and commit by sqlite3.

Both write to the same disk with the same pragmas, turn by turn, so that a slow moment of the disk meets both. The
yard holds some thousand records first. What the screen does before and after is not in the figure.
"""

from __future__ import annotations

import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

from figures import Figure, beside
from small_yard import done, reading, record, yard_events

from kiosk.events import Event
from kiosk.records import YardRecords

BENCH = "touch-to-saved"
RECORDS_BEFORE = 5_000
SAVES = 300
WARM_UP = 10
BATCH = 1_000


def run() -> list[Figure]:
    """Return the time of one save, and of one event in a batch, each beside its bare peer."""
    with tempfile.TemporaryDirectory() as folder:
        records = YardRecords.open(Path(folder) / "yard.db", 7)
        try:
            records.append_all([*yard_events(), *_jobs(RECORDS_BEFORE)])
            with closing(_bare(Path(folder) / "bare.db")) as bare:
                return [_one_save(records, bare), _one_of_a_batch(records, bare)]
        finally:
            records.close()


def _one_save(records: YardRecords, bare: sqlite3.Connection) -> Figure:
    jobs, rows = iter(_jobs(SAVES + WARM_UP)), _rows()
    pairs = [(_ms(lambda: records.append(next(jobs))), _ms(lambda: _insert(bare, [next(rows)])))
             for _ in range(SAVES + WARM_UP)][WARM_UP:]
    ours, theirs = (statistics.median(times) for times in zip(*pairs, strict=True))
    return beside(BENCH, "touch to saved", ours, "ms", "sqlite3 insert and commit", theirs, SAVES)


def _one_of_a_batch(records: YardRecords, bare: sqlite3.Connection) -> Figure:
    jobs, rows = _jobs(BATCH), _rows()
    ours = _ms(lambda: records.append_all(jobs)) / BATCH
    theirs = _ms(lambda: _insert(bare, [next(rows) for _ in range(BATCH)])) / BATCH
    return beside(BENCH, "event in a batch", ours, "ms", "sqlite3 insert", theirs, BATCH)


def _jobs(number: int) -> list[Event]:
    """Return adjustments with two readings each, one after the other in time."""
    readings = (reading(80.0), reading(90.0))
    return [done(record(1 + next(_MINUTES) / 1440, readings=readings)) for _ in range(number)]


_MINUTES = count()


def _bare(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("CREATE TABLE entry (id INTEGER PRIMARY KEY, at TEXT, body TEXT)")
    return connection


def _rows() -> Iterator[tuple[str, str]]:
    """Yield rows as long as the journal's own."""
    body = "x" * 1_000
    return ((f"2026-03-02T05:00:{number % 60:02d}Z", body) for number in count())


def _insert(connection: sqlite3.Connection, rows: list[tuple[str, str]]) -> None:
    connection.execute("BEGIN IMMEDIATE")
    connection.executemany("INSERT INTO entry (at, body) VALUES (?, ?)", rows)
    connection.execute("COMMIT")


def _ms(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return (time.perf_counter() - start) * 1000.0
