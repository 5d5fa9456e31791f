"""Brings other kiosks' entries into the journal and the tables: first taken in as they are, then worked in.

Taking in checks each kiosk's chain and demands what its entries rest on; it never touches the tables. Working in brings
the tables to what they would be, had all entries come in the yard's order: what stands behind the first new entry is
taken back, then everything from there on is worked in. Both are transactions of their own, so that a kill between them
loses nothing: what was taken in is worked in by the next start.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from kiosk.errors import RecordError, StoreUnavailable
from kiosk.events import HeadsSeen
from kiosk.records import chain, codec, undo, yard_order
from kiosk.records.ids import MAX_ID_LENGTH
from kiosk.records.instants import from_utc_text, utc_text
from kiosk.records.journal import LONGEST_BODY, entry_of_row, head
from kiosk.records.models import JournalRow, column_names, insert_statement
from kiosk.records.rebuild import UNDOABLE, rebuild
from kiosk.records.working_in import work_in

# kiosk, seq, id, at, kind, person_id, body, previous_hash, hash
Row = tuple[Any, ...]
_KIOSK, _SEQ, _ID, _AT, _KIND, _BODY, _PREVIOUS, _HASH = 0, 1, 2, 3, 4, 6, 7, 8

# So many of the newest entries may be taken back; for what comes even later the tables are made anew.
MOST_UNDOABLE = 100_000
KIOSKS = range(100)
_KIOSK_NAMES = frozenset(map(str, KIOSKS))
_COLUMNS = ", ".join(f"journal.{column}" for column in column_names(JournalRow))
_INSERT = insert_statement(JournalRow)
_LAST_ARRIVAL = "SELECT coalesce(max(arrival), 0) FROM journal"
_HASH_AT = "SELECT hash FROM journal WHERE kiosk = ? AND seq = ?"
_FIRST_OPEN = "SELECT moment, kiosk, seq FROM entry_place WHERE step IS NULL ORDER BY moment, kiosk, seq LIMIT 1"
_FIRST_BEHIND = """SELECT step FROM entry_place WHERE (moment, kiosk, seq) > (?, ?, ?) AND step IS NOT NULL
    ORDER BY moment, kiosk, seq LIMIT 1"""
_TAKE_BACK = "UPDATE entry_place SET step = NULL WHERE (moment, kiosk, seq) > (?, ?, ?) AND step IS NOT NULL"
_OPEN = f"""SELECT {_COLUMNS} FROM entry_place AS place CROSS JOIN journal ON journal.arrival = place.arrival
    WHERE place.step IS NULL ORDER BY place.moment, place.kiosk, place.seq"""
_OLDEST_KEPT = """SELECT moment, kiosk, seq, step FROM entry_place
    ORDER BY moment DESC, kiosk DESC, seq DESC LIMIT 1 OFFSET ?"""
_OUT_OF_REACH = "UPDATE entry_place SET step = -1 WHERE (moment, kiosk, seq) < (?, ?, ?) AND step >= 0"
_APART = """INSERT INTO hub_apart (kiosk, seq, id, at, kind, person_id, body, previous_hash, hash, reason, noted_at)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING"""


class Why(StrEnum):
    """Why entries are not taken in."""

    FORKED = "forked"
    CHANGED = "changed"
    DOUBLED = "doubled"
    RESTS_ON_ANOTHER = "rests on another"
    UNREADABLE = "unreadable"
    NEWER = "newer"
    WAITS = "waits"


# With these the entry is kept apart; with the others it may yet be taken in.
KEPT_APART = frozenset({Why.FORKED, Why.CHANGED, Why.DOUBLED, Why.RESTS_ON_ANOTHER, Why.UNREADABLE})


@dataclass(frozen=True)
class Stop:
    """That a kiosk's entries are not taken in from one on. `sentence`: what is so, for the supervisor."""

    kiosk: int
    seq: int
    why: Why
    sentence: str


