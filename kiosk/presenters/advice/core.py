"""What every advice function gets and gives: parameters and readings in, lines in the trade's words and numbers out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from kiosk.entities import Component, ServiceRecord, Side
from kiosk.language import tr
from kiosk.presenters.parts import AdviceLine
from kiosk.presenters.quantities import show_quantity, show_short
from kiosk.presenters.readings import Judged
from kiosk.service_sheet import JobSpec

DO, WHY, CHECK, STOP = "do", "why", "check", "stop"
SMALL_MM = 3.0


@dataclass(frozen=True)
class Advice:
    """Advice on one job.

    Args:
        lines: What to do first, then why and what to check.
        details: The numbers behind it, as the record keeps them.
        source: Where the method comes from.
    """

    lines: tuple[AdviceLine, ...] = ()
    details: Mapping[str, Any] = field(default_factory=dict)
    source: str = ""


@dataclass(frozen=True)
class AdviceContext:
    """What advice may depend on besides parameters and readings.

    Args:
        units: 'in' or 'mm', for the texts.
        history: Records of this job on this part, newest first.
        hours_per_day: The unit's running hours per calendar day, 0 if it stands or nothing is known. [h]
        hours_now: The unit's hour meter, None if it was never read. [h]
    """

    units: str
    component: Component
    job: JobSpec
    history: tuple[ServiceRecord, ...] = ()
    hours_per_day: float = 0.0
    hours_now: float | None = None

    def length(self, mm: float) -> str:
        """Return a length in the person's units; a small one in both, as a fraction of an inch says little of it."""
        show = show_quantity if abs(mm) < SMALL_MM else show_short
        return show(mm, "mm", self.units)

    def both(self, mm: float) -> str:
        """Return a length in both units, for a figure that goes on record."""
        return show_quantity(mm, "mm", self.units)


Readings = tuple[Judged, ...]
Adviser = Callable[[Mapping[str, Any], Readings, AdviceContext], Advice]


def line(weight: str, text: str) -> AdviceLine:
    """Return one line of advice."""
    return AdviceLine(weight, text)


def nothing_yet(text: str) -> Advice:
    """Return that a reading is still missing."""
    return Advice((line(CHECK, text),))


def by_side(readings: Readings, quantity: str) -> dict[Side, Judged]:
    """Return {side: reading} of a quantity, {} if it was not read."""
    return {reading.side: reading for reading in readings if reading.spec.key == quantity}


def value(reading: Judged) -> float:
    """Return the value of a reading that has one. [its unit]"""
    if reading.value is None:
        raise ValueError(f"{reading.key} has no value")
    return reading.value


def values(readings: Readings, quantity: str) -> dict[Side, float]:
    """Return {side: value} of a quantity, {} if it was not read. [its unit]"""
    return {side: value(reading) for side, reading in by_side(readings, quantity).items()}


def mean(found: Mapping[Side, float]) -> float:
    """Return the mean of the sides. [their unit]"""
    return sum(found.values()) / len(found)


def side_word(side: Side) -> str:
    """Return 'Left', 'Right' or 'Both'."""
    return tr(side.value).capitalize()
