"""What a shop sets for its floor: shifts, time zone, units, when an idle person is logged out."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import time, tzinfo
from zoneinfo import ZoneInfo


@dataclass(frozen=True)
class FloorSettings:
    """Settings that presenters need.

    Args:
        time_zone: IANA name; shifts and dates are local.
        shift_starts: Local times at which shifts begin, in the order of the day.
        shift_names: Their names, as many.
        idle_logout_s: A person is logged out after this long without a touch or scan. [s]
        units: 'in' or 'mm' while nobody is signed in.
        language: What the kiosk speaks while nobody is signed in: 'en', 'es', 'de' or 'fr'.
        is_practice: This is a practice yard; nothing entered here is a record.
        pin_for: Who proves a badge by a PIN: 'leads' (and supervisors), 'all' or 'nobody'.
    """

    time_zone: str = "UTC"
    shift_starts: tuple[time, ...] = (time(6), time(14), time(22))
    shift_names: tuple[str, ...] = ("early", "late", "night")
    idle_logout_s: float = 600
    units: str = "in"
    language: str = "en"
    pin_for: str = "leads"
    is_practice: bool = False
    zone: tzinfo = field(init=False, compare=False, repr=False)
    day_begins: time = field(init=False, compare=False, repr=False)

    @classmethod
    def from_texts(cls, time_zone: str, shift_starts: tuple[str, ...], shift_names: tuple[str, ...],
                   idle_logout_s: float, units: str) -> FloorSettings:
        """Return settings from a shop's texts, shift starts as 'HH:MM'."""
        starts = tuple(time.fromisoformat(start) for start in shift_starts)
        return cls(time_zone, starts, shift_names, idle_logout_s, units)

    def __post_init__(self) -> None:
        object.__setattr__(self, "zone", ZoneInfo(self.time_zone))
        object.__setattr__(self, "day_begins", min(self.shift_starts))
