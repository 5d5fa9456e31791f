"""Migration 8: who has what in hand on a unit, and rounds with their jobs.

Frozen: a later change of the tables is a migration of its own.
"""

from __future__ import annotations

NUMBER = 8
TITLE = "work in hand, and rounds"
REBUILD = False

WORK = """
CREATE TABLE work (
    id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id), kind TEXT NOT NULL, what TEXT NOT NULL,
    unit_id TEXT REFERENCES unit (id), component_id TEXT NOT NULL, job TEXT NOT NULL, shift TEXT NOT NULL,
    opened_at TEXT NOT NULL, opened_by TEXT NOT NULL REFERENCES person (id), closed_at TEXT, closed_by TEXT,
    closed_reason TEXT NOT NULL
) STRICT;
CREATE INDEX work_in_hand ON work (unit_id) WHERE closed_at IS NULL;
CREATE INDEX work_by_kind ON work (kind, opened_at);

CREATE TABLE work_hand (
    work_id TEXT NOT NULL REFERENCES work (id), event_id TEXT NOT NULL REFERENCES journal (id),
    person_id TEXT NOT NULL REFERENCES person (id), since TEXT NOT NULL, until TEXT, from_person_id TEXT, how TEXT,
    reason TEXT NOT NULL, PRIMARY KEY (work_id, event_id, person_id)
) STRICT;
"""

ROUNDS = """
CREATE TABLE round_job (
    round_id TEXT NOT NULL REFERENCES work (id), place INTEGER NOT NULL,
    unit_id TEXT NOT NULL REFERENCES unit (id), position_id TEXT NOT NULL REFERENCES position (id),
    component_id TEXT NOT NULL REFERENCES component (id), job TEXT NOT NULL, state TEXT NOT NULL, record_id TEXT,
    reason TEXT NOT NULL, person_id TEXT, at TEXT, PRIMARY KEY (round_id, place)
) STRICT;
CREATE INDEX round_job_of_part ON round_job (component_id, job);
"""

SQL = (WORK, ROUNDS)
