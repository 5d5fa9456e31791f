"""Walks the hash chain of every kiosk and names the first entry that is not as it was appended."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Any

from kiosk.records import chain
from kiosk.records.migrations import m0001_journal_and_tables, statements
from kiosk.records.models import JournalRow, column_names
from kiosk.records.troubles import is_no_text

# {name: statement} of the triggers that guard the journal, as SQLite keeps them.
_GUARDS = {statement.split()[2]: statement.removesuffix(";")
           for statement in statements(m0001_journal_and_tables.JOURNAL) if statement.startswith("CREATE TRIGGER")}
_IN_ORDER = f"SELECT {', '.join(column_names(JournalRow))} FROM journal ORDER BY kiosk, seq"


@dataclass(frozen=True)
class Head:
    """The last entry of a kiosk's chain: written down elsewhere, it proves the chain up to there."""

    seq: int
    hash: str


@dataclass(frozen=True)
class BadEntry:
    """The first entry at which a chain breaks. `reason` is a plain sentence."""

    kiosk: int
    seq: int
    event_id: str
    reason: str


@dataclass(frozen=True)
class ChainReport:
    """What a walk over the journal found.

    Args:
        entries: How many entries were walked.
        heads: The last good entry of each kiosk.
        first_bad: Where the first chain broke, None if all are whole.
        guards_missing: The journal's triggers that are not as the kiosk made them, by name.
    """

    entries: int
    heads: dict[int, Head] = field(default_factory=dict)
    first_bad: BadEntry | None = None
    guards_missing: tuple[str, ...] = ()


def verify(connection: sqlite3.Connection, known_heads: Mapping[int, Head] | None = None) -> ChainReport:
    """Walk every chain from its first entry.

    Args:
        known_heads: Heads written down earlier, by kiosk; they show a tail that was cut off or a chain that was
            written anew as a whole.
    """
    known = dict(known_heads or {})
    try:
        report = _walk(connection, known)
    except sqlite3.OperationalError as error:
        if not is_no_text(error):
            raise
        with _any_text(connection):
            report = _walk(connection, known)
    return replace(report, guards_missing=_guards_missing(connection))


def _guards_missing(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Return which of the journal's guards are gone or say something else than they were made with."""
    there = dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall())
    return tuple(name for name, made_with in _GUARDS.items() if there.get(name) != made_with)


@contextmanager
def _any_text(connection: sqlite3.Connection) -> Iterator[None]:
    """Read a text with bytes that are no UTF-8 all the same: its hash will not be the one it had."""
    usual = connection.text_factory
    connection.text_factory = lambda raw: raw.decode(errors="replace")
    try:
        yield
    finally:
        connection.text_factory = usual


def _walk(connection: sqlite3.Connection, known: Mapping[int, Head]) -> ChainReport:
    heads: dict[int, Head] = {}
    walked = 0
    for row in connection.execute(_IN_ORDER):
        walked += 1
        bad = what_is_wrong(row, heads.get(row[1]), known.get(row[1]))
        if bad is not None:
            return ChainReport(walked, heads, bad)
        heads[row[1]] = Head(row[2], row[9])
    return ChainReport(walked, heads, _cut_off(heads, known))


def what_is_wrong(row: tuple[Any, ...], last: Head | None, known: Head | None) -> BadEntry | None:
    """Return why an entry does not stand as it should behind the last one, None if it does.

    Args:
        row: Of the journal, its arrival before it. `known`: a head written down elsewhere.
    """
    _, kiosk, seq, event_id, at, kind, person_id, body, previous_hash, own_hash = row
    last = last or Head(0, chain.GENESIS)
    envelope = chain.envelope(kiosk=kiosk, seq=seq, event_id=event_id, at=at, person_id=person_id, kind=kind,
                              body=body)
    if seq != last.seq + 1:
        return BadEntry(kiosk, last.seq + 1, event_id, f"Entry {last.seq + 1} is missing; {seq} comes next.")
    if previous_hash != last.hash:
        return BadEntry(kiosk, seq, event_id, f"Entry {seq} does not follow the entry before it.")
    if chain.link(last.hash, envelope) != own_hash:
        return BadEntry(kiosk, seq, event_id, f"Entry {seq} was changed after it was saved.")
    if known is not None and known.seq == seq and not own_hash.startswith(known.hash):
        return BadEntry(kiosk, seq, event_id, f"Entry {seq} is not the one that was written down.")
    return None


def _cut_off(heads: Mapping[int, Head], known: Mapping[int, Head]) -> BadEntry | None:
    for kiosk, head in sorted(known.items()):
        have = heads.get(kiosk, Head(0, chain.GENESIS))
        if have.seq < head.seq:
            return BadEntry(kiosk, have.seq + 1, "", f"Entries {have.seq + 1} to {head.seq} were cut off.")
    return None
