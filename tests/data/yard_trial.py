"""The test yard: kiosks as processes of their own and one PostgreSQL, for as long as asked, with everything that fails.

Lines are cut, delayed and broken at any byte, processes are killed, clocks are hours wrong, one kiosk joins late, the
hub's server is killed. Afterwards all are let come to rest, and every acknowledged event is looked for everywhere.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import psycopg
from cut_line import CutLine, chaos
from postgres import Postgres
from small_yard import yard_events
from yard_tables import digests

from kiosk.errors import HubUnavailable
from kiosk.records import YardRecords
from kiosk.records.hub.address import HubAddress, role_of, write_secret
from kiosk.records.hub.exchange import Exchange
from kiosk.records.hub.setting_up import set_up

ROOT = Path(__file__).resolve().parents[2]
# How wrong each kiosk's clock is, in turn. [s]
OFFSETS_S = (0.0, -7 * 3600.0, 2400.0, 11.0, -90.0)


@dataclass
class YardTally:
    """What was found. `alike`: whether all tables are the same everywhere; `whole`: all chains and rebuilds."""

    kiosks: int
    events: int = 0
    acknowledged: int = 0
    lost: int = 0
    doubled: int = 0
    kills: int = 0
    cuts: int = 0
    alike: bool = False
    whole: bool = False
    conflicts: int = 0
    seconds_to_rest: float = 0.0
    entries: dict[int, int] = field(default_factory=dict)


class YardTrial:
    """One trial.

    Args:
        server: Running. `folder`: for the kiosks' records. `kiosks`: how many.
        pause_s: How long a kiosk rests between two things, on average. [s]
    """

    def __init__(self, server: Postgres, folder: Path, kiosks: int, seed: int, pause_s: float = 0.05) -> None:
        self._server, self._folder, self._kiosks, self._pause_s = server, folder, kiosks, pause_s
        self._chance = random.Random(seed)
        self._name = f"trial_{os.getpid()}_{seed}"
        self._lines = {number: CutLine(server.port, seed * 100 + number) for number in self._numbers}
        self._processes: dict[int, subprocess.Popen[bytes]] = {}
        self._acknowledged: set[str] = set()
        self._readers: list[threading.Thread] = []
        self._tally = YardTally(kiosks)
        with psycopg.connect(server.owner_url(), autocommit=True) as owner:
            owner.execute(f"CREATE DATABASE {self._name}")
        with psycopg.connect(server.owner_url(self._name), autocommit=True) as owner:
            for number, secret in set_up(owner, self._numbers).secrets.items():
                write_secret(folder / f"{number}.secret", secret)

    @property
    def _numbers(self) -> range:
        return range(1, self._kiosks + 1)

    def run(self, seconds: float, crash_hub: bool = False) -> YardTally:
        """Let everything fail for so long, then come to rest and look."""
        self._begin()
        until = time.monotonic() + seconds
        breakers = [threading.Thread(target=chaos, args=(line, until, random.Random(self._chance.random())))
                    for line in self._lines.values()]
        for breaker in breakers:
            breaker.start()
        self._work_and_kill(until, crash_hub)
        for breaker in breakers:
            breaker.join()
        for number in list(self._processes):
            self._kill(number)
        for reader in self._readers:
            reader.join()
        self._tally.cuts = sum(line.cuts for line in self._lines.values())
        self._come_to_rest()
        return self._tally

    def close(self) -> None:
        """End what is still there."""
        for number in list(self._processes):
            self._kill(number)
        for line in self._lines.values():
            line.close()

    def _begin(self) -> None:
        first = YardRecords.open(self._path(1), 1)
        first.append_all(yard_events())
        exchange = self._exchange(first, 1)
        exchange.step()
        exchange.close()
        first.close()
        for number in self._numbers[:-1]:  # the last one joins later
            self._start(number)

    def _work_and_kill(self, until: float, crash_hub: bool) -> None:
        start = time.monotonic()
        while (now := time.monotonic()) < until:
            time.sleep(self._chance.uniform(0.3, 1.6))
            number = self._chance.choice(self._numbers)
            if number not in self._processes:
                self._start(number)
            elif self._chance.random() < 0.5:
                self._kill(number)
                self._tally.kills += 1
                self._start(number)
            if crash_hub and now - start > (until - start) / 2:
                crash_hub = False
                self._server.kill()
                time.sleep(1.0)
                self._server.start()

    def _start(self, number: int) -> None:
        url = self._server.url(self._name, self._lines[number].port)
        here = os.pathsep.join([str(ROOT), str(Path(__file__).parent)])
        process = subprocess.Popen(
            [sys.executable, str(Path(__file__).with_name("yard_kiosk.py")), str(self._path(number)), str(number), url,
             str(self._folder / f"{number}.secret"), str(OFFSETS_S[(number - 1) % len(OFFSETS_S)]),
             str(self._chance.randrange(10**6)), str(self._pause_s)],
            stdout=subprocess.PIPE, stderr=(self._folder / "errors").open("ab"),
            env={**os.environ, "PYTHONPATH": here})
        self._processes[number] = process
        reader = threading.Thread(target=self._read, args=(process,), daemon=True)
        reader.start()
        self._readers.append(reader)

    def _read(self, process: subprocess.Popen[bytes]) -> None:
        assert process.stdout is not None
        for line in process.stdout:
            if line.endswith(b"\n"):
                self._acknowledged.add(line.decode().strip())

    def _kill(self, number: int) -> None:
        process = self._processes.pop(number)
        process.kill()
        process.wait()

    def _come_to_rest(self) -> None:
        records = {number: YardRecords.open(self._path(number), number) for number in self._numbers}
        begun = time.monotonic()
        exchanges = {number: self._exchange(each, number) for number, each in records.items()}
        for _ in range(3):
            for exchange in exchanges.values():
                _until_it_works(exchange)
        self._tally.seconds_to_rest = time.monotonic() - begun
        for exchange in exchanges.values():
            exchange.close()
        self._look(records)
        for each in records.values():
            each.close()

    def _look(self, records: dict[int, YardRecords]) -> None:
        tally = self._tally
        ids = {number: [event_id for (event_id,) in each._store.sql("SELECT id FROM journal")]
               for number, each in records.items()}
        at_hub = self._ids_at_hub()
        everywhere = set.intersection(*map(set, ids.values()), set(at_hub))
        tally.entries = {number: len(each) for number, each in ids.items()}
        tally.events, tally.acknowledged = len(at_hub), len(self._acknowledged)
        tally.lost = len(self._acknowledged - everywhere) + len(set.union(*map(set, ids.values())) - everywhere)
        tally.doubled = sum(len(each) - len(set(each)) for each in (*ids.values(), at_hub)) + sum(
            _doubled_rows(each) for each in records.values())
        first, *others = (digests(each.path) for each in records.values())
        tally.alike = all(other == first for other in others)
        heads = [each.verify().heads for each in records.values()]
        tally.whole = (all(each.verify().first_bad is None and each.tables_unlike_journal() == []
                           for each in records.values()) and all(each == heads[0] for each in heads))
        tally.conflicts = len(records[1].open_conflicts())

    def _ids_at_hub(self) -> list[str]:
        with psycopg.connect(self._server.owner_url(self._name)) as owner:
            return [row[0] for row in owner.execute("SELECT id FROM hub.entry").fetchall()]

    def _exchange(self, records: YardRecords, number: int) -> Exchange:
        address = HubAddress(self._server.url(self._name), self._folder / f"{number}.secret", role_of(number))
        return Exchange(records, number, address, f"box-{number}", "1", lambda: datetime.now(UTC))

    def _path(self, number: int) -> Path:
        return self._folder / f"kiosk-{number}.db"


def _doubled_rows(records: YardRecords) -> int:
    """Return how many saved jobs have more than one record, or none, of those that were not set aside."""
    jobs = records._store.sql("SELECT count(*) FROM journal WHERE kind IN ('job done', 'component replaced')")[0][0]
    aside = records._store.sql("SELECT count(*) FROM conflict JOIN journal ON journal.id = conflict.event_id WHERE "
                               "conflict.kind = 'entry set aside' AND journal.kind IN ('job done', "
                               "'component replaced')")[0][0]
    rows = records._store.sql("SELECT count(*) FROM record JOIN journal ON journal.id = record.id WHERE "
                              "journal.kind IN ('job done', 'component replaced')")[0][0]
    return abs(int(rows) + int(aside) - int(jobs))


def _until_it_works(exchange: Any, tries: int = 50) -> None:
    step: Callable[[], Any] = exchange.step
    for attempt in range(tries):
        try:
            step()
            return
        except HubUnavailable:
            if attempt == tries - 1:
                raise
            time.sleep(0.2)
