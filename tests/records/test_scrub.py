"""A value that went wrong in a table alone: found by holding all tables against the journal, told, and mended."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from small_yard import done, reading, record, yard_events

from kiosk.backup_worker import BackupWorker
from kiosk.entities import Side
from kiosk.records import YardRecords
from kiosk.records.scrub import tables_unlike
from kiosk.scrubber import EVERY_S, FIRST_S, Scrubber


@pytest.fixture
def busy(yard: YardRecords) -> YardRecords:
    """Return the small yard with some jobs, closed so that all of it is in the file."""
    for day in range(3):
        yard.append(done(record(1 + day, readings=(reading(70.0 + day), reading(72.0, Side.RIGHT)))))
    yard.close()
    return yard


def _flip_outside_the_journal(path: Path, value: bytes) -> None:
    """Flip one bit of a value where it stands in a table: of all places, those that the journal's hashes miss."""
    whole = path.read_bytes()
    at = -1
    while (at := whole.find(value, at + 1)) >= 0:
        path.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1:])
        records = YardRecords.open(path, 7)
        untouched = records.verify().first_bad is None
        records.close()
        if untouched and tables_unlike_or_none(path) is not None:
            return
    pytest.fail(f"{value!r} stands nowhere but in the journal")


def tables_unlike_or_none(path: Path) -> list[str] | None:
    """Return the tables that differ, None if the flip hit an index and the copy itself is refused."""
    try:
        return tables_unlike(path)
    except Exception:
        return None


@pytest.mark.parametrize(("value", "table"), [(b"Ada Okoro", "person"), (b"Quay Yard", "yard")])
def test_scrub__one_bit_flipped_in_a_table__names_it(busy: YardRecords, value: bytes, table: str) -> None:
    """SQLite's checks and the chain are content: only the journal's own word tells."""
    _flip_outside_the_journal(busy.path, value)
    with closing(sqlite3.connect(busy.path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert tables_unlike(busy.path) == [table]


@pytest.mark.parametrize(("statement", "table"), [
    ("UPDATE reading SET value = value + 0.001", "reading"),
    ("UPDATE last_done SET hours = 9", "last_done"),
    ("UPDATE label SET subject_id = 'bearing-right-1' WHERE number = '1000000001'", "label"),
    ("UPDATE person SET role = 'supervisor' WHERE id = 'mechanic'", "person"),
    ("DELETE FROM hour_reading", "hour_reading"),
])
def test_scrub__a_row_changed_by_hand__names_the_table(busy: YardRecords, statement: str, table: str) -> None:
    """Who makes themselves a supervisor in the file is found, as is any other row."""
    with closing(sqlite3.connect(busy.path)) as connection, connection:
        connection.execute(statement)
    assert tables_unlike(busy.path) == [table]


def test_worker__tables_wrong__tells_who_can_mend_it__and_mending_helps(busy: YardRecords) -> None:
    """The check runs in a process of its own; after the tables were made anew there is nothing to tell."""
    with closing(sqlite3.connect(busy.path)) as connection, connection:
        connection.execute("UPDATE unit SET name = 'Unit 9'")
    now = [0.0]
    scrubber = Scrubber(busy.path, lambda: now[0])
    told: list[str] = []
    worker = BackupWorker(None, told.append, scrubber=scrubber)  # type: ignore[arg-type]
    worker.scrub()
    assert told == [], "not in the first minutes"
    now[0] = FIRST_S
    worker.scrub()
    worker.scrub()
    assert len(told) == 1 and "unit not as the journal says" in told[0]
    records = YardRecords.open(busy.path, 7)
    records.rebuild()
    now[0] += EVERY_S
    worker.scrub()
    assert len(told) == 1 and records.tables_unlike_journal() == []
    records.close()


def test_scrubber__kiosk_is_closed_meanwhile__gives_up(busy: YardRecords) -> None:
    """Nobody waits for it at the end."""
    stop = threading.Event()
    stop.set()
    assert Scrubber(busy.path).scrub(stop) == ""


def test_scrubber__journal_itself_wrong__says_so(opened: Callable[..., YardRecords]) -> None:
    """What a backup would refuse is told here too."""
    records = opened()
    records.append_all(yard_events())
    records.close()
    with closing(sqlite3.connect(records.path)) as connection, connection:
        connection.execute("DROP TRIGGER journal_is_never_changed")
        connection.execute("UPDATE journal SET body = replace(body, 'Ada', 'Ida') WHERE seq = 2")
    assert "changed after it was saved" in Scrubber(records.path).scrub(threading.Event())
