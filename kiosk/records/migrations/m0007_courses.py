"""Migration 7: guided work with its steps, and jobs put on the due list once.

Frozen: a later change of the tables is a migration of its own. No earlier journal entry fills these tables.
"""

from __future__ import annotations

NUMBER = 7
TITLE = "guided work and scheduled jobs"
REBUILD = False

COURSES = """
CREATE TABLE course (
    id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id), kind TEXT NOT NULL,
    unit_id TEXT NOT NULL REFERENCES unit (id), position_id TEXT NOT NULL REFERENCES position (id),
    component_id TEXT NOT NULL REFERENCES component (id), job TEXT NOT NULL, sheet TEXT NOT NULL,
    sheet_revision INTEGER NOT NULL, begun_at TEXT NOT NULL, begun_by TEXT NOT NULL REFERENCES person (id),
    ended_at TEXT, outcome TEXT, reason TEXT NOT NULL, record_id TEXT
) STRICT;
CREATE UNIQUE INDEX one_open_course ON course (position_id, job) WHERE ended_at IS NULL;
CREATE INDEX open_courses ON course (unit_id, begun_at) WHERE ended_at IS NULL;

CREATE TABLE course_step (
    id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id), course_id TEXT NOT NULL REFERENCES course (id),
    at TEXT NOT NULL
) STRICT;
CREATE INDEX steps_of_a_course ON course_step (course_id, at, id);
"""

SCHEDULED = """
CREATE TABLE scheduled_job (
    id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id), unit_id TEXT NOT NULL REFERENCES unit (id),
    component_id TEXT NOT NULL REFERENCES component (id), job TEXT NOT NULL, reason TEXT NOT NULL, at TEXT NOT NULL,
    hours REAL NOT NULL, after_hours REAL, after_days INTEGER
) STRICT;
CREATE INDEX scheduled_on_a_unit ON scheduled_job (unit_id, at);
"""

SQL = (COURSES, SCHEDULED)
