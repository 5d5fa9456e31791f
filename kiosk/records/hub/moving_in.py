"""Records that part from the hub's are made anew from the hub, and what stood only here is entered again behind it.

For a kiosk that went back to an old copy and wrote on, and for a copied disk that got a number of its own: both hold
entries that follow nothing at the hub. They are appended again, same ids, as this kiosk's next entries; what the rules
refuse now is told by name. The old file is kept aside whole, and the hub keeps apart what was handed in there.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from kiosk.errors import RecordError
from kiosk.records.backup import remove_with_logs, sync
from kiosk.records.head_note import forget_notes
from kiosk.records.hub.exchange import Exchange, Progress, last_in_common
from kiosk.records.hub.link import HubLink
from kiosk.records.incoming import Row
from kiosk.records.journal import entry_of_row
from kiosk.records.restore import keep_aside
from kiosk.records.yard_order import HEADS_SEEN
from kiosk.records.yard_records import YardRecords


@dataclass(frozen=True)
class MovedIn:
    """What was done.

    Args:
        carried: How many entries that stood only here were entered again. `refused`: why others were not, each.
        kept: Where the old records are kept.
    """

    carried: int
    refused: tuple[str, ...]
    kept: Path | None


def parted(records: YardRecords, link: HubLink) -> dict[int, int]:
    """Return {kiosk: last entry in common} of every kiosk whose chain here and at the hub part."""
    there, found = link.kiosks(), {}
    for kiosk, here in records.heads().items():
        if kiosk in there:
            both = min(here.seq, there[kiosk].head.seq)
            common = last_in_common(records, link, kiosk, both)
            if common < both:
                found[kiosk] = common
    return found


def move_in(path: Path, kiosk: int, exchange_of: Callable[[YardRecords], Exchange], progress: Progress | None = None
            ) -> MovedIn:
    """Make the records at `path` anew from the hub, with what stood only here behind it. Close them before.

    Args:
        kiosk: This kiosk's number now. `exchange_of`: makes the exchange of opened records.

    Raises:
        HubUnavailable, RecordError: nothing was changed.
    """
    fresh = path.with_name(f"{path.name}.joining")
    remove_with_logs(fresh)
    old = YardRecords.open(path, kiosk)
    new = YardRecords.open(fresh, kiosk)
    try:
        exchange = exchange_of(new)
        try:
            exchange.step(progress)
            rows = _only_here(old, new)
        finally:
            exchange.close()
        carried, refused = _enter_again(rows, new)
        old.close()
        new.close()
        with closing(sqlite3.connect(fresh)) as connection:  # one file again, without a log beside it
            connection.execute("PRAGMA journal_mode = DELETE")
        sync(fresh)
        kept = keep_aside(path)
        os.replace(fresh, path)
        forget_notes(fresh)
        sync(path.parent)
    finally:
        old.close()
        new.close()
        remove_with_logs(fresh)
        forget_notes(fresh)
    return MovedIn(carried, refused, kept)


def _only_here(old: YardRecords, new: YardRecords) -> list[Row]:
    """Return the entries whose events are not in the new records, in the order in which they came."""
    known = {event_id for (event_id,) in new._store.sql("SELECT id FROM journal")}
    rows = old._store.sql("SELECT * FROM journal ORDER BY arrival")
    return [row for row in rows if row[3] not in known and row[5] != HEADS_SEEN]


def _enter_again(rows: list[Row], new: YardRecords) -> tuple[int, tuple[str, ...]]:
    carried, refused = 0, []
    for row in rows:
        event = entry_of_row(row).event
        try:
            new.append(event)
            carried += 1
        except RecordError as error:
            refused.append(f"{event.at:%Y-%m-%d %H:%M} {row[5]}: {error.operator_message}")
    return carried, tuple(refused)
