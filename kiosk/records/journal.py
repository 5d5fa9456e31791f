"""The append-only list of everything that was ever entered, and the one way to write to it.

An append checks the event, chains it to the kiosk's last entry and brings it into the tables, all inside the
transaction that the caller opened. Sequence numbers of a kiosk have no gap. An id that is there already is not
appended again, so a save can be tried again after any doubt.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from kiosk.errors import NotFound, RecordError
from kiosk.events import Event, HeadsSeen, JournalEntry, SeenHead
from kiosk.language import tr
from kiosk.records import chain, codec, rules, undo, yard_order
from kiosk.records.ids import first_id_at, id_at
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.models import JournalRow, column_names, insert_statement
from kiosk.records.projections import project
from kiosk.records.verify import Head

# A sheet's text is the longest thing there is; more than this is no entry of a person.
LONGEST_BODY = 1_000_000

# Of a head that was seen so much is written down: as much as a receipt has.
SEEN_DIGITS = 16

_COLUMNS = ", ".join(column_names(JournalRow))
_INSERT = insert_statement(JournalRow)
_HEAD = "SELECT seq, hash FROM journal WHERE kiosk = ? ORDER BY seq DESC LIMIT 1"
_LAST_ARRIVAL = "SELECT coalesce(max(arrival), 0) FROM journal"
_OTHERS = """SELECT coalesce((SELECT min(kiosk) FROM journal) <> ?, 0)
    OR coalesce((SELECT max(kiosk) FROM journal) <> ?, 0)"""
_NEWS = """SELECT applied_head.kiosk, applied_head.seq, applied_head.hash FROM applied_head
    LEFT JOIN seen_head ON seen_head.by_kiosk = ? AND seen_head.of_kiosk = applied_head.kiosk
    WHERE applied_head.kiosk <> ? AND applied_head.seq > coalesce(seen_head.seq, 0) ORDER BY applied_head.kiosk"""
_NOTE_HEAD = "INSERT OR REPLACE INTO applied_head (kiosk, seq, hash, moment) VALUES (?, ?, ?, ?)"
_BY_ID = f"SELECT {_COLUMNS} FROM journal WHERE id = ?"
_IN_ORDER = f"SELECT {_COLUMNS} FROM journal ORDER BY arrival"
# An id begins with its time (version 7 UUID), so the index of ids finds a span of time without walking the journal.
_BY_ID_RANGE = f"SELECT {_COLUMNS} FROM journal WHERE id >= ? AND id < ? AND at >= ? AND at < ? ORDER BY id"
_MARGIN = timedelta(days=1)


class Appender:
    """Appends events of one kiosk inside one transaction; it remembers the chain's head between them.

    Args:
        connection: The store's, in a transaction.
        kiosk: This kiosk's number. 0..99
    """

    def __init__(self, connection: sqlite3.Connection, kiosk: int) -> None:
        self._connection = connection
        self._kiosk = kiosk
        self._seq, self._hash = head(connection, kiosk)
        self._arrival: int = connection.execute(_LAST_ARRIVAL).fetchone()[0]
        self._has_others = undo.is_recording(connection) or self._begins_yard_order()

    @property
    def head(self) -> Head:
        """The kiosk's last entry now."""
        return Head(self._seq, self._hash)

    def append(self, event: Event) -> JournalEntry:
        """Append one event and bring it into the tables; one that is there already is returned as it stands.

        Raises:
            RecordError: it may not be put on record; NotAllowed and NotFound are kinds of it.
        """
        kind, body = codec.kind_of(event.payload), codec.encode(event.payload)
        if (there := self._already_there(event, kind, body)) is not None:
            return there
        if len(body) > LONGEST_BODY:
            raise RecordError(tr("This entry is too long to be kept."))
        # What is checked and brought into the tables is what the journal will say, not what was handed in.
        kept = Event(event.id, event.at, event.person_id, codec.decode(kind, body))
        rules.check(kept, self._connection)
        if self._has_others:
            self._tell_what_was_seen(event.at)
        return self._put_on_record(kept, kind, body)

    def _begins_yard_order(self) -> bool:
        """Begin the yard's order where the journal holds what another number wrote: this kiosk got a new one."""
        others = self._connection.execute(_OTHERS, (self._kiosk, self._kiosk)).fetchone()[0]
        if others:
            yard_order.begin(self._connection)
        return bool(others)

    def _tell_what_was_seen(self, at: datetime) -> None:
        """Put on record which entries of other kiosks this kiosk knows of, if there are any new ones."""
        news = self._connection.execute(_NEWS, (self._kiosk, self._kiosk)).fetchall()
        if news:
            seen = HeadsSeen({str(kiosk): SeenHead(seq, own_hash[:SEEN_DIGITS]) for kiosk, seq, own_hash in news})
            event = Event(id_at(at), at, None, seen)
            self._put_on_record(event, codec.kind_of(seen), codec.encode(seen))

    def _put_on_record(self, event: Event, kind: str, body: str) -> JournalEntry:
        step = undo.last_step(self._connection) if self._has_others else 0
        entry = self._insert(event, kind, body)
        project(event.payload, entry, self._connection)
        if self._has_others:
            self._give_place(entry, kind, body, step)
        return entry

    def _give_place(self, entry: JournalEntry, kind: str, body: str, step: int) -> None:
        """Give an own entry its place in the yard's order: behind everything that is worked into the tables."""
        seen = {kiosk: yard_order.moment_at(self._connection, kiosk, seq) or 0
                for kiosk, seq in yard_order.seen_in(kind, body).items()}
        before = yard_order.moment_at(self._connection, self._kiosk, entry.seq - 1)
        moment = yard_order.moment_of(utc_text(entry.event.at), before, seen)
        yard_order.put_in_place(self._connection, self._arrival, moment, self._kiosk, entry.seq, step)
        self._connection.execute(_NOTE_HEAD, (self._kiosk, entry.seq, entry.hash, moment))

    def _already_there(self, event: Event, kind: str, body: str) -> JournalEntry | None:
        row = self._connection.execute(_BY_ID, (event.id,)).fetchone()
        if row is None:
            return None
        there = entry_of_row(row)
        if there.event != Event(event.id, event.at, event.person_id, codec.decode(kind, body)):
            raise RecordError(tr("Another entry bears this id already; nothing was saved. Save it as a new entry."))
        return there

    def _insert(self, event: Event, kind: str, body: str) -> JournalEntry:
        seq, at, previous = self._seq + 1, utc_text(event.at), self._hash
        envelope = chain.envelope(kiosk=self._kiosk, seq=seq, event_id=event.id, at=at, person_id=event.person_id,
                                  kind=kind, body=body)
        own = chain.link(previous, envelope)
        self._arrival += 1
        self._connection.execute(
            _INSERT, (self._arrival, self._kiosk, seq, event.id, at, kind, event.person_id, body, previous, own))
        self._seq, self._hash = seq, own
        return JournalEntry(self._kiosk, seq, event, previous, own)


