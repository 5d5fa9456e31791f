"""Entries go through a real PostgreSQL: everything arrives once, chains that part are kept apart and named."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from small_yard import done, event, record, story_events, yard_events
from yard_tables import digests

from kiosk.errors import HubUnavailable
from kiosk.events import Event, HeadsSeen, HoursRead
from kiosk.records import YardRecords
from kiosk.records.restore import restore

Kiosk = Callable[[int], YardRecords]


def _story() -> list[Event]:
    """Return events of every kind but the word about a kiosk that is not in this yard."""
    return [each for each in story_events() if not isinstance(each.payload, HeadsSeen)]


def _hours(hours: float) -> Any:
    return event(HoursRead("u1", hours), "mechanic", 30)


def test_exchange__a_story_at_one_kiosk__is_the_same_at_the_other(hub: Any, kiosk: Kiosk) -> None:
    """Events of every kind come out the same at a kiosk that began empty, and each chain is whole at all three places.
    """
    one, two = kiosk(1), kiosk(2)
    one.append_all([*yard_events(), *_story()])
    hub.exchange(one, 1).step()
    standing = hub.exchange(two, 2).step()
    assert (standing.waiting, standing.coming, standing.is_alone) == (0, 0, False)
    assert digests(two.path) == digests(one.path)
    assert two.verify().heads == one.verify().heads
    with hub.owner() as connection:
        head = connection.execute("SELECT last_seq, head FROM hub.kiosk WHERE number = 1").fetchone()
    assert head == (one.own_head().seq, one.own_head().hash)


def test_exchange__both_go_on__each_says_what_it_had_seen(hub: Any, kiosk: Kiosk) -> None:
    """Work at both goes to and fro; a kiosk's word about the other's head comes before its own next entry."""
    one, two = kiosk(1), kiosk(2)
    one.append_all(yard_events())
    first, second = hub.exchange(one, 1), hub.exchange(two, 2)
    first.step()
    second.step()
    two.append(done(record(2)))
    second.step()
    first.step()
    one.append(done(record(3)))
    first.step()
    second.step()
    assert digests(one.path) == digests(two.path)
    kinds = [row[0] for row in one._store.sql("SELECT kind FROM journal ORDER BY arrival DESC LIMIT 4")]
    assert kinds == ["job done", "heads seen", "job done", "heads seen"]
    assert one.tables_unlike_journal() == two.tables_unlike_journal() == []


def test_exchange__sent_again_after_a_lost_answer__is_there_once(hub: Any, kiosk: Kiosk) -> None:
    """A kiosk that did not hear what became of its batch sends it again; nothing is doubled."""
    one = kiosk(1)
    one.append_all(yard_events())
    exchange = hub.exchange(one, 1)
    exchange.step()
    with hub.kiosk(1) as connection:
        rows = one.own_rows(0, 100)
        columns = [list(column) for column in zip(*rows, strict=True)][1:]
        for _ in range(2):
            assert connection.execute(f"SELECT hub.append('box-1', {', '.join(['%s'] * 8)})", columns).fetchone() == (
                len(rows),)
        assert connection.execute("SELECT count(*), count(DISTINCT id) FROM hub.entry").fetchone() == (
            len(rows), len(rows))


def test_exchange__restored_old_copy__end_comes_back_and_is_named(hub: Any, kiosk: Kiosk, tmp_path: Path) -> None:
    """A kiosk whose end is gone gets it back from the hub, and says how much was missing."""
    one = kiosk(1)
    one.append_all(yard_events())
    one.backup(tmp_path / "old.db")
    one.append_all([_hours(200.0 + number) for number in range(5)])
    before = one.own_head()
    hub.exchange(one, 1).step()
    old = YardRecords.open(tmp_path / "old.db", 1)
    standing = hub.exchange(old, 1).step()
    assert "5 entries of this kiosk were missing" in standing.trouble
    assert old.own_head() == before
    assert old.tables_unlike_journal() == [] and digests(old.path) == digests(one.path)
    old.close()


def test_exchange__restored_and_written_to__is_kept_apart(hub: Any, kiosk: Kiosk, tmp_path: Path) -> None:
    """A copy that was restored and written to parts from the hub's chain: named, kept apart at the hub, merged nowhere.
    """
    one, two = kiosk(1), kiosk(2)
    one.append_all(yard_events())
    one.backup(tmp_path / "old.db")
    one.append(_hours(200.0))
    hub.exchange(one, 1).step()
    old = YardRecords.open(tmp_path / "old.db", 1)
    old.append_all([_hours(300.0), _hours(301.0)])
    with pytest.raises(HubUnavailable, match=f"part at entry {len(yard_events()) + 1}") as error:
        hub.exchange(old, 1).step()
    assert error.value.kind == "forked"
    hub.exchange(two, 2).step()
    assert digests(two.path) == digests(one.path)
    with hub.owner() as connection:
        assert connection.execute("SELECT count(*) FROM hub.apart WHERE kiosk = 1").fetchone() == (2,)
    old.close()


def test_exchange__cloned_disk__second_computer_is_refused(hub: Any, kiosk: Kiosk, tmp_path: Path) -> None:
    """A copy of the disk in another computer is refused before it sends or takes anything, until it takes over."""
    one = kiosk(1)
    one.append_all(yard_events())
    hub.exchange(one, 1).step()
    one.backup(tmp_path / "clone.db")
    clone = YardRecords.open(tmp_path / "clone.db", 1)
    clone.append(_hours(300.0))
    other = hub.exchange(clone, 1, "another computer")
    with pytest.raises(HubUnavailable, match="Another computer") as error:
        other.step()
    assert error.value.kind == "another computer"
    other.take_over()
    assert other.step().waiting == 0
    with pytest.raises(HubUnavailable, match="Another computer"):
        hub.exchange(one, 1).step()
    clone.close()


def test_exchange__another_chain_at_the_hub__is_kept_apart_and_others_go_on(hub: Any, kiosk: Kiosk) -> None:
    """Where the hub's entries of a kiosk do not follow those that are here, that kiosk alone is stopped, by name."""
    one, two, three = kiosk(1), kiosk(2), kiosk(3)
    one.append_all(yard_events())
    hub.exchange(one, 1).step()
    hub.exchange(two, 2).step()
    hub.exchange(three, 3).step()
    with closing(sqlite3.connect(three.path)) as connection, connection:  # as if kiosk 3 had met another kiosk 1
        connection.execute("DROP TRIGGER journal_is_never_changed")
        connection.execute("UPDATE journal SET hash = ? WHERE kiosk = 1 AND seq = ?", ("f" * 64, len(yard_events())))
    one.append(_hours(200.0))
    two.append(_hours(201.0))
    hub.exchange(one, 1).step()
    hub.exchange(two, 2).step()
    standing = hub.exchange(three, 3).step()
    troubles = {each.number: each.trouble for each in standing.kiosks if each.trouble}
    assert "part at entry" in troubles[1]
    assert three.kept_apart()[1][0] == len(yard_events()) + 1
    assert set(troubles) >= {1}


