"""The journal: one way to write, nothing twice, no gap, all or none, and the database itself refuses the rest."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace

import pytest
from small_yard import done, event, record, story_events, yard_events

from kiosk.errors import NotFound, RecordError
from kiosk.events import KINDS, Event, HoursRead, SignedOut
from kiosk.records import YardRecords
from kiosk.records.codec import kind_of


def _count(records: YardRecords) -> int:
    return records.verify().entries


def test_append__sequence__has_no_gap_and_chains(yard: YardRecords) -> None:
    """Entries of a kiosk count on by one, each with the hash before it."""
    one, two = yard.append(done(record(1))), yard.append(done(record(2)))
    assert (one.kiosk, two.seq, two.previous_hash) == (7, one.seq + 1, one.hash)


def test_append__same_id_again__changes_nothing(yard: YardRecords) -> None:
    """A save that is tried again gives the entry of the first time."""
    saved = done(record())
    first = yard.append(saved)
    count = _count(yard)
    assert yard.append(saved) == first
    assert _count(yard) == count


def test_append__same_id_other_content__is_refused(yard: YardRecords) -> None:
    """An id that is taken by something else never swallows what was entered."""
    saved = done(record())
    yard.append(saved)
    with pytest.raises(RecordError, match="Another entry"):
        yard.append(done(replace(saved.payload.record, strokes=1)))  # type: ignore[union-attr]


def test_append_all__one_is_refused__none_is_saved(yard: YardRecords) -> None:
    """Several events are saved all or none."""
    count = _count(yard)
    with pytest.raises(RecordError):
        yard.append_all([done(record(1)), done(record(2, component_id="unknown"))])
    assert _count(yard) == count
    assert yard.component_history("bearing-left-1") == ()


def test_append_all__same_id_within_one_batch__is_saved_once(yard: YardRecords) -> None:
    """Doubles inside a batch are the same entry."""
    saved = done(record())
    first, second = yard.append_all([saved, saved])
    assert first == second


def test_append__after_a_refusal__goes_on_without_gap(yard: YardRecords) -> None:
    """A refused event leaves no hole in the sequence."""
    before = yard.append(done(record(1)))
    with pytest.raises(RecordError):
        yard.append(done(record(2, strokes=-1)))
    assert yard.append(done(record(3))).seq == before.seq + 1


def test_append__two_kiosk_numbers__have_chains_of_their_own(
    yard: YardRecords, opened: Callable[..., YardRecords]
) -> None:
    """Each kiosk counts its own entries, in one file too, and says first what it had seen of the others."""
    other = opened(kiosk=8)
    assert other.append(done(record(1))).seq == 2
    assert yard.append(done(record(2))).seq == len(yard_events()) + 2
    assert yard.tables_unlike_journal() == []
    assert set(yard.verify().heads) == {7, 8}


def test_entry__of_a_saved_event__comes_back_typed(yard: YardRecords) -> None:
    """The journal gives back the event as it was appended."""
    saved = yard.append(done(record()))
    assert yard.entry(saved.event.id) == saved
    with pytest.raises(NotFound):
        yard.entry("nothing")


def test_story__events__are_of_every_kind() -> None:
    """The events that the tests of this folder rest on leave no kind out."""
    kinds = {kind_of(each.payload) for each in (*yard_events(), *story_events())}
    # This one takes two kiosks.
    assert kinds | {"conflict settled"} == set(KINDS)


@pytest.mark.parametrize("statement", [
    pytest.param("UPDATE journal SET body = '{}' WHERE seq = 1", id="update"),
    pytest.param("UPDATE journal SET hash = hash", id="update-of-nothing"),
    pytest.param("DELETE FROM journal WHERE seq = (SELECT max(seq) FROM journal)", id="delete-last"),
    pytest.param("DELETE FROM journal", id="delete-all"),
    pytest.param("INSERT OR REPLACE INTO journal SELECT * FROM journal WHERE seq = 3", id="replace-same-row"),
    pytest.param("REPLACE INTO journal SELECT arrival, kiosk, (SELECT max(seq) + 1 FROM journal), 'new', at, kind, "
                 "person_id, body, previous_hash, hash FROM journal WHERE seq = 3", id="replace-by-arrival"),
    pytest.param("REPLACE INTO journal SELECT (SELECT max(arrival) + 1 FROM journal), kiosk, "
                 "(SELECT max(seq) + 1 FROM journal), id, at, kind, person_id, body, previous_hash, hash "
                 "FROM journal WHERE seq = 3", id="replace-by-id"),
    pytest.param("INSERT INTO journal SELECT (SELECT max(arrival) + 1 FROM journal), kiosk, 99, 'new', at, kind, "
                 "person_id, body, previous_hash, hash FROM journal WHERE seq = 3", id="insert-with-gap"),
    pytest.param("INSERT INTO journal SELECT NULL, kiosk, (SELECT max(seq) + 1 FROM journal), 'new', at, kind, "
                 "person_id, body, previous_hash, hash FROM journal WHERE seq = 3", id="insert-without-arrival"),
    pytest.param("INSERT INTO journal SELECT * FROM journal WHERE seq = 3 ON CONFLICT (id) DO UPDATE "
                 "SET body = '{}'", id="upsert"),
])
def test_journal__raw_sqlite__refuses(yard: YardRecords, statement: str) -> None:
    """With no program of ours in between, the database refuses to change, remove or push in an entry."""
    with closing(sqlite3.connect(yard.path)) as connection:
        before = connection.execute("SELECT * FROM journal").fetchall()
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute(statement)
        connection.rollback()
        assert connection.execute("SELECT * FROM journal").fetchall() == before


def test_append__foreign_payload__is_refused(yard: YardRecords) -> None:
    """Something that is no payload of ours has a sentence, not a crash."""
    with pytest.raises(RecordError, match="Nothing is known"):
        yard.append(event("not a payload"))  # type: ignore[arg-type]


def test_append__field_of_wrong_type__is_refused(yard: YardRecords) -> None:
    """Dataclasses do not check their types; the journal does."""
    with pytest.raises(RecordError, match="not what it should be"):
        yard.append(event(HoursRead("u1", "many"), "mechanic"))  # type: ignore[arg-type]


def test_append__time_without_zone__is_refused(yard: YardRecords) -> None:
    """A time that does not say its zone is not kept."""
    plain = event(SignedOut("end"), "mechanic")
    with pytest.raises(RecordError, match="time zone"):
        yard.append(Event(plain.id, plain.at.replace(tzinfo=None), plain.person_id, plain.payload))


def test_append__longer_than_any_entry__is_refused(yard: YardRecords) -> None:
    """A note of a million letters is no entry of a person."""
    with pytest.raises(RecordError, match="too long"):
        yard.append(done(record(note="x" * 1_000_000)))


def test_head__is_the_hash_of_this_kiosks_last_entry(
    yard: YardRecords, opened: Callable[..., YardRecords]
) -> None:
    """The head to be written down is this kiosk's own; before the first entry it is 32 zero bytes."""
    last = yard.append(done(record()))
    other = opened(kiosk=8)
    assert (yard.head(), other.head()) == (last.hash, "00" * 32)


def test_entries__come_in_the_order_of_arrival(story: YardRecords) -> None:
    """Everything ever entered can be walked through, kiosk by kiosk as it came."""
    walked = list(story.entries())
    assert [entry.seq for entry in walked] == list(range(1, len(walked) + 1))
    assert isinstance(walked[-1].event.payload, SignedOut)
