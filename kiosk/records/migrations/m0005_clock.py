"""Migration 5: an index that finds the last time at which the clock was doubted or trusted again.

Frozen: a later change of the tables is a migration of its own.
"""

from __future__ import annotations

NUMBER = 5
TITLE = "when the clock was doubted"
REBUILD = False

SQL = ("CREATE INDEX clock_doubts ON journal (kiosk, seq) WHERE kind IN ('clock doubted', 'clock trusted');",)
