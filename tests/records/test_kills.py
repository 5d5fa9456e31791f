"""The process is killed before every single statement of a save: the whole event is there, or nothing of it.

A child process opens the records, counts the statements that SQLite runs (those of triggers too) and kills itself
with SIGKILL before the k-th; the parent opens what is left, for every k until a child lives to the end.
"""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from time import sleep

import kills
import pytest
from kills import kill_again_and_again
from small_yard import done, event, finding, label_issued, reading, record, replacement, story_events, yard_events

from kiosk.entities import JobType
from kiosk.events import Event, JournalEntry, RecordCorrected
from kiosk.records import YardRecords, journal

KIOSK = 7


def _big_job() -> Event:
    """A job that writes into most tables: readings, a property, findings opened and closed."""
    of = record(30, component_id="bearing-left-2", job="splice", job_type=JobType.SPLICE, strokes=None,
                readings=(reading(70.0), reading(71.0)))
    return done(of, findings_opened=(finding("f9", "bearing-left-2", record_id=of.id),),
                new_properties={"belt_length_mm": 3000.0})


def _replacement_again() -> Event:
    return replacement(40, "1000000005", "bearing-left-3", old="bearing-left-2")


def _annulled() -> Event:
    adjusted = next(each for each in STORY if getattr(each.payload, "findings_opened", ()))
    return event(RecordCorrected(adjusted.id, "never done", None), "lead", 50)


STORY = story_events()
BEFORE = len(yard_events()) + len(STORY) + 1


@pytest.fixture(scope="module")
def story_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a database with the whole story, closed, and a spare label."""
    path = tmp_path_factory.mktemp("kills") / "story.db"
    records = YardRecords.open(path, KIOSK)
    records.append_all([*yard_events(), *STORY, label_issued("1000000005", 5)])
    records.close()
    return path


def _in_child(act: Callable[[], None]) -> int:
    """Run `act` in a child process and return how it ended: 0, or minus the signal."""
    pid = os.fork()
    if pid == 0:
        try:
            act()
        except BaseException:
            os._exit(1)
        os._exit(0)
    _, status = os.waitpid(pid, 0)
    return os.waitstatus_to_exitcode(status)


def _kill_before(records: YardRecords, statement: int) -> None:
    """Arm the records' connection: SIGKILL comes just before SQLite runs its k-th statement from now."""
    numbers = count(1)

    def kill(_: str) -> None:
        if next(numbers) == statement:
            os.kill(os.getpid(), signal.SIGKILL)

    records._store.connection().set_trace_callback(kill)


def _save_and_die_before(path: Path, events: list[Event], statement: int) -> int:
    def act() -> None:
        records = YardRecords.open(path, KIOSK)
        _kill_before(records, statement)
        records.append_all(events)

    return _in_child(act)


def _wrong_after_kills(story_file: Path, folder: Path, events: list[Event]) -> tuple[int, list[str]]:
    """Kill before every statement of a save; return how many there were and what was found wrong afterwards."""
    wrong: list[str] = []
    for statement in count(1):
        path = folder / f"{statement}.db"
        shutil.copy(story_file, path)
        ended = _save_and_die_before(path, events, statement)
        records = YardRecords.open(path, KIOSK)
        wrong += [f"killed before statement {statement}: {what}" for what in _what_is_wrong(records, ended, events)]
        records.close()
        path.unlink()
        if ended != -signal.SIGKILL:
            return statement - 1, wrong
    raise AssertionError("unreachable")


def _what_is_wrong(records: YardRecords, ended: int, events: list[Event]) -> Iterator[str]:
    left = records.verify()
    if left.first_bad is not None:
        yield left.first_bad.reason
    if left.entries not in ((BEFORE + len(events),) if ended == 0 else (BEFORE, BEFORE + len(events))):
        yield f"{left.entries - BEFORE} of {len(events)} events are there"
    if unlike := records.tables_unlike_journal():
        yield f"tables are not the journal's: {unlike}"
    records.append_all(events)
    if records.verify().entries != BEFORE + len(events):
        yield "trying again doubled an event"


@pytest.mark.parametrize("make", [
    pytest.param(lambda: [_big_job()], id="job"),
    pytest.param(lambda: [_replacement_again()], id="replacement"),
    pytest.param(lambda: [_annulled()], id="correction"),
    pytest.param(lambda: [_big_job(), _replacement_again()], id="two-events-at-once"),
])
def test_kill__before_every_statement__leaves_all_or_nothing(
    story_file: Path, tmp_path: Path, make: Callable[[], list[Event]]
) -> None:
    """Whatever the moment, the journal is whole, the tables are the journal's, and a retry never doubles."""
    statements, wrong = _wrong_after_kills(story_file, tmp_path, make())
    print(f"{statements} statements, killed before each")
    assert wrong == []
    assert statements > 10


def test_kill__planted_fault__is_caught(
    story_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Were the tables made in a transaction of their own, these kills would show it."""
    project = journal.project

    def apart(payload: object, entry: JournalEntry, connection: sqlite3.Connection) -> None:
        connection.execute("COMMIT")
        connection.execute("BEGIN IMMEDIATE")
        project(payload, entry, connection)

    monkeypatch.setattr(journal, "project", apart)
    _, wrong = _wrong_after_kills(story_file, tmp_path, [_big_job()])
    assert any("tables are not the journal's" in each for each in wrong)


def test_kill__during_a_rebuild__leaves_the_tables_as_they_were(story_file: Path, tmp_path: Path) -> None:
    """A rebuild is one transaction: cut anywhere, the old tables stand."""
    path = tmp_path / "rebuilt.db"
    shutil.copy(story_file, path)

    def act(statement: int) -> None:
        records = YardRecords.open(path, KIOSK)
        _kill_before(records, statement)
        records.rebuild()

    for statement in (2, 10, 25, 60):
        assert _in_child(lambda k=statement: act(k)) == -signal.SIGKILL  # type: ignore[misc]
        records = YardRecords.open(path, KIOSK)
        assert records.tables_unlike_journal() == []
        records.close()


# Killed at any moment, from outside


def test_kill__25_at_random_moments__loses_and_doubles_nothing(tmp_path: Path) -> None:
    """What a worker had acknowledged on a pipe is there, and saving its last events again does not double them."""
    tally = kill_again_and_again(tmp_path / "yard.db", 25)
    assert (tally.lost, tally.doubled, tally.half) == (0, 0, 0)
    assert tally.saved > 25


@pytest.mark.slow
def test_kill__200_at_random_moments__loses_and_doubles_nothing(tmp_path: Path) -> None:
    """The same two hundred times into one file."""
    tally = kill_again_and_again(tmp_path / "yard.db", 200, 0.1)
    print(tally)
    assert (tally.kills, tally.lost, tally.doubled, tally.half) == (200, 0, 0, 0)


def test_kill__planted_early_word__is_caught(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Were an id acknowledged before its transaction ends, a kill would show it."""
    def early(records: YardRecords, event: Event) -> JournalEntry:
        with records._store.transaction() as connection:
            entry = journal.Appender(connection, KIOSK).append(event)
            kills.acknowledge(event.id)
            sleep(0.01)
        return entry

    monkeypatch.setattr(YardRecords, "append", early)
    assert kill_again_and_again(tmp_path / "yard.db", 10).lost > 0
