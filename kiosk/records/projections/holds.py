"""Units held out of service, and let go again."""

from __future__ import annotations

import sqlite3

from kiosk.events import JournalEntry, UnitHeld, UnitReleased
from kiosk.records.instants import utc_text
from kiosk.records.models import UnitHoldRow, insert_statement
from kiosk.records.projections.registry import project

_HOLD = insert_statement(UnitHoldRow)
_RELEASE = """UPDATE unit_hold SET released_at = ?, released_by = ?, released_reason = ?
    WHERE unit_id = ? AND released_at IS NULL"""


@project.register
def _(payload: UnitHeld, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(
        _HOLD, (event.id, payload.unit_id, payload.reason, utc_text(event.at), event.person_id, None, None, ""))


@project.register
def _(payload: UnitReleased, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(_RELEASE, (utc_text(event.at), event.person_id, payload.reason, payload.unit_id))
