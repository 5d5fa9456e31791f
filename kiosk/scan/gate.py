"""The steady-read gate: a camera's number counts once it was read twice running, and then not again while it stays.

Pure. A single frame's read may be a glimpse of another label; the same number held in view must not save twice.
"""

from __future__ import annotations


class SteadyGate:
    """Decides which of the camera's reads become a scan.

    Args:
        reads_needed: Equal reads in a row.
        within_s: They must come within this time. [s]
        absent_s: A number that passed passes again only after it was out of view this long. [s]
    """

    def __init__(self, reads_needed: int = 2, within_s: float = 1.0, absent_s: float = 2.0) -> None:
        self._needed, self._within_s, self._absent_s = reads_needed, within_s, absent_s
        self._candidate = ""
        self._reads = 0
        self._first_at = 0.0
        self._passed: dict[str, float] = {}

    def offer(self, number: str, at: float) -> bool:
        """Return True if this read of `number` at `at` [s] makes it a scan."""
        if number in self._passed and at - self._passed[number] < self._absent_s:
            self._passed[number] = at
            return False
        if number != self._candidate or at - self._first_at > self._within_s:
            self._candidate, self._reads, self._first_at = number, 0, at
        self._reads += 1
        if self._reads < self._needed:
            return False
        self._passed = {number: at}
        self._candidate = ""
        return True
