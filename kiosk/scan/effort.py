"""How much it took to read a label: pictures with bars in them, and the time since the first. Pure."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Effort:
    """What a read took. `tries`: pictures with bars in them, the last one too. `took_ms`: since the first. [ms]"""

    tries: int
    took_ms: float


class EffortCounter:
    """Counts while something with bars is in view; starts anew once nothing was for `absent_s`. [s]"""

    def __init__(self, absent_s: float = 1.0) -> None:
        self._absent_s = absent_s
        self._tries = 0
        self._first_at = self._last_at = 0.0

    def saw_bars(self, at: float) -> Effort:
        """Count a picture with bars in it, at a time in seconds; return what it took so far."""
        if self._tries == 0 or at - self._last_at > self._absent_s:
            self._tries, self._first_at = 0, at
        self._tries, self._last_at = self._tries + 1, at
        return Effort(self._tries, (at - self._first_at) * 1000.0)

    def was_read(self) -> None:
        """Start anew: what was in view was read."""
        self._tries = 0
