"""Migration 2: labels on their way through the printer, how well labels read, and labels found loose.

Frozen: a later change of the tables is a migration of its own. No earlier journal entry fills these tables.
"""

from __future__ import annotations

NUMBER = 2
TITLE = "label prints and sightings"
REBUILD = False

PRINTS = """
CREATE TABLE label_print (
    id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id), kiosk INTEGER NOT NULL, number TEXT NOT NULL,
    lines TEXT NOT NULL, copies INTEGER NOT NULL, reason TEXT NOT NULL, state TEXT NOT NULL, note TEXT NOT NULL,
    job INTEGER, queued_at TEXT NOT NULL, moved_at TEXT NOT NULL
) STRICT;
CREATE INDEX open_label_print ON label_print (kiosk, queued_at) WHERE state NOT IN ('read back', 'cancelled');
CREATE INDEX prints_of_a_label ON label_print (number, queued_at);
"""

SIGHTINGS = """
CREATE TABLE label_seen (
    number TEXT NOT NULL, at TEXT NOT NULL, event_id TEXT NOT NULL, source TEXT NOT NULL, how TEXT NOT NULL,
    tries INTEGER NOT NULL, took_ms REAL NOT NULL, grade REAL,
    PRIMARY KEY (number, at, event_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE label_found (
    event_id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id), number TEXT NOT NULL, at TEXT NOT NULL,
    place TEXT NOT NULL, person_id TEXT
) STRICT;
CREATE INDEX finds_of_a_label ON label_found (number, at);
CREATE INDEX parts_of_a_label ON component (label);
"""

SQL = (PRINTS, SIGHTINGS)
