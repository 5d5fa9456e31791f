"""The hub: a yard of kiosks with everything that fails, and how fast entries go out and come in beside plain copies.

`HUB_SECONDS` says how long the yard is troubled, `HUB_EVENTS` and `HUB_KIOSKS` how many entries of how many kiosks go
through the hub for the rates: 10,000,000 and 50 take some hours on two cores.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import psycopg
from figures import Figure, beside
from postgres import Postgres
from small_yard import START, done, event, record, yard_events
from yard_tables import journal_rows
from yard_trial import YardTrial

from kiosk.entities import JobType
from kiosk.events import HeadsSeen, HoursRead, SeenHead
from kiosk.records import YardRecords, chain, codec
from kiosk.records.hub.address import HubAddress, role_of, write_secret
from kiosk.records.hub.exchange import Exchange
from kiosk.records.hub.setting_up import set_up
from kiosk.records.instants import utc_text

SECONDS = float(os.environ.get("HUB_SECONDS", "150"))
EVENTS = int(os.environ.get("HUB_EVENTS", "40000"))
KIOSKS = int(os.environ.get("HUB_KIOSKS", "8"))
_COLUMNS = "kiosk, seq, id, at, kind, person_id, body, previous_hash, hash"
_PLAIN = """CREATE TABLE {} (kiosk smallint, seq bigint, id text, at text, kind text, person_id text, body text,
    previous_hash text, hash text, PRIMARY KEY (kiosk, seq))"""
_SQLITE = """CREATE TABLE entry (kiosk INTEGER, seq INTEGER, id TEXT, at TEXT, kind TEXT, person_id TEXT, body TEXT,
    previous_hash TEXT, hash TEXT, PRIMARY KEY (kiosk, seq))"""

Row = tuple[Any, ...]


def run() -> list[Figure]:
    """Return what the troubled yard came to, then the rates."""
    server = Postgres()
    server.start()
    folder = Path(tempfile.mkdtemp(prefix="hub-bench-"))
    try:
        return [*_troubled_yard(server, folder / "yard"), *_Rates(server, folder / "rates").figures()]
    finally:
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)


def _troubled_yard(server: Postgres, folder: Path) -> list[Figure]:
    folder.mkdir()
    trial = YardTrial(server, folder, 5, seed=2026)
    try:
        tally = trial.run(SECONDS, crash_hub=True)
    finally:
        trial.close()
    print(tally, file=sys.stderr)
    cases = tally.acknowledged
    return [
        Figure("hub", "kiosks", tally.kiosks, "", cases=cases),
        Figure("hub", "events", tally.events, "", cases=cases),
        Figure("hub", "lost", tally.lost, "", cases=cases),
        Figure("hub", "doubled", tally.doubled, "", cases=cases),
        Figure("hub", "kiosks unlike the first", 0 if tally.alike and tally.whole else 1, "", cases=tally.kiosks),
        Figure("hub", "kills", tally.kills, ""),
        Figure("hub", "cuts", tally.cuts, ""),
    ]


class _Rates:
    """Entries of several kiosks through one hub, each way timed beside a plain copy of the same rows."""

    def __init__(self, server: Postgres, folder: Path) -> None:
        folder.mkdir()
        self._server, self._folder, self._name = server, folder, "rates"
        self._each = max(1, EVENTS // KIOSKS)
        with psycopg.connect(server.owner_url(), autocommit=True) as owner:
            owner.execute(f"CREATE DATABASE {self._name}")
        with self._owner() as owner:
            for number, secret in set_up(owner, range(1, KIOSKS + 2)).secrets.items():
                write_secret(folder / f"{number}.secret", secret)

    def figures(self) -> list[Figure]:
        """Return how fast entries go out and come in. [1/s]"""
        first = self._records(1)
        first.append_all(yard_events())
        self._exchange(first, 1).step()
        head = first.own_head()
        assert head is not None
        pushed, copied = self._push(head.seq, head.hash)
        for number in range(3, KIOSKS + 1):
            self._fill(number, head.seq, head.hash)
        return [beside("hub", "push rate", self._each / pushed, "1/s", "COPY", self._each / copied, self._each),
                *self._join()]

    def _push(self, seq: int, own_hash: str) -> tuple[float, float]:
        """Return how long one kiosk's entries take to the hub, and how long a plain COPY of the same rows. [s]"""
        second = self._records(2)
        second.take_in(journal_rows(self._folder / "1.db", 1), datetime.now(UTC))
        second.work_in()
        rows = list(_rows(2, self._each, seq, own_hash))
        second.take_in(rows, datetime.now(UTC))
        second.work_in()
        second.take_in(rows, datetime.now(UTC))
        second.work_in()
        exchange = self._exchange(second, 2)
        pushed = _seconds(exchange.step)
        exchange.close()
        second.close()
        with self._owner() as owner:
            owner.execute(_PLAIN.format("plain"))
            return pushed, _seconds(lambda: _copy(owner, "plain", rows))

    def _fill(self, number: int, seq: int, own_hash: str) -> None:
        """Put a kiosk's entries into the hub by the owner's hand; only the way in is timed for them."""
        last: Row = ()
        with self._owner() as owner:
            last = _copy(owner, "hub.entry", _rows(number, self._each, seq, own_hash))
            owner.execute("UPDATE hub.kiosk SET last_seq = %s, head = %s WHERE number = %s", (last[1], last[8], number))

    def _join(self) -> list[Figure]:
        """Time a new kiosk that takes everything in, and a plain insert of the same rows."""
        number = KIOSKS + 1
        records = self._records(number)
        exchange = self._exchange(records, number)
        worked_in = 0.0
        work_in = records.work_in

        def timed() -> bool:
            nonlocal worked_in
            begun = time.perf_counter()
            is_done = work_in()
            worked_in += time.perf_counter() - begun
            return is_done

        records.work_in = timed  # type: ignore[method-assign]
        whole = _seconds(lambda: exchange.step(lambda done, total: print(f"{done} of {total}", file=sys.stderr)))
        exchange.close()
        count = records.verify().entries
        wrong = len(records.tables_unlike_journal()) if EVENTS <= 100_000 else 0
        records.close()
        plain = self._plain_insert()
        pulled = count / (whole - worked_in)
        return [beside("hub", "pull rate", pulled, "1/s", "sqlite3 insert", count / plain, count),
                beside("hub", "pull and work in rate", count / whole, "1/s", "sqlite3 insert", count / plain, count),
                Figure("hub", "tables unlike the journal after joining", wrong, "", cases=count)]

    def _plain_insert(self) -> float:
        with closing(sqlite3.connect(self._folder / f"{KIOSKS + 1}.db")) as source:
            rows = source.execute(f"SELECT {_COLUMNS} FROM journal ORDER BY arrival").fetchall()
        with closing(sqlite3.connect(self._folder / "plain.db")) as target:
            target.execute("PRAGMA journal_mode = WAL")
            target.execute("PRAGMA synchronous = FULL")
            target.execute(_SQLITE)
            target.commit()
            return _seconds(lambda: _insert(target, rows))

    def _records(self, number: int) -> YardRecords:
        return YardRecords.open(self._folder / f"{number}.db", number)

    def _exchange(self, records: YardRecords, number: int) -> Exchange:
        address = HubAddress(self._server.url(self._name), self._folder / f"{number}.secret", role_of(number))
        return Exchange(records, number, address, f"box-{number}", "1", lambda: datetime.now(UTC))

    def _owner(self) -> psycopg.Connection[Any]:
        return psycopg.connect(self._server.owner_url(self._name), autocommit=True)


