"""The hash chain: its envelope is canonical JSON, and a walk finds whatever was done to the file by raw SQLite."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st
from small_yard import done, record, yard_events

from kiosk.errors import RecordError
from kiosk.records import YardRecords, chain
from kiosk.records.verify import Head

TEXT = st.text(st.characters(exclude_categories=("Cs",)), max_size=40)


@given(TEXT, TEXT, st.none() | TEXT, TEXT, st.integers(0, 99), st.integers(1, 10**9))
def test_envelope__rfc8785__is_what_the_library_writes(
    event_id: str, at: str, person_id: str | None, kind: str, kiosk: int, seq: int
) -> None:
    """The envelope put together by hand is the canonical JSON of the whole entry."""
    body = {"z": [1.0, 2.5, "ö\n"], "a": None}
    made = chain.envelope(kiosk=kiosk, seq=seq, event_id=event_id, at=at, person_id=person_id, kind=kind,
                          body=rfc8785.dumps(body).decode())
    assert made == rfc8785.dumps({"kiosk": kiosk, "seq": seq, "id": event_id, "at": at, "person_id": person_id,
                                  "kind": kind, "body": body})


def test_link__own_rule__is_sha256_of_previous_and_canonical() -> None:
    """The previous hash goes in as its 32 bytes, before the canonical JSON."""
    assert chain.link("ff" * 32, b"{}") == hashlib.sha256(b"\xff" * 32 + b"{}").hexdigest()


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 2**53, "\ud800", {1: 2}])
def test_canonical_json__what_json_cannot_carry__is_refused(value: object) -> None:
    """NaN, infinity, huge integers, lone surrogates and keys that are no text are refused, not bent."""
    with pytest.raises(RecordError):
        chain.canonical_json({"value": value})


def test_verify__untouched_journal__is_whole(yard: YardRecords) -> None:
    """A journal as it was appended has no bad entry, and its head is the last entry."""
    last = yard.append(done(record()))
    report = yard.verify()
    assert report.first_bad is None
    assert report.heads == {7: Head(last.seq, last.hash)}


def _without_guards(path: Path, *statements: str) -> None:
    """Do to the file what somebody could do who has it: drop the triggers, then anything."""
    with closing(sqlite3.connect(path)) as connection, connection:
        triggers = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for (name,) in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)


@pytest.mark.parametrize(("statements", "first_bad", "says"), [
    pytest.param(["UPDATE journal SET body = replace(body, 'Okoro', 'Nobody') WHERE seq = 2"], 2, "changed",
                 id="body-changed"),
    pytest.param(["UPDATE journal SET at = '2020-01-01T00:00:00.000000Z' WHERE seq = 4"], 4, "changed",
                 id="time-changed"),
    pytest.param(["UPDATE journal SET person_id = 'boss' WHERE seq = 11"], 11, "changed", id="person-changed"),
    pytest.param(["UPDATE journal SET kind = 'signed out' WHERE seq = 6"], 6, "changed", id="kind-changed"),
    pytest.param(["UPDATE journal SET id = 'other' WHERE seq = 6"], 6, "changed", id="id-changed"),
    pytest.param(["DELETE FROM journal WHERE seq = 5"], 5, "missing", id="removed"),
    pytest.param(["DELETE FROM journal WHERE seq = 1"], 1, "missing", id="first-removed"),
    pytest.param(["DELETE FROM journal WHERE seq = 5", "UPDATE journal SET seq = seq - 1 WHERE seq > 5"], 5,
                 "does not follow", id="removed-and-closed-up"),
    pytest.param(["UPDATE journal SET seq = 99 WHERE seq = 3", "UPDATE journal SET seq = 3 WHERE seq = 4",
                  "UPDATE journal SET seq = 4 WHERE seq = 99"], 3, "does not follow", id="reordered"),
    pytest.param(["UPDATE journal SET seq = -seq WHERE seq > 4", "UPDATE journal SET seq = 1 - seq WHERE seq < 0",
                  "INSERT INTO journal SELECT 999, kiosk, 5, 'extra', at, kind, person_id, body, previous_hash, hash "
                  "FROM journal WHERE seq = 4"], 5, "does not follow", id="inserted"),
    pytest.param(["INSERT OR REPLACE INTO journal SELECT arrival, kiosk, seq, id, at, kind, person_id, "
                  "replace(body, 'Quay', 'Other'), previous_hash, hash FROM journal WHERE seq = 1"], 1, "changed",
                 id="replaced"),
])
def test_verify__tampered__names_the_first_bad_entry(
    yard: YardRecords, statements: list[str], first_bad: int, says: str
) -> None:
    """Whatever is done to the journal by raw SQLite, the first entry that is not as it was saved is named."""
    yard.append(done(record()))
    allowed = ["PRAGMA ignore_check_constraints = ON", *statements]
    _without_guards(yard.path, *allowed)
    found = yard.verify().first_bad
    assert found is not None
    assert (found.kiosk, found.seq) == (7, first_bad)
    assert says in found.reason


def test_verify__tail_cut_off__shows_against_a_head_written_down(yard: YardRecords) -> None:
    """The chain alone cannot see a missing tail; a head kept elsewhere does."""
    yard.append(done(record()))
    head = yard.verify().heads
    _without_guards(yard.path, "DELETE FROM journal WHERE seq = (SELECT max(seq) FROM journal)")
    assert yard.verify().first_bad is None
    cut = yard.verify(head).first_bad
    assert cut is not None and "cut off" in cut.reason


def test_verify__chain_written_anew__shows_against_a_head_written_down(
    yard: YardRecords, opened: Callable[..., YardRecords]
) -> None:
    """A whole chain made again with another content is whole, but is not the one that was written down."""
    written_down = yard.verify().heads
    other = opened("other.db")
    other.append_all(yard_events())
    assert other.verify().first_bad is None
    found = other.verify({7: Head(1, written_down[7].hash)}).first_bad
    assert found is not None and "written down" in found.reason
