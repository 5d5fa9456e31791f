"""Migration 1: the journal with its guards, and the first tables that are made from it.

Frozen: a later change of the tables is a migration of its own. Times are UTC text of fixed width, hours are
hour-meter hours, lists and properties are JSON. Tables that are always read by their key are WITHOUT ROWID.
"""

from __future__ import annotations

NUMBER = 1
TITLE = "journal and tables"
# Whether the tables must be made again from the journal after this migration.
REBUILD = False

JOURNAL = """
CREATE TABLE journal (
    arrival INTEGER PRIMARY KEY,
    kiosk INTEGER NOT NULL CHECK (kiosk BETWEEN 0 AND 99),
    seq INTEGER NOT NULL CHECK (seq > 0),
    id TEXT NOT NULL UNIQUE CHECK (length(id) BETWEEN 1 AND 64),
    at TEXT NOT NULL CHECK (length(at) = 27),
    kind TEXT NOT NULL,
    person_id TEXT,
    body TEXT NOT NULL,
    previous_hash TEXT NOT NULL CHECK (length(previous_hash) = 64),
    hash TEXT NOT NULL CHECK (length(hash) = 64),
    UNIQUE (kiosk, seq)
) STRICT;

CREATE TRIGGER journal_is_never_changed BEFORE UPDATE ON journal BEGIN
    SELECT RAISE(ABORT, 'the journal is never changed');
END;

CREATE TRIGGER journal_is_never_shortened BEFORE DELETE ON journal BEGIN
    SELECT RAISE(ABORT, 'nothing is removed from the journal');
END;

CREATE TRIGGER journal_has_no_gap BEFORE INSERT ON journal
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM journal WHERE kiosk = NEW.kiosk)
    OR NEW.arrival IS NOT (SELECT coalesce(max(arrival), 0) + 1 FROM journal)
    OR EXISTS (SELECT 1 FROM journal WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a journal entry follows the last one, once');
END;
"""

YARD = """
CREATE TABLE yard (id INTEGER PRIMARY KEY CHECK (id = 1), name TEXT NOT NULL) STRICT;

CREATE TABLE person (
    id TEXT PRIMARY KEY NOT NULL, name TEXT NOT NULL, role TEXT NOT NULL, badge TEXT NOT NULL,
    units TEXT NOT NULL, language TEXT NOT NULL
) STRICT;

CREATE TABLE unit (
    id TEXT PRIMARY KEY NOT NULL, name TEXT NOT NULL, design TEXT NOT NULL, label TEXT NOT NULL,
    description TEXT NOT NULL
) STRICT;

CREATE TABLE assembly (
    id TEXT PRIMARY KEY NOT NULL, unit_id TEXT NOT NULL REFERENCES unit (id), name TEXT NOT NULL,
    design TEXT NOT NULL
) STRICT;
CREATE INDEX assembly_of_unit ON assembly (unit_id);

CREATE TABLE position (
    id TEXT PRIMARY KEY NOT NULL, unit_id TEXT NOT NULL REFERENCES unit (id),
    assembly_id TEXT NOT NULL REFERENCES assembly (id), name TEXT NOT NULL, sheet TEXT NOT NULL,
    side TEXT NOT NULL, x REAL NOT NULL, y REAL NOT NULL, walk_order INTEGER NOT NULL
) STRICT;
CREATE INDEX position_of_unit ON position (unit_id, walk_order);

CREATE TABLE sheet_text (
    sheet TEXT NOT NULL, revision INTEGER NOT NULL, text TEXT NOT NULL, adopted_at TEXT NOT NULL,
    PRIMARY KEY (sheet, revision)
) STRICT;
"""

