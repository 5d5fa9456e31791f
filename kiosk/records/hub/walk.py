"""Walks every chain at the hub, entry by entry, and holds it against what is here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kiosk.records.chain import GENESIS
from kiosk.records.hub.link import HubLink
from kiosk.records.verify import BadEntry, Head, what_is_wrong


@dataclass(frozen=True)
class HubReport:
    """What a walk found.

    Args:
        entries: How many were walked. `heads`: {kiosk: last good entry}.
        bad: The first entry of each kiosk that is not as it should be.
        apart: (kiosk, first number, how many, computer) of what the hub keeps apart.
    """

    entries: int
    heads: dict[int, Head]
    bad: tuple[BadEntry, ...]
    apart: tuple[tuple[int, int, int, str], ...]


def walk_hub(link: HubLink, hash_here: Callable[[int, int], str | None]) -> HubReport:
    """Walk the hub's chains.

    Args:
        hash_here: Given kiosk and number, the hash of the entry here, None if it is not here.
    """
    entries, heads, bad = 0, {}, []
    for number, there in link.kiosks().items():
        head, count, wrong = _walk(link, number, hash_here)
        entries += count
        if wrong is None and head != there.head and there.head.seq:
            wrong = BadEntry(number, head.seq + 1, "", f"The hub's last entry is {there.head.seq}; the end is missing.")
        if head.seq:
            heads[number] = head
        if wrong is not None:
            bad.append(wrong)
    return HubReport(entries, heads, tuple(bad), tuple(link.apart()))


def _walk(link: HubLink, number: int, hash_here: Callable[[int, int], str | None]
          ) -> tuple[Head, int, BadEntry | None]:
    head, count = Head(0, GENESIS), 0
    for row in link.walk(number):
        count += 1
        wrong = what_is_wrong((0, *row), head, None)
        here = hash_here(number, row[1])
        if wrong is None and here is not None and here != row[8]:
            wrong = BadEntry(number, row[1], row[2], f"Entry {row[1]} is another than the one that is here.")
        if wrong is not None:
            return head, count, wrong
        head = Head(row[1], row[8])
    return head, count, None
