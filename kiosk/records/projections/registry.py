"""Finds the projector of a payload by its class."""

from __future__ import annotations

import sqlite3
from functools import singledispatch

from kiosk.events import (
    ClockDoubted,
    ClockTrusted,
    JournalEntry,
    PersonLocked,
    PersonUnlocked,
    PinSet,
    PinsPaused,
    RecordsRestored,
    SignedIn,
    SignedOut,
)


@singledispatch
def project(payload: object, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """Bring what an entry says into the tables, inside the transaction that the caller opened.

    Args:
        payload: The entry's payload; its class finds the projector.
        entry: Where it stands in the journal, when it happened and who did it.
        connection: The store's.
    """
    raise TypeError(f"no projector for {type(payload).__name__}")


@project.register
def _(payload: SignedIn, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps who came; no table needs it."""


@project.register
def _(payload: SignedOut, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps who left; no table needs it."""


@project.register
def _(payload: PinSet, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps that a PIN was set; an index finds it."""


@project.register
def _(payload: PersonLocked, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps it; the lock itself is kept with the PINs, outside the records."""


@project.register
def _(payload: PersonUnlocked, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps who let whom in; no table needs it."""


@project.register
def _(payload: PinsPaused, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps it; no table needs it."""


@project.register
def _(payload: ClockDoubted, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps it; an index finds the last one."""


@project.register
def _(payload: ClockTrusted, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps it; an index finds the last one."""


@project.register
def _(payload: RecordsRestored, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    """The journal keeps it; an index finds the serials that are not used any more."""