PARTS = """
CREATE TABLE label (
    number TEXT PRIMARY KEY NOT NULL, kind TEXT NOT NULL, subject_id TEXT, kiosk INTEGER NOT NULL,
    serial INTEGER NOT NULL, issued_at TEXT NOT NULL, retired_at TEXT, retired_reason TEXT NOT NULL
) STRICT;
CREATE INDEX label_by_serial ON label (kiosk, serial);

CREATE TABLE component (
    id TEXT PRIMARY KEY NOT NULL, sheet TEXT NOT NULL, position_id TEXT NOT NULL REFERENCES position (id),
    unit_id TEXT NOT NULL REFERENCES unit (id), description TEXT NOT NULL, label TEXT NOT NULL,
    installed_at TEXT NOT NULL, installed_hours REAL NOT NULL, retired_at TEXT, retired_hours REAL,
    retired_reason TEXT NOT NULL, replaced_by TEXT, properties TEXT NOT NULL, first_properties TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX one_part_at_a_position ON component (position_id) WHERE retired_at IS NULL;
CREATE INDEX parts_of_a_position ON component (position_id, installed_at);
CREATE INDEX parts_of_a_unit ON component (unit_id) WHERE retired_at IS NULL;

CREATE TABLE property_change (
    record_id TEXT PRIMARY KEY NOT NULL, component_id TEXT NOT NULL REFERENCES component (id), at TEXT NOT NULL,
    changes TEXT NOT NULL
) STRICT;
CREATE INDEX property_changes_of_a_part ON property_change (component_id, at);
"""

WORK = """
CREATE TABLE record (
    id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id),
    component_id TEXT NOT NULL REFERENCES component (id), position_id TEXT NOT NULL REFERENCES position (id),
    unit_id TEXT NOT NULL REFERENCES unit (id), job TEXT NOT NULL, at TEXT NOT NULL, hours REAL NOT NULL,
    person_id TEXT NOT NULL REFERENCES person (id), verdict TEXT, strokes INTEGER, corrected_by TEXT,
    body TEXT NOT NULL
) STRICT;
CREATE INDEX record_of_component ON record
    (component_id, at, id, job, verdict, person_id, hours, strokes, corrected_by);
CREATE INDEX record_of_position ON record
    (position_id, at, id, job, verdict, person_id, hours, strokes, corrected_by);

CREATE TABLE reading (
    component_id TEXT NOT NULL, quantity TEXT NOT NULL, at TEXT NOT NULL, record_id TEXT NOT NULL,
    place INTEGER NOT NULL, side TEXT NOT NULL, phase TEXT NOT NULL, hours REAL NOT NULL, value REAL NOT NULL,
    PRIMARY KEY (component_id, quantity, at, record_id, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE hour_reading (
    unit_id TEXT NOT NULL REFERENCES unit (id), at TEXT NOT NULL, source_id TEXT NOT NULL, hours REAL NOT NULL,
    person_id TEXT,
    PRIMARY KEY (unit_id, at, source_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE last_done (
    component_id TEXT NOT NULL, job TEXT NOT NULL, at TEXT NOT NULL, record_id TEXT NOT NULL, hours REAL NOT NULL,
    person_id TEXT NOT NULL,
    PRIMARY KEY (component_id, job)
) STRICT, WITHOUT ROWID;

CREATE TABLE correction (
    record_id TEXT PRIMARY KEY NOT NULL REFERENCES record (id), event_id TEXT NOT NULL REFERENCES journal (id),
    at TEXT NOT NULL, person_id TEXT, reason TEXT NOT NULL, replacement_id TEXT REFERENCES record (id)
) STRICT;
"""

FINDINGS = """
CREATE TABLE finding (
    id TEXT PRIMARY KEY NOT NULL, unit_id TEXT NOT NULL REFERENCES unit (id),
    position_id TEXT NOT NULL REFERENCES position (id), component_id TEXT NOT NULL REFERENCES component (id),
    text TEXT NOT NULL, opened_at TEXT NOT NULL, opened_by TEXT NOT NULL, record_id TEXT, closed_at TEXT,
    closed_by TEXT, closed_reason TEXT NOT NULL, closing_record_id TEXT
) STRICT;
CREATE INDEX open_finding_of_unit ON finding (unit_id, opened_at) WHERE closed_at IS NULL;
CREATE INDEX finding_of_component ON finding (component_id, opened_at);

CREATE TABLE caution_confirmed (
    unit_id TEXT NOT NULL REFERENCES unit (id), shift TEXT NOT NULL, person_id TEXT NOT NULL, caution TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (unit_id, shift, person_id, caution)
) STRICT, WITHOUT ROWID;
"""

SQL = (JOURNAL, YARD, PARTS, WORK, FINDINGS)
