"""Migration 6: photos of records and findings, and an index that finds the lives of a kind of part.

Frozen: a later change of the tables is a migration of its own. The pictures are files beside the database.
"""

from __future__ import annotations

NUMBER = 6
TITLE = "photos, lives by kind"
REBUILD = False

PHOTOS = """
CREATE TABLE photo (
    event_id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id), subject TEXT NOT NULL, subject_id TEXT NOT NULL,
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64), width_px INTEGER NOT NULL, height_px INTEGER NOT NULL,
    size_bytes INTEGER NOT NULL, at TEXT NOT NULL, person_id TEXT
) STRICT;
CREATE INDEX photos_of_a_subject ON photo (subject_id, subject, at);
CREATE INDEX photo_by_hash ON photo (sha256);
"""

LIVES = "CREATE INDEX parts_of_a_sheet ON component (sheet, installed_at, id);"

SQL = (PHOTOS, LIVES)
