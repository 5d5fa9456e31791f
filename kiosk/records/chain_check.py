"""One entry held against the chain: its own hash, the entry before it and the one after it, without a walk."""

from __future__ import annotations

import sqlite3

from kiosk.entities import ChainCheck
from kiosk.errors import NotFound, StoreUnavailable
from kiosk.records import chain

_ENTRY = "SELECT kiosk, seq, id, at, kind, person_id, body, previous_hash, hash FROM journal WHERE id = ?"
_HASHES = "SELECT previous_hash, hash FROM journal WHERE kiosk = ? AND seq = ?"


def chain_check(connection: sqlite3.Connection, event_id: str) -> ChainCheck:
    """Return where an entry stands and whether it fits its neighbours.

    Raises:
        NotFound: there is no such entry.
    """
    row = connection.execute(_ENTRY, (event_id,)).fetchone()
    if row is None:
        raise NotFound(f"The journal has no entry '{event_id}'.")
    kiosk, seq, previous_hash, own_hash = row[0], row[1], row[7], row[8]
    return ChainCheck(kiosk, seq, own_hash, previous_hash, _trouble(connection, row))


def _trouble(connection: sqlite3.Connection, row: tuple[object, ...]) -> str:
    kiosk, seq, previous_hash, own_hash = int(str(row[0])), int(str(row[1])), row[7], row[8]
    try:
        chain.demand_as_saved(row)
    except StoreUnavailable as error:
        return error.operator_message
    before = connection.execute(_HASHES, (kiosk, seq - 1)).fetchone()
    after = connection.execute(_HASHES, (kiosk, seq + 1)).fetchone()
    if (chain.GENESIS if seq == 1 else before and before[1]) != previous_hash:
        return f"The entry before it, {seq - 1} of kiosk {kiosk}, is not the one it was chained to. Verify the journal."
    if after is not None and after[0] != own_hash:
        return f"The entry after it, {seq + 1} of kiosk {kiosk}, is not chained to it. Verify the journal."
    return ""
