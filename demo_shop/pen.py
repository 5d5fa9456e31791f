"""Writes the history's events: ids, label numbers and readings as people type them, all from one seed."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from uuid import UUID

from kiosk.calc.tolerance import judge
from kiosk.entities import Label, LabelKind, Phase, Reading, Side, Verdict
from kiosk.events import Event, LabelIssued, Payload
from kiosk.presenters.quantities import read_quantity
from kiosk.presenters.readings import standard_uncertainty
from kiosk.service_sheet import ReadingSpec
from kiosk.units import nearest_fraction
from labels.number import IssuedNumbers, Kind, issue

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_KIND = dict(zip(LabelKind, Kind, strict=True))
# An instrument no finer than this is read in fractions by whoever thinks in inches.
_FRACTIONS_FROM_MM = 0.7
_MEMORY = 200_000


class Pen:
    """Makes events of one kiosk. The same seed and the same calls make the same events."""

    def __init__(self, seed: int, kiosk: int) -> None:
        self._chance = random.Random(f"{seed} ids")
        self._kiosk, self._serial, self._issued = kiosk, 1, IssuedNumbers()

    def new_id(self, at: datetime) -> str:
        """Return a version 7 UUID that bears the instant; RFC 9562, 5.7."""
        milliseconds = (at - _EPOCH) // timedelta(milliseconds=1)
        low = self._chance.getrandbits(74)
        return str(UUID(int=milliseconds << 80 | 0x7 << 76 | (low >> 62) << 64 | 0b10 << 62 | low & (1 << 62) - 1))

    def event(self, at: datetime, person_id: str | None, payload: Payload) -> Event:
        """Return an event with an id of its own."""
        return Event(self.new_id(at), at, person_id, payload)

    def label(self, kind: LabelKind, at: datetime, person_id: str | None = None) -> tuple[str, Event]:
        """Return the next label number and the event that issues it."""
        number, serial = issue(_KIND[kind], self._kiosk, self._serial, self._issued)
        self._issued.add(number)
        self._serial = serial + 1
        return number.digits, self.event(at, person_id, LabelIssued(Label(number.digits, kind, None, at), serial))

    def issued(self) -> Iterator[str]:
        """Yield every number issued so far."""
        return iter(self._issued)


def reading(spec: ReadingSpec, side: Side, phase: Phase, true_value: float, units: str) -> Reading:
    """Return a reading of a true value as somebody types it who thinks in `units`, with its verdict."""
    typed = _typed(round(true_value, 3), spec.unit, spec.resolution, units)
    value = _read(typed, spec.unit, units)
    u = standard_uncertainty(spec)
    verdict = _verdict(value, spec.lower, spec.upper, u, spec.rule)
    return Reading(spec.key, side, phase, typed, value, spec.unit, u, spec.lower, spec.upper, spec.rule, spec.source,
                   verdict)


@lru_cache(maxsize=_MEMORY)
def _typed(value: float, unit: str, resolution: float, units: str) -> str:
    if unit == "count":
        return str(max(0, round(value)))
    if unit == "degC":
        return f"{value * 9 / 5 + 32:.0f}" if units == "in" else f"{value:.0f}"
    if unit != "mm":
        return f"{value:g}"
    length = max(value, 0.0)
    if resolution >= _FRACTIONS_FROM_MM:
        return nearest_fraction(length, 32 if resolution < 1.5 else 16).text if units == "in" else f"{length:.0f}"
    stepped = round(round(length / resolution) * resolution, 2)
    return f"{stepped:g} mm" if units == "in" else f"{stepped:g}"


@lru_cache(maxsize=_MEMORY)
def _read(typed: str, unit: str, units: str) -> float:
    return read_quantity(typed, unit, units)


@lru_cache(maxsize=_MEMORY)
def _verdict(value: float, lower: float | None, upper: float | None, u: float, rule: str) -> Verdict:
    return Verdict(judge(value, lower, upper, u, rule).verdict)


_RANK = (Verdict.WITHIN, Verdict.TOO_CLOSE, Verdict.OUTSIDE)


def worst(readings: tuple[Reading, ...] | list[Reading]) -> Verdict | None:
    """Return the worst verdict, None without readings."""
    return max((reading.verdict for reading in readings), key=_RANK.index, default=None)
