"""Photos put to records and findings; the pictures themselves are files."""

from __future__ import annotations

import sqlite3

from kiosk.events import JournalEntry, PhotoAdded
from kiosk.records.instants import utc_text
from kiosk.records.models import PhotoRow, insert_statement
from kiosk.records.projections.registry import project

_PHOTO = insert_statement(PhotoRow)


@project.register
def _(payload: PhotoAdded, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    photo, event = payload.photo, entry.event
    connection.execute(_PHOTO, (event.id, payload.of, payload.subject_id, photo.sha256, photo.width_px,
                                photo.height_px, photo.size_bytes, utc_text(event.at), event.person_id))