def _rows(kiosk: int, count: int, seq: int, own_hash: str) -> Iterator[Row]:
    """Yield entries as they are sent: adjustments and hour meters, after a word that kiosk 1's had come."""
    previous = chain.GENESIS
    for number in range(1, count + 1):
        at = START + timedelta(days=1, seconds=7 * number + kiosk)
        if number == 1:
            made = event(HeadsSeen({"1": SeenHead(seq, own_hash[:16])}))
        elif number % 2:
            made = event(HoursRead("u1", 100.0 + number / 1000), "mechanic")
        else:
            made = done(record(1, at=at, hours=100.0 + number / 1000, job="adjust", job_type=JobType.ADJUST,
                               strokes=None, grease=""))
        kind, body = codec.kind_of(made.payload), codec.encode(made.payload)
        text = utc_text(at)
        own = chain.link(previous, chain.envelope(kiosk=kiosk, seq=number, event_id=made.id, at=text,
                                                  person_id=made.person_id, kind=kind, body=body))
        yield kiosk, number, made.id, text, kind, made.person_id, body, previous, own
        previous = own


def _copy(owner: psycopg.Connection[Any], table: str, rows: Any) -> Row:
    last: Row = ()
    with owner.cursor() as cursor, cursor.copy(f"COPY {table} ({_COLUMNS}) FROM STDIN") as copy:
        for last in rows:
            copy.write_row(last)
    return last


def _insert(target: sqlite3.Connection, rows: list[Row]) -> None:
    for first in range(0, len(rows), 2000):
        with target:
            target.executemany(f"INSERT INTO entry VALUES ({', '.join('?' * 9)})", rows[first:first + 2000])


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun
