"""What the exchange with the hub asks of the records, and what two kiosks entered against each other."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from kiosk.entities import Conflict, ConflictKind
from kiosk.records.instants import from_utc_text
from kiosk.records.queries.base import Queries
from kiosk.records.verify import Head

_HEADS = """SELECT kiosk, seq, hash FROM journal WHERE (kiosk, seq) IN
    (SELECT number, (SELECT max(seq) FROM journal WHERE kiosk = number) FROM
     (WITH RECURSIVE each (number) AS (SELECT min(kiosk) FROM journal UNION
      SELECT (SELECT min(kiosk) FROM journal WHERE kiosk > number) FROM each WHERE number IS NOT NULL)
      SELECT number FROM each WHERE number IS NOT NULL))"""
_HEAD = "SELECT seq, hash FROM journal WHERE kiosk = ? ORDER BY seq DESC LIMIT 1"
_HASH_AT = "SELECT hash FROM journal WHERE kiosk = ? AND seq = ?"
_OWN = """SELECT kiosk, seq, id, at, kind, person_id, body, previous_hash, hash FROM journal
    WHERE kiosk = ? AND seq > ? ORDER BY seq LIMIT ?"""
_APART = "SELECT kiosk, min(seq), reason, count(*) FROM hub_apart GROUP BY kiosk ORDER BY kiosk"
_CONFLICTS = """SELECT conflict.id, conflict.kind, conflict.text, conflict.at, conflict.event_id, conflict.other_id,
    conflict.unit_id, conflict.finding_id FROM conflict LEFT JOIN finding ON finding.id = conflict.finding_id
    WHERE conflict.settled_at IS NULL AND (conflict.finding_id IS NULL OR finding.closed_at IS NULL)
    ORDER BY conflict.at, conflict.id"""


class HubQueries(Queries):
    """Questions about several kiosks' entries."""

    def heads(self) -> Mapping[int, Head]:
        """Return the last entry of each kiosk that has any here."""
        return {kiosk: Head(seq, own_hash) for kiosk, seq, own_hash in self._store.sql(_HEADS)}

    def own_head(self) -> Head | None:
        """Return this kiosk's last entry, None while it has none."""
        found = self._store.sql(_HEAD, (self._kiosk,))
        return Head(*found[0]) if found else None

    def hash_at(self, kiosk: int, seq: int) -> str | None:
        """Return the hash of one entry, None if it is not here."""
        found = self._store.sql(_HASH_AT, (kiosk, seq))
        return str(found[0][0]) if found else None

    def own_rows(self, after: int, limit: int) -> list[Any]:
        """Return this kiosk's own entries after one, as they are sent."""
        return self._store.sql(_OWN, (self._kiosk, after, limit))

    def kept_apart(self) -> Mapping[int, tuple[int, str]]:
        """Return {kiosk: (first entry that is kept apart, why)}."""
        return {kiosk: (seq, reason) for kiosk, seq, reason, _ in self._store.sql(_APART)}

    def hub_note(self, key: str) -> str:
        """Return a word about the exchange, '' if there is none."""
        found = self._store.sql("SELECT value FROM hub_note WHERE key = ?", (key,))
        return str(found[0][0]) if found else ""

    def hub_contact(self) -> tuple[datetime | None, int]:
        """Return when everything was last exchanged, and which of our entries was the hub's last then."""
        at, seq = self.hub_note("contact"), self.hub_note("seq")
        return from_utc_text(at) if at else None, int(seq or 0)

    def open_conflicts(self) -> tuple[Conflict, ...]:
        """Return what two kiosks entered against each other and nobody settled yet, oldest first."""
        return tuple(Conflict(conflict_id, ConflictKind(kind), text, from_utc_text(at), *others)
                     for conflict_id, kind, text, at, *others in self._store.sql(_CONFLICTS))