def take_in(connection: sqlite3.Connection, rows: Sequence[Row], now: datetime) -> tuple[int, dict[int, Stop]]:
    """Take entries of other kiosks into the journal, in the transaction that the caller opened.

    Args:
        rows: Each kiosk's in the order of their sequence; those that are here already are passed over.

    Returns:
        How many were taken in, and {kiosk: why the rest was not}.
    """
    if not undo.is_recording(connection):
        yard_order.begin(connection)
    queues: dict[int, list[Row]] = {}
    for row in rows:
        queues.setdefault(row[_KIOSK], []).append(row)
    stops: dict[int, Stop] = {}
    taken, went_on = 0, True
    while went_on:  # until nobody's next entry can be taken in: one kiosk's may rest on another's
        went_on = False
        for kiosk, queue in queues.items():
            count, stop = _take_in_of(connection, kiosk, queue)
            del queue[:count]
            taken, went_on = taken + count, went_on or count > 0
            stops.pop(kiosk, None)
            if stop is not None:
                stops[kiosk] = stop
    for kiosk, stop in stops.items():
        if stop.why in KEPT_APART:
            connection.execute(_APART, (*queues[kiosk][0], stop.sentence, utc_text(now)))
    return taken, stops


def work_all_in(connection: sqlite3.Connection, give_way: Callable[[], None] = lambda: None) -> int:
    """Work what was taken in into the tables, in the transaction that the caller opened; return how many.

    Args:
        give_way: Called between entries; may raise to have the transaction given up for somebody's save.
    """
    first = connection.execute(_FIRST_OPEN).fetchone()
    if first is None:
        return 0
    behind = connection.execute(_FIRST_BEHIND, first).fetchone()
    if (behind is not None and behind[0] == yard_order.NOT_UNDOABLE) or _is_most_open(connection):
        return rebuild(connection, lambda done, total: give_way())
    if behind is not None:
        undo.back_to(connection, behind[0])
        connection.execute(_TAKE_BACK, first)
    return _work_in(connection, connection.execute(_OPEN).fetchall(), give_way)


