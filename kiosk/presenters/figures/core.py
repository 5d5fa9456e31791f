"""What every maker of figures gets and gives: parameters and a part in, rows with doubt, limit and source out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from kiosk.calc.terms import TERMS
from kiosk.entities import Component, SeriesPoint, Side
from kiosk.language import N_, number, tr
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.parts import FigureRow
from kiosk.presenters.quantities import show_limits, show_quantity
from kiosk.service_sheet import ReadingSpec

MOST_POINTS = 200


@dataclass(frozen=True)
class FigureContext:
    """One part, with what is on record of it. `units`: 'in' or 'mm', for the texts."""

    helpers: Helpers
    part: Part
    units: str

    @property
    def component(self) -> Component:
        """The part itself."""
        return self.part.component

    def length(self, mm: float) -> str:
        """Return a length in both units."""
        return show_quantity(mm, "mm", self.units)

    def shown(self, value: float, spec: ReadingSpec) -> str:
        """Return a value of a reading in the person's units."""
        return show_quantity(value, spec.unit, self.units)

    @cached_property
    def hours_now(self) -> float | None:
        """The unit's hour meter, None if it was never read. [h]"""
        reading = self.helpers.records.hours(self.part.unit.id)
        return reading.hours if reading else None

    def series(self, spec: ReadingSpec) -> dict[Side, list[SeriesPoint]]:
        """Return the readings of one quantity by side, oldest first."""
        sides: dict[Side, list[SeriesPoint]] = {}
        for point in self.helpers.records.series(self.component.id, spec.key)[-MOST_POINTS:]:
            sides.setdefault(Side(point.side), []).append(point)
        return sides


# Names of terms and of computations, which go through `tr` where they are shown.
WORDS = (
    N_("centre distance"), N_("excess length"), N_("growth of the belt"), N_("hours a day"), N_("number of links"),
    N_("loop length"), N_("mean time between failures"), N_("pitch diameter"), N_("radial load"),
    N_("characteristic life"), N_("wrap"), N_("life"), N_("Weibull shape"), N_("free space"), N_("take-up for sag"),
    N_("chain wear"), N_("loop balance"), N_("flight clearance"), N_("belt height"), N_("belt tracking"),
    N_("splice plan"), N_("roller offset"), N_("height stop"), N_("bearing grease"), N_("bearing life"),
    N_("bearing fixing"), N_("gun weighing"), N_("sprocket alignment"), N_("shaft run-out"), N_("frame square"),
    N_("belt strain"), N_("take-up reserve"), N_("no trend"), N_("getting worse"), N_("getting better"),
    N_("insert table"), N_("formula"), N_("general catalogues"),
)

Maker = Callable[[Mapping[str, Any], FigureContext], tuple[FigureRow, ...]]


def term(key: str) -> str:
    """Return a quantity's name as the table of terms has it, with a capital, and its printed symbol."""
    name = named(key)
    return name[:1].upper() + name[1:]


def named(key: str) -> str:
    """Return a quantity's name and its printed symbol as they stand inside a title."""
    known = TERMS[key]
    name = tr(known.name)
    return f"{name} {known.symbol}" if known.symbol and "_" not in known.symbol else name


def limits_text(spec: ReadingSpec, context: FigureContext) -> str:
    """Return a reading's limits, named as such."""
    return tr("limit: {show_limits}").format(show_limits=show_limits(spec.lower, spec.upper, spec.unit, context.units))


def row(title: str, value: str, *, sure: str = "", limit: str = "", source: str = "", note: str = "") -> FigureRow:
    """Return one figure."""
    return FigureRow(title, value, sure, limit, source, note)


def share(value: float) -> str:
    """Return a share in per cent; one below half a per cent is not called nothing."""
    return number(value, ".0%") if value >= 0.005 or value == 0 else tr("less than 1%")


def newton(value: float) -> str:
    """Return a force."""
    return f"{number(value, ',.0f')} N"


def hours(value: float) -> str:
    """Return running hours, whole."""
    return f"{number(value, ',.0f')} h"
