"""Label numbers: issued once, bound to what they label, retired."""

from __future__ import annotations

import sqlite3
from datetime import datetime

from kiosk.events import JournalEntry, LabelIssued, LabelRetired
from kiosk.records.instants import utc_text
from kiosk.records.models import LabelRow, insert_statement
from kiosk.records.projections.registry import project

_LABEL = insert_statement(LabelRow)
_BIND = "UPDATE label SET subject_id = ? WHERE number = ? AND subject_id IS NULL"
_RETIRE = "UPDATE label SET retired_at = ?, retired_reason = ? WHERE number = ? AND retired_at IS NULL"


@project.register
def _(payload: LabelIssued, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    label = payload.label
    retired_at = None if label.retired_at is None else utc_text(label.retired_at)
    connection.execute(
        _LABEL, (label.number, label.kind, label.subject_id, entry.kiosk, payload.serial, utc_text(label.issued_at),
                 retired_at, label.retired_reason))


@project.register
def _(payload: LabelRetired, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    retire(connection, payload.number, entry.event.at, payload.reason)


def bind_if_issued(connection: sqlite3.Connection, number: str, subject_id: str) -> None:
    """Bind a label number that was issued and belongs to nothing yet."""
    connection.execute(_BIND, (subject_id, number))


def retire(connection: sqlite3.Connection, number: str, at: datetime, reason: str) -> None:
    """Retire a label that is still good."""
    connection.execute(_RETIRE, (utc_text(at), reason, number))