def head(connection: sqlite3.Connection, kiosk: int) -> tuple[int, str]:
    """Return sequence number and hash of a kiosk's last entry; 0 and the chain's beginning if it has none."""
    last: tuple[int, str] = connection.execute(_HEAD, (kiosk,)).fetchone() or (0, chain.GENESIS)
    return last


def entry_by_id(connection: sqlite3.Connection, event_id: str) -> JournalEntry:
    """Return the entry of an event.

    Raises:
        NotFound: there is none.
    """
    row = connection.execute(_BY_ID, (event_id,)).fetchone()
    if row is None:
        raise NotFound(tr("The journal has no entry '{event_id}'.").format(event_id=event_id))
    return entry_of_row(row)


def entries(connection: sqlite3.Connection) -> Iterator[JournalEntry]:
    """Yield every entry in the order in which the entries came to this database."""
    for row in connection.execute(_IN_ORDER):
        yield entry_of_row(row)


def entries_between(connection: sqlite3.Connection, since: datetime, until: datetime) -> Iterator[JournalEntry]:
    """Yield the entries of what happened in a span of time, `until` left out, in the order of their ids.

    An id is made when the entry is, and bears the time of it to the millisecond; a day on either side allows for an
    entry that was put on record later than it happened.
    """
    low, high = first_id_at(since - _MARGIN), first_id_at(until + _MARGIN)
    for row in connection.execute(_BY_ID_RANGE, (low, high, utc_text(since), utc_text(until))):
        yield entry_of_row(row)


def entry_of_row(row: tuple[Any, ...]) -> JournalEntry:
    """Return the entry that a row of the journal holds.

    Raises:
        RecordError: its body is not what its kind says.
        StoreUnavailable: it is not what its own hash says.
    """
    chain.demand_as_saved(row[1:])
    _, kiosk, seq, event_id, at, kind, person_id, body, previous_hash, own_hash = row
    event = Event(event_id, from_utc_text(at), person_id, codec.decode(kind, body))
    return JournalEntry(kiosk, seq, event, previous_hash, own_hash)
