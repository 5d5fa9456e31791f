"""One kiosk's connection to the hub: what it asks and sends there, as plain values. No decision is made here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from kiosk.errors import HubUnavailable
from kiosk.language import tr
from kiosk.records.hub.address import HubAddress, refused
from kiosk.records.hub.setting_up import NEWEST
from kiosk.records.incoming import Row
from kiosk.records.verify import Head

if TYPE_CHECKING:
    import psycopg

OLDEST = 1  # the oldest hub that this program works with
_ENTRY = "kiosk, seq, id, at, kind, person_id, body, previous_hash, hash"
# In binary: texts need no quoting then, which took most of the time.
_TYPES = "%b::bigint[], %b::text[], %b::text[], %b::text[], %b::text[], %b::text[], %b::text[], %b::text[]"
_VERSION = "SELECT max(number), max(works_from) FROM hub.version"
_KIOSKS = """SELECT number, last_seq, head, joined_at, left_at, seen_at, waiting, chain, program, now()
    FROM hub.kiosk ORDER BY number"""
_FETCH = f"""SELECT e.* FROM unnest(%s::smallint[], %s::bigint[]) AS n (number, last)
    CROSS JOIN LATERAL (SELECT {_ENTRY} FROM hub.entry WHERE kiosk = n.number AND seq > n.last ORDER BY seq LIMIT %s)
    AS e ORDER BY e.kiosk, e.seq"""
_HASH_AT = "SELECT hash FROM hub.entry WHERE kiosk = %s AND seq = %s"


@dataclass(frozen=True)
class AtHub:
    """A kiosk as the hub knows it; `seen_ago_s`: since it was last there, by the hub's clock. [s]"""

    number: int
    head: Head
    joined_at: datetime | None
    left_at: datetime | None
    seen_at: datetime | None
    seen_ago_s: float | None
    waiting: int
    chain: str
    program: str


class HubLink:
    """An open connection.

    Args:
        address: Where the hub is. `box`: which computer this is.
    """

    def __init__(self, address: HubAddress, box: str) -> None:
        self._box = box
        self._connection: psycopg.Connection[Any] = address.connect("shaft-and-belt kiosk")
        try:
            self._demand_version()
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Close the connection; closing twice does no harm."""
        self._connection.close()

    def greet(self, program: str, take_over: bool = False) -> Head:
        """Say which computer this is; return the last entry that the hub has of this kiosk.

        Raises:
            HubUnavailable: another computer goes under this number.
        """
        with _refusals():
            row = self._connection.execute("SELECT last_seq, head FROM hub.greet(%s, %s, %s)",
                                           (self._box, program, take_over)).fetchone()
        assert row is not None
        return Head(int(row[0]), str(row[1]))

    def append(self, rows: Sequence[Row]) -> int:
        """Send own entries and return the number of the last one that the hub has now."""
        with _refusals():
            row = self._connection.execute(f"SELECT hub.append(%s, {_TYPES})", (self._box, *_columns(rows))).fetchone()
        assert row is not None
        return int(row[0])

    def set_apart(self, rows: Sequence[Row]) -> None:
        """Send own entries that do not follow, to be kept apart."""
        with _refusals():
            self._connection.execute(f"SELECT hub.set_apart(%s, {_TYPES})", (self._box, *_columns(rows)))

    def kiosks(self) -> dict[int, AtHub]:
        """Return {number: kiosk} of everybody who has an account."""
        with _refusals():
            rows = self._connection.execute(_KIOSKS).fetchall()
        return {row[0]: AtHub(row[0], Head(row[1], row[2]), row[3], row[4], row[5],
                              None if row[5] is None else max(0.0, (row[9] - row[5]).total_seconds()), row[6], row[7],
                              row[8]) for row in rows}

    def fetch(self, after: Mapping[int, int], limit: int) -> list[Row]:
        """Return the next entries of kiosks, at most `limit` of each, given {kiosk: last one here}."""
        with _refusals():
            return self._connection.execute(_FETCH, (list(after), list(after.values()), limit)).fetchall()

    def hash_at(self, kiosk: int, seq: int) -> str | None:
        """Return the hash of one entry, None if the hub has none of that number."""
        with _refusals():
            row = self._connection.execute(_HASH_AT, (kiosk, seq)).fetchone()
        return None if row is None else str(row[0])

    def apart(self) -> list[tuple[int, int, int, str]]:
        """Return (kiosk, first number, how many, computer) of what is kept apart at the hub."""
        with _refusals():
            return self._connection.execute(
                "SELECT kiosk, min(seq), count(*), box FROM hub.apart GROUP BY kiosk, box ORDER BY 1, 2").fetchall()

    def report(self, waiting: int, chain: str) -> None:
        """Tell the hub how many entries wait here and how the chains are."""
        with _refusals():
            self._connection.execute("SELECT hub.report(%s, %s)", (waiting, chain))

    def leave(self) -> None:
        """Take this kiosk's leave; its entries stay."""
        with _refusals():
            self._connection.execute("SELECT hub.leave()")

    def walk(self, kiosk: int) -> Iterator[Row]:
        """Yield every entry of a kiosk in its order."""
        last = 0
        while rows := self.fetch({kiosk: last}, 2000):
            yield from rows
            last = rows[-1][1]

    def _demand_version(self) -> None:
        with _refusals():
            row = self._connection.execute(_VERSION).fetchone()
        have, works_from = (0, 0) if row is None or row[0] is None else (int(row[0]), int(row[1]))
        if have < OLDEST:
            raise HubUnavailable(tr("The hub is older than this kiosk's program. Run 'kiosk hub init' there."),
                                 f"hub {have}, needs {OLDEST}", "older")
        if works_from > NEWEST:
            raise HubUnavailable(tr("The hub is newer than this kiosk's program. Update this kiosk; it works on alone "
                                    "until then."), f"hub {have}, works from {works_from}", "newer")


def _columns(rows: Sequence[Row]) -> list[list[Any]]:
    """Return entries as one list for each column, the kiosk's number left out."""
    return [list(column) for column in list(zip(*rows, strict=True))[1:]] if rows else [[]] * 8


@contextmanager
def _refusals() -> Iterator[None]:
    """Turn what the hub refuses into our errors."""
    import psycopg

    try:
        yield
    except psycopg.Error as error:
        code = error.sqlstate or ""
        if code in _CODES:
            kind, sentence = _CODES[code]
            raise HubUnavailable(tr(sentence), str(error).partition("\n")[0], kind) from error
        raise refused(error) from error


_CODES = {
    "HUB01": ("forked", "The hub has other entries under this kiosk's number. Nothing was sent."),
    "HUB02": ("gap", "Entries between those of the hub and those of this kiosk are missing. Nothing was sent."),
    "HUB04": ("another computer", "Another computer goes under this kiosk's number. Give each its own number in "
              "kiosk.toml; if this one took the other's place, run 'kiosk hub join --take-over'."),
    "HUB05": ("refused", "What was entered is never changed or removed."),
    "HUB06": ("account", "This account is no kiosk's."),
    "23514": ("refused", "The hub refused an entry that is not what its hash says. Run 'kiosk verify'."),
    "23505": ("refused", "The hub has an entry of another kiosk with the same id."),
    "42501": ("account", "This kiosk's account at the hub may not do that."),
}
