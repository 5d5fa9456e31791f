"""One entry worked into the tables in the yard's order; what does not fit beside others' entries is set aside."""

from __future__ import annotations

import sqlite3

from kiosk.errors import KioskError
from kiosk.events import JournalEntry
from kiosk.records.projections import conflicts, project

_DONE = "UPDATE entry_place SET step = ? WHERE arrival = ?"


def work_in(connection: sqlite3.Connection, entry: JournalEntry, arrival: int, kind: str, step: int) -> None:
    """Bring an entry into the tables, or set it aside whole.

    Args:
        arrival: Where the entry stands in this journal. `kind`: as the journal keeps it.
        step: How far the undo log is now, or NOT_UNDOABLE.
    """
    connection.execute("SAVEPOINT one_entry")
    try:
        project(entry.event.payload, entry, connection)
    except (sqlite3.IntegrityError, TypeError, LookupError, KioskError):
        # A projector decides nothing, so it fails on what the rules would have refused, had they known of it.
        connection.execute("ROLLBACK TO one_entry")
        conflicts.set_aside(connection, entry, kind)
    connection.execute("RELEASE one_entry")
    connection.execute(_DONE, (step, arrival))
