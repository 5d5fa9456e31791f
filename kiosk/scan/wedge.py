"""Tell a hand scanner, which types like a keyboard, from a person typing. Pure: characters and times in, outcomes out.

Every character is held back for a moment. A scanner's characters come in one burst ended by Enter and leave as one
`Scanned`; a person's leave one by one as `Typed` a few hundredths of a second late, which nobody notices. So no digit
of a scan ever reaches a field. Keys reach us once a drawn frame, so times are only as fine as frames: a character is
given up as typed only when a whole later frame brought no further one, else a stalled screen would cut scans in two.
"""

from __future__ import annotations

from dataclasses import dataclass

from labels.number import is_label_number

# Scanners send a character every 0-30 ms; people rarely type two within 60 ms.
BURST_GAP_S = 0.05
# Shorter bursts are a person rolling over two or three keys.
SHORTEST_SCAN = 6
LONGEST_SCAN = 80


@dataclass(frozen=True)
class Scanned:
    """A scanner sent this text; it may be a label of ours or anything else."""

    text: str


@dataclass(frozen=True)
class Typed:
    """A person pressed this key; 'enter' for Enter."""

    key: str


Outcome = Scanned | Typed


class Wedge:
    """Collects characters as they arrive; call `poll` once a frame."""

    def __init__(self, burst_gap_s: float = BURST_GAP_S) -> None:
        self._gap_s = burst_gap_s
        self._held = ""
        self._last_at = 0.0
        self._quiet_polls = 0

    def feed(self, character: str, at: float) -> list[Outcome]:
        """Take one character that arrived at `at` [s, any steady clock] and return what is now certain."""
        self._held += character
        self._last_at = at
        self._quiet_polls = 0
        return self._release() if len(self._held) > LONGEST_SCAN else []

    def enter(self, at: float) -> list[Outcome]:
        """Take the Enter key: the end of a scan, or a person's Enter."""
        held, self._held = self._held, ""
        self._last_at = at
        if len(held) >= SHORTEST_SCAN:
            return [Scanned(held)]
        return [*(Typed(key) for key in held), Typed("enter")]

    def poll(self, at: float) -> list[Outcome]:
        """Give up what has waited long enough, with a whole frame since in which no character came."""
        if not self._held or at - self._last_at < self._gap_s:
            return []
        self._quiet_polls += 1
        return self._release() if self._quiet_polls > 1 else []

    def _release(self) -> list[Outcome]:
        held, self._held = self._held, ""
        if is_label_number(held):  # a scanner that is set up without the closing Enter
            return [Scanned(held)]
        return [Typed(key) for key in held]
