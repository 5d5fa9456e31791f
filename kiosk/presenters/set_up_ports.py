"""What the set-up's pages ask of the rest: making the yard, units, crew, sheets, taking it out and bringing it in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from kiosk.entities import Side


@dataclass(frozen=True)
class TemplatePlace:
    """A place of a unit's template, with the part that usually sits there. x, y: 0..1 of the drawing."""

    name: str
    sheet: str
    side: Side
    x: float
    y: float
    part: str
    properties: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class UnitTemplate:
    """A unit with one assembly and its places in walk order. `design` names the drawing."""

    key: str
    title: str
    design: str
    assembly: str
    places: tuple[TemplatePlace, ...]


@dataclass(frozen=True)
class IntakeSummary:
    """What bringing a set-up in would change, line by line, and how many lines change nothing."""

    lines: Sequence[str]
    unchanged: int
