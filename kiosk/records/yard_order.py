"""The one order in which the entries of all kiosks are worked into the tables, whatever order they arrive in.

Every entry has a place: (moment, kiosk, sequence). The moment is the entry's own time in microseconds, but never before
the moment of the entry before it at its kiosk, and always behind the moments of what its kiosk had seen of the others
(`HeadsSeen`). So an entry stands behind everything it can rest on, however wrong a kiosk's clock is; entries of
which neither kiosk knew the other's stand by time, then by kiosk. A place depends on nothing but what the entry's kiosk
knew, so that it is the same everywhere and for ever.

Source: our own rule; logical clocks after L. Lamport, Time, Clocks, and the Ordering of Events in a Distributed System,
Communications of the ACM 21 (1978), with physical time as the lower bound.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

from kiosk.events import HeadsSeen
from kiosk.records import codec, undo
from kiosk.records.instants import from_utc_text

NOT_UNDOABLE = -1
HEADS_SEEN = "heads seen"
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_PLACE = "INSERT INTO entry_place (arrival, moment, kiosk, seq, step) VALUES (?, ?, ?, ?, ?)"
# Bodies are long, and only these are needed.
_ALL = f"""SELECT arrival, kiosk, seq, at, kind, CASE kind WHEN '{HEADS_SEEN}' THEN body END
    FROM journal ORDER BY arrival"""
_MOMENT_AT = """SELECT place.moment FROM journal JOIN entry_place AS place ON place.arrival = journal.arrival
    WHERE journal.kiosk = ? AND journal.seq = ?"""
_KIOSKS = "SELECT DISTINCT kiosk FROM journal"
_HEADS = """SELECT journal.kiosk, journal.seq, journal.hash, place.moment
    FROM journal JOIN entry_place AS place ON place.arrival = journal.arrival
    WHERE journal.kiosk = ? ORDER BY journal.seq DESC LIMIT 1"""


def moment_of(at: str, before: int | None, seen: Mapping[int, int]) -> int:
    """Return an entry's moment. [µs since 1970]

    Args:
        at: Its time as the journal keeps it.
        before: Moment of the entry before it at its kiosk, None for the first.
        seen: {kiosk: moment} of the heads that it says its kiosk had seen.
    """
    own = (from_utc_text(at) - _EPOCH) // timedelta(microseconds=1)
    return max(own, own if before is None else before, *(moment + 1 for moment in seen.values()))


def moment_at(connection: sqlite3.Connection, kiosk: int, seq: int) -> int | None:
    """Return the moment of an entry that has a place, None for another."""
    found = connection.execute(_MOMENT_AT, (kiosk, seq)).fetchone()
    return None if found is None else int(found[0])


def seen_in(kind: str, body: str) -> dict[int, int]:
    """Return {kiosk: sequence number} of the heads that an entry says it had seen; {} for any other kind."""
    if kind != HEADS_SEEN:
        return {}
    payload = codec.decode(kind, body)
    assert isinstance(payload, HeadsSeen)
    return {int(kiosk): head.seq for kiosk, head in payload.heads.items()}


def put_in_place(connection: sqlite3.Connection, arrival: int, moment: int, kiosk: int, seq: int, step: int | None
                 ) -> None:
    """Give an entry its place."""
    connection.execute(_PLACE, (arrival, moment, kiosk, seq, step))


def has_several_kiosks(connection: sqlite3.Connection) -> bool:
    """Whether the journal holds entries of more than one kiosk."""
    low, high = connection.execute("SELECT (SELECT min(kiosk) FROM journal), (SELECT max(kiosk) FROM journal)"
                                   ).fetchone()
    return bool(low != high)


def begin(connection: sqlite3.Connection) -> None:
    """Have the order of the whole yard hold from now on: there are, or will be, entries of several kiosks."""
    place_all(connection)
    note_heads(connection)
    undo.record(connection, True)


def place_all(connection: sqlite3.Connection) -> None:
    """Give every entry its place anew, none of them worked in so that it can be taken back."""
    connection.execute("DELETE FROM entry_place")
    before: dict[int, int] = {}
    for arrival, kiosk, seq, at, kind, body in connection.execute(_ALL):
        seen = {other: moment_at(connection, other, last) or 0 for other, last in seen_in(kind, body).items()}
        before[kiosk] = moment_of(at, before.get(kiosk), seen)
        put_in_place(connection, arrival, before[kiosk], kiosk, seq, NOT_UNDOABLE)


def note_heads(connection: sqlite3.Connection) -> None:
    """Note each kiosk's last entry as worked into the tables."""
    for (kiosk,) in connection.execute(_KIOSKS).fetchall():
        connection.execute("INSERT OR REPLACE INTO applied_head (kiosk, seq, hash, moment) VALUES (?, ?, ?, ?)",
                           connection.execute(_HEADS, (kiosk,)).fetchone())
