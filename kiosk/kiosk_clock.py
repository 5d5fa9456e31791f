"""The kiosk's clock: the system's, unless that cannot be right; then it goes on from the last time that was.

A battery that died, no network at start, or somebody's hand set the system's clock back, or years ahead. Entries
keep their order by sequence whatever the clock says; going on from the last sure time keeps their times in order too,
so that nothing is due ten years ago. The doubt is told on screen and put on record until the clock is right again or
a lead says that it is. Daylight saving moves nothing: all times are UTC and become local only when they are shown.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from kiosk.events import ClockDoubted, ClockTrusted

# A clock that network time puts right jumps by seconds; a dead battery, by years.
SET_BACK = timedelta(minutes=5)
# A kiosk that stood through a whole season is nothing to doubt.
FAR_AHEAD = timedelta(days=270)
# No kiosk ran this program before: a clock that says so never was set.
FIRST_POSSIBLE = datetime(2026, 1, 1, tzinfo=UTC)


class KioskClock:
    """Answers the time now; aware UTC, never running backwards.

    Args:
        system: The system's clock. `steady`: seconds that only ever grow, from anywhere.
        trusted: Time of the last entry that was made without doubt, None in a new shop.
    """

    def __init__(self, system: Callable[[], datetime], steady: Callable[[], float], trusted: datetime | None) -> None:
        self._system, self._steady = system, steady
        self._trusted = max(trusted or FIRST_POSSIBLE, FIRST_POSSIBLE)
        self._trusted_at_s = steady()
        self._is_new = trusted is None
        self._on_record = False

    def __call__(self) -> datetime:
        """Return the time now, by the system where it can be believed."""
        now, so_far = self._system(), self._gone_on()
        if self._can_be(now, so_far):
            self._trusted, self._trusted_at_s, self._is_new = max(now, self._trusted), self._steady(), False
            return self._trusted
        return so_far

    @property
    def doubt(self) -> tuple[datetime, datetime] | None:
        """What the system says and what the kiosk goes by, while they cannot both be right; None when all is well."""
        now, so_far = self._system(), self._gone_on()
        return None if self._can_be(now, so_far) else (now, so_far)

    def news(self) -> ClockDoubted | ClockTrusted | None:
        """Return what is to be put on record, once for each time that the doubt begins or ends."""
        doubt = self.doubt
        if (doubt is not None) == self._on_record:
            return None
        return ClockTrusted("the clock is right again") if doubt is None else ClockDoubted(*doubt)

    def recorded(self) -> None:
        """The news is on record."""
        self._on_record = not self._on_record

    def take_system(self) -> None:
        """Believe the system from now on: somebody who may say so looked at it."""
        self._trusted, self._trusted_at_s, self._is_new = self._system(), self._steady(), False

    def _gone_on(self) -> datetime:
        return self._trusted + timedelta(seconds=max(0.0, self._steady() - self._trusted_at_s))

    def _can_be(self, now: datetime, so_far: datetime) -> bool:
        return so_far - SET_BACK <= now and (self._is_new or now <= so_far + FAR_AHEAD)
