"""Units held out of service, and let go again."""

from __future__ import annotations

import sqlite3

from kiosk.events import JournalEntry, UnitHeld, UnitReleased
from kiosk.records.instants import utc_text
from kiosk.records.models import UnitHoldRow, insert_statement
from kiosk.records.projections import conflicts
from kiosk.records.projections.registry import project

_HOLD = insert_statement(UnitHoldRow)
# The journal refuses to hold a unit twice; two kiosks that did not know of each other can.
_HELD_AGAIN = """UPDATE unit_hold SET released_at = ?, released_by = ?, released_reason = ?
    WHERE unit_id = ? AND released_at IS NULL"""
_OPEN = """SELECT journal.kiosk, journal.seq FROM unit_hold JOIN journal ON journal.id = unit_hold.id
    WHERE unit_hold.unit_id = ? AND unit_hold.released_at IS NULL"""
_RELEASE = """UPDATE unit_hold SET released_at = ?, released_by = ?, released_reason = ?
    WHERE unit_id = ? AND released_at IS NULL"""


@project.register
def _(payload: UnitHeld, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(_HELD_AGAIN, (utc_text(event.at), event.person_id, f"held again at kiosk {entry.kiosk}",
                                     payload.unit_id))
    connection.execute(
        _HOLD, (event.id, payload.unit_id, payload.reason, utc_text(event.at), event.person_id, None, None, ""))


@project.register
def _(payload: UnitReleased, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    hold = connection.execute(_OPEN, (payload.unit_id,)).fetchone()
    if hold is None or not conflicts.had_come(connection, entry, *hold):
        return  # who lets a unit go must have known why it is held
    connection.execute(_RELEASE, (utc_text(event.at), event.person_id, payload.reason, payload.unit_id))