def test_exchange__killed_between_taking_in_and_working_in__goes_on(hub: Any, kiosk: Kiosk) -> None:
    """What was taken into the journal and not yet into the tables is worked in by the next exchange."""
    one, two = kiosk(1), kiosk(2)
    one.append_all([*yard_events(), *_story()])
    two.take_in(one.own_rows(0, 1000), datetime.now(UTC))
    assert two.yard_name() == ""
    hub.exchange(one, 1).step()
    hub.exchange(two, 2).step()
    assert digests(two.path) == digests(one.path)


def test_exchange__records_of_two_kiosks__backup_restore_and_rebuild_keep_them(
    hub: Any, kiosk: Kiosk, tmp_path: Path
) -> None:
    """Backup, restore with newer entries and rebuild go on working with other kiosks' entries in the journal."""
    one, two = kiosk(1), kiosk(2)
    one.append_all(yard_events())
    first, second = hub.exchange(one, 1), hub.exchange(two, 2)
    first.step()
    second.step()
    two.backup(tmp_path / "copy.db")
    two.append(done(record(2)))
    one.append(done(record(1.99)))  # earlier, and it comes later
    first.step()
    second.step()
    before, path = digests(two.path), two.path
    two.close()
    found = restore(tmp_path / "copy.db", path)
    assert (found.lost, found.carried) == (0, 3)
    again = YardRecords.open(path, 2)
    assert digests(path) == before
    again.rebuild()
    assert digests(path) == before
    assert again.verify().first_bad is None
    again.close()
    shutil.rmtree(tmp_path, ignore_errors=True)


def test_exchange__hub_is_new_or_went_back__kiosks_fill_it_again(
    hub: Any, server: Any, kiosk: Kiosk, tmp_path: Path
) -> None:
    """A hub that lost everything gets every entry back from the kiosk that made it, and all go on as before."""
    one, two = kiosk(1), kiosk(2)
    one.append_all(yard_events())
    hub.exchange(one, 1).step()
    hub.exchange(two, 2).step()
    two.append(done(record(2)))
    hub.exchange(two, 2).step()
    (tmp_path / "second").mkdir()
    fresh = type(hub)(server, f"{hub.name}_again", tmp_path / "second")
    first, second = fresh.exchange(one, 1), fresh.exchange(two, 2)
    assert first.step().waiting == 0 and second.step().waiting == 0
    first.step()
    assert digests(one.path) == digests(two.path)
    with fresh.owner() as connection:
        counted = connection.execute("SELECT kiosk, count(*) FROM hub.entry GROUP BY kiosk ORDER BY 1").fetchall()
    assert counted == [(1, len(yard_events())), (2, 2)]
