"""Migration 4: an index that finds whether a person's PIN was ever set, without a walk through the journal.

Frozen: a later change of the tables is a migration of its own. PINs and their hashes are not in the records.
"""

from __future__ import annotations

NUMBER = 4
TITLE = "whether a PIN was set"
REBUILD = False

SQL = ("CREATE INDEX pins_set ON journal (json_extract(body, '$.person_id'), kiosk) WHERE kind = 'pin set';",)
