"""Migration 10: an index that finds when the records were put back from a backup.

Frozen: a later change of the tables is a migration of its own.
"""

from __future__ import annotations

NUMBER = 10
TITLE = "when the records were restored"
REBUILD = False

SQL = ("CREATE INDEX restored ON journal (kiosk, json_extract(body, '$.next_serial')) "
       "WHERE kind = 'records restored';",)
