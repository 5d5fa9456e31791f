"""Migration 9: what is needed to bring other kiosks' entries into the tables in the order of the whole yard.

Frozen: a later change of the tables is a migration of its own. In a yard with one kiosk these tables stay empty, and
`undo_switch` says that nothing is recorded.
"""

from __future__ import annotations

NUMBER = 9
TITLE = "several kiosks in one yard"
REBUILD = False

# Made from the journal, the same at every kiosk.
PROJECTIONS = """
CREATE TABLE seen_head (
    by_kiosk INTEGER NOT NULL, of_kiosk INTEGER NOT NULL, seq INTEGER NOT NULL, told_seq INTEGER NOT NULL,
    before_seq INTEGER NOT NULL,
    PRIMARY KEY (by_kiosk, of_kiosk)
) STRICT, WITHOUT ROWID;

CREATE TABLE conflict (
    id TEXT PRIMARY KEY NOT NULL, kind TEXT NOT NULL, text TEXT NOT NULL, at TEXT NOT NULL,
    event_id TEXT NOT NULL REFERENCES journal (id), other_id TEXT REFERENCES journal (id), unit_id TEXT,
    subject TEXT NOT NULL, finding_id TEXT, settled_at TEXT, settled_by TEXT, settled_reason TEXT NOT NULL
) STRICT;
CREATE INDEX open_conflict ON conflict (kind, subject) WHERE settled_at IS NULL;
"""

# An entry's place in the yard's order; `step` is how far the undo log was before it was worked into the tables, NULL
# while it is not, -1 where that is not known any more. 24 values hold a row of any table.
PLACES = f"""
CREATE TABLE entry_place (
    arrival INTEGER PRIMARY KEY REFERENCES journal (arrival), moment INTEGER NOT NULL, kiosk INTEGER NOT NULL,
    seq INTEGER NOT NULL, step INTEGER
) STRICT;
CREATE UNIQUE INDEX places_in_order ON entry_place (moment, kiosk, seq);
CREATE INDEX places_to_be_worked_in ON entry_place (moment, kiosk, seq) WHERE step IS NULL;

CREATE TABLE undo_step (
    step INTEGER PRIMARY KEY, table_name TEXT NOT NULL, act TEXT NOT NULL,
    {", ".join(f"v{number} ANY" for number in range(24))}
) STRICT;

CREATE TABLE undo_switch (id INTEGER PRIMARY KEY CHECK (id = 1), recording INTEGER NOT NULL) STRICT;
INSERT INTO undo_switch VALUES (1, 0);

CREATE TABLE applied_head (
    kiosk INTEGER PRIMARY KEY, seq INTEGER NOT NULL, hash TEXT NOT NULL, moment INTEGER NOT NULL
) STRICT;
"""

# Entries that do not follow from what is here are kept apart, with the reason; notes are words about the exchange.
APART = """
CREATE TABLE hub_apart (
    kiosk INTEGER NOT NULL, seq INTEGER NOT NULL, hash TEXT NOT NULL, id TEXT NOT NULL, at TEXT NOT NULL,
    kind TEXT NOT NULL, person_id TEXT, body TEXT NOT NULL, previous_hash TEXT NOT NULL, reason TEXT NOT NULL,
    noted_at TEXT NOT NULL,
    PRIMARY KEY (kiosk, seq, hash)
) STRICT, WITHOUT ROWID;

CREATE TABLE hub_note (key TEXT PRIMARY KEY NOT NULL, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
"""

SQL = (PROJECTIONS, PLACES, APART)
