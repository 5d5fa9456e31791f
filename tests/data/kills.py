"""A worker that saves as fast as it can is killed, again and again, and what it had acknowledged is looked for.

The worker writes each event's id on a pipe as soon as the records said it is saved. It is killed (SIGKILL) at a
moment it does not know; then the records are opened, every acknowledged id must be there, and the next worker first
saves the last few events again, which must not double them. A kill leaves the disk's cache alone: it shows that no
save is half and no retry doubles; that a save is durable is for `power_cuts` to show.
"""

from __future__ import annotations

import os
import random
import select
import signal
import time
from dataclasses import dataclass
from pathlib import Path

from small_yard import done, reading, record, yard_events

from kiosk.events import Event
from kiosk.records import YardRecords

KIOSK = 7
_RETRIED = 3


@dataclass
class KillTally:
    """What was found after so many kills. `half`: a chain or tables that are not whole."""

    kills: int = 0
    saved: int = 0
    lost: int = 0
    doubled: int = 0
    half: int = 0


def kill_again_and_again(path: Path, kills: int, longest_s: float = 0.15) -> KillTally:
    """Kill a worker so many times and return what was found.

    Args:
        longest_s: It is killed at a random moment, no later than this after its first save. [s]
    """
    chance, tally, acknowledged, last = random.Random(kills), KillTally(), set[str](), list[Event]()
    records = YardRecords.open(path, KIOSK)
    records.append_all(yard_events())
    records.close()
    for number in range(kills):
        events = [*last, *_jobs(number)]
        ids = _ids_until_killed(path, events, chance.uniform(0.0, longest_s))
        tally.kills += 1
        acknowledged.update(ids)
        # The one that it was at, and those before it, are saved again by the next.
        last = events[max(0, len(ids) - _RETRIED):len(ids) + 1]
        _look(path, acknowledged, tally)
    return tally


def _jobs(number: int) -> list[Event]:
    """Return more adjustments than a worker can save before it is killed."""
    return [done(record(1 + number + job / 10_000, readings=(reading(70.0),))) for job in range(600)]


def _ids_until_killed(path: Path, events: list[Event], delay_s: float) -> list[str]:
    """Start a worker, kill it, and return the ids that it had acknowledged."""
    reader, writer = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(reader)
        _save_all(path, events, writer)
    os.close(writer)
    select.select([reader], [], [], 60)
    time.sleep(delay_s)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    with os.fdopen(reader, "rb") as pipe:
        return [line.decode() for line in pipe.read().split(b"\n")[:-1]]


def _save_all(path: Path, events: list[Event], writer: int) -> None:
    try:
        records = YardRecords.open(path, KIOSK)
        global _pipe
        _pipe = writer
        for event in events:
            records.append(event)
            acknowledge(event.id)
        time.sleep(60)
    finally:
        os._exit(1)


_pipe = -1


def acknowledge(event_id: str) -> None:
    """Say, in the worker, that an event is saved."""
    os.write(_pipe, f"{event_id}\n".encode())


def _look(path: Path, acknowledged: set[str], tally: KillTally) -> None:
    records = YardRecords.open(path, KIOSK)
    connection = records._store.connection()
    there = [event_id for (event_id,) in connection.execute("SELECT id FROM journal WHERE kind = 'job done'")]
    in_table = connection.execute("SELECT count(*), count(DISTINCT id) FROM record").fetchone()
    tally.saved = len(there)
    tally.lost += len(acknowledged - set(there))
    tally.doubled += len(there) - len(set(there)) + in_table[0] - in_table[1]
    tally.half += records.verify().first_bad is not None or in_table[0] != len(there)
    # A whole comparison with a rebuild takes long: after every tenth kill.
    if tally.kills % 10 == 0:
        tally.half += len(records.tables_unlike_journal()) > 0
    records.close()