def _is_most_open(connection: sqlite3.Connection) -> bool:
    """Whether so much is to be worked in that making the tables anew is the shorter way, as when somebody joins."""
    many = connection.execute("SELECT count(*) FROM entry_place WHERE step IS NULL").fetchone()[0]
    return bool(many > UNDOABLE and many > connection.execute(_LAST_ARRIVAL).fetchone()[0] // 2)


def is_all_worked_in(connection: sqlite3.Connection) -> bool:
    """Whether the tables hold everything that was taken in."""
    return connection.execute(_FIRST_OPEN).fetchone() is None


def write_note(connection: sqlite3.Connection, key: str, value: str) -> None:
    """Keep a word about the exchange."""
    connection.execute("INSERT OR REPLACE INTO hub_note (key, value) VALUES (?, ?)", (key, value))


def forget_apart(connection: sqlite3.Connection) -> None:
    """Forget what was kept apart here, and the last trouble; at the hub it stays."""
    connection.execute("DELETE FROM hub_apart")
    connection.execute("DELETE FROM hub_note WHERE key = 'trouble'")


def forget_old_steps(connection: sqlite3.Connection, keep: int = MOST_UNDOABLE) -> None:
    """Forget how to take back what is older than the newest entries."""
    found = connection.execute(_OLDEST_KEPT, (keep,)).fetchone()
    if found is not None and found[3] is not None and found[3] > 0:
        connection.execute(_OUT_OF_REACH, found[:3])
        undo.forget_until(connection, found[3])


def _work_in(connection: sqlite3.Connection, rows: Iterable[Row], give_way: Callable[[], None]) -> int:
    count = 0
    for row in rows:
        give_way()
        work_in(connection, entry_of_row(row), row[0], row[5], undo.last_step(connection))
        count += 1
    yard_order.note_heads(connection)
    return count


def _take_in_of(connection: sqlite3.Connection, kiosk: int, queue: Sequence[Row]) -> tuple[int, Stop | None]:
    """Take in what can be of one kiosk's entries; return how many rows were used up, and what stopped it."""
    seq, own_hash = head(connection, kiosk)
    before = yard_order.moment_at(connection, kiosk, seq)
    arrival: int = connection.execute(_LAST_ARRIVAL).fetchone()[0]
    for number, row in enumerate(queue):
        if row[_SEQ] <= seq:
            if _hash_at(connection, kiosk, row[_SEQ]) != row[_HASH]:
                return number, _forked(row)
            continue
        stop = _why_not(connection, row, seq, own_hash)
        if stop is not None:
            return number, stop
        arrival, seq, own_hash = arrival + 1, row[_SEQ], row[_HASH]
        connection.execute(_INSERT, (arrival, *row))
        seen = {other: yard_order.moment_at(connection, other, last) or 0
                for other, last in yard_order.seen_in(row[_KIND], row[_BODY]).items()}
        before = yard_order.moment_of(row[_AT], before, seen)
        yard_order.put_in_place(connection, arrival, before, kiosk, seq, None)
    return len(queue), None


def _why_not(connection: sqlite3.Connection, row: Row, seq: int, own_hash: str) -> Stop | None:
    kiosk, number = row[_KIOSK], row[_SEQ]
    if number != seq + 1:
        return Stop(kiosk, seq + 1, Why.WAITS, f"Entry {seq + 1} of kiosk {kiosk} has not come yet.")
    if row[_PREVIOUS] != own_hash:
        return _forked(row)
    try:
        chain.demand_as_saved(row)
    except (StoreUnavailable, UnicodeError, TypeError):
        return Stop(kiosk, number, Why.CHANGED, f"Entry {number} of kiosk {kiosk} was changed on its way.")
    if connection.execute("SELECT 1 FROM journal WHERE id = ?", (row[_ID],)).fetchone():
        return Stop(kiosk, number, Why.DOUBLED,
                    f"Entry {number} of kiosk {kiosk} bears the id of an entry that is here already.")
    return _why_not_readable(row) or _why_not_yet(connection, row)


def _forked(row: Row) -> Stop:
    kiosk, number = row[_KIOSK], row[_SEQ]
    return Stop(kiosk, number, Why.FORKED,
                f"The records of kiosk {kiosk} part at entry {number}: two computers wrote under this number, or one "
                "went back to an old copy. What does not follow is kept apart.")


def _why_not_readable(row: Row) -> Stop | None:
    kiosk, number, kind = row[_KIOSK], row[_SEQ], row[_KIND]
    if not codec.is_known(kind):
        return Stop(kiosk, number, Why.NEWER, f"Entry {number} of kiosk {kiosk} is of a kind ('{kind[:40]}') that this "
                                              "program does not know. Update the program; until then it waits.")
    if not _is_readable(row):
        return Stop(kiosk, number, Why.UNREADABLE, f"Entry {number} of kiosk {kiosk} is not what its kind says.")
    return None


def _is_readable(row: Row) -> bool:
    """Whether an entry is one that the journal could have made: whoever sends it, nothing else gets in."""
    try:
        payload = codec.decode(row[_KIND], row[_BODY])
        others = payload.heads if isinstance(payload, HeadsSeen) else {}
        return (utc_text(from_utc_text(row[_AT])) == row[_AT] and 0 < len(row[_ID]) <= MAX_ID_LENGTH
                and len(row[_BODY]) <= LONGEST_BODY and row[_KIOSK] in KIOSKS
                and all(other in _KIOSK_NAMES and int(other) != row[_KIOSK] for other in others))
    except (RecordError, ValueError):
        return False


def _why_not_yet(connection: sqlite3.Connection, row: Row) -> Stop | None:
    """Refuse an entry until what its kiosk had seen is here, and for good if it had seen something else."""
    if row[_KIND] != yard_order.HEADS_SEEN:
        return None
    kiosk, number = row[_KIOSK], row[_SEQ]
    payload = codec.decode(row[_KIND], row[_BODY])
    assert isinstance(payload, HeadsSeen)
    for other, seen in payload.heads.items():
        found = _hash_at(connection, int(other), seen.seq)
        if found is None:
            return Stop(kiosk, number, Why.WAITS, f"Entries of kiosk {kiosk} wait for entry {seen.seq} of kiosk "
                                                  f"{other}, which they rest on.")
        if not found.startswith(seen.digits):
            return Stop(kiosk, number, Why.RESTS_ON_ANOTHER,
                        f"Kiosk {kiosk} had seen another entry {seen.seq} of kiosk {other} than the one that is here: "
                        f"the records of kiosk {other} were parted. What rests on them is kept apart.")
    return None


def _hash_at(connection: sqlite3.Connection, kiosk: int, seq: int) -> str | None:
    found = connection.execute(_HASH_AT, (kiosk, seq)).fetchone()
    return None if found is None else str(found[0])
