"""Migration 3: a record's text is kept once, in the journal; histories of a unit and of a person; units held; severity.

`record` had the whole record a second time. Now it says where in the journal the record stands (`arrival`), and the
indexes that pages are read from lead straight to it. Frozen: a later change of the tables is a migration of its own.
"""

from __future__ import annotations

NUMBER = 3
TITLE = "records kept once, histories of units and people, units held"
REBUILD = False

RECORDS = """
DROP INDEX record_of_component;
DROP INDEX record_of_position;
ALTER TABLE record DROP COLUMN body;
ALTER TABLE record ADD COLUMN job_type TEXT NOT NULL DEFAULT '';
ALTER TABLE record ADD COLUMN arrival INTEGER NOT NULL DEFAULT 0;
UPDATE record SET (arrival, job_type) = (
    SELECT journal.arrival, coalesce(json_extract(journal.body, '$.record.job_type'),
                                     json_extract(journal.body, '$.replacement.job_type'))
    FROM journal WHERE journal.id = record.id);
"""

INDEXES = """
CREATE INDEX record_of_component ON record
    (component_id, at, id, job, verdict, person_id, hours, strokes, corrected_by, arrival);
CREATE INDEX record_of_position ON record
    (position_id, at, id, job, verdict, person_id, hours, strokes, corrected_by, arrival);
CREATE INDEX record_of_unit ON record (unit_id, at, id, job, verdict, person_id, hours, arrival);
CREATE INDEX correction_by_event ON correction (event_id);
CREATE INDEX record_of_person ON record (person_id, at, id, job, verdict, hours, arrival);
"""

HOLDS = """
CREATE TABLE unit_hold (
    id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id), unit_id TEXT NOT NULL REFERENCES unit (id),
    reason TEXT NOT NULL, held_at TEXT NOT NULL, held_by TEXT NOT NULL REFERENCES person (id), released_at TEXT,
    released_by TEXT, released_reason TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX one_hold_of_a_unit ON unit_hold (unit_id) WHERE released_at IS NULL;
CREATE INDEX holds_of_a_unit ON unit_hold (unit_id, held_at);

ALTER TABLE finding ADD COLUMN severity TEXT NOT NULL DEFAULT '';
"""

SQL = (RECORDS, INDEXES, HOLDS)
