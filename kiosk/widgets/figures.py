"""Our own small drawings as data: icons, marks of state, the warning sign. Pure: numbers in a square of side 1.

A figure is a tuple of strokes, fills, discs and arcs, drawn in order, x to the right and y up. `colour` names a role of
the palette; 'ink' is whatever the figure's owner writes with, 'ground' what it stands on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Stroke:
    """A line through points; `width` in parts of the figure's side."""

    points: tuple[float, ...]
    width: float = 0.09
    closed: bool = False
    colour: str = "ink"


@dataclass(frozen=True)
class Fill:
    """A filled outline; every corner must be seen from the first one."""

    points: tuple[float, ...]
    colour: str = "ink"


@dataclass(frozen=True)
class Disc:
    """A filled circle."""

    x: float
    y: float
    radius: float
    colour: str = "ink"


@dataclass(frozen=True)
class Arc:
    """Part of a circle's line, from `start` to `end` degrees, clockwise from the top."""

    x: float
    y: float
    radius: float
    start: float = 0.0
    end: float = 360.0
    width: float = 0.09
    colour: str = "ink"


Part = Stroke | Fill | Disc | Arc
Figure = tuple[Part, ...]


def _regular(corners: int, radius: float = 0.46, turned: float = 0.0) -> tuple[float, ...]:
    """Return the corners of a regular outline around the middle, the first at `turned` degrees from the top."""
    points: list[float] = []
    for corner in range(corners):
        angle = math.radians(turned + 360 * corner / corners)
        points += [0.5 + radius * math.sin(angle), 0.5 + radius * math.cos(angle)]
    return tuple(points)


_BOX = (0.1, 0.1, 0.9, 0.1, 0.9, 0.9, 0.1, 0.9)
_OCTAGON = _regular(8, 0.48, 22.5)
_DIAMOND = _regular(4, 0.5)
_TRIANGLE = (0.5, 0.95, 0.02, 0.1, 0.98, 0.1)
_TICK = (0.27, 0.5, 0.44, 0.32, 0.74, 0.68)


def _badge(outline: tuple[float, ...], colour: str) -> Figure:
    """Return a filled outline with a dark rim, so that it stands out on any ground."""
    return (Fill(outline, colour), Stroke(outline, 0.06, True, "outline"))


# Marks of state, by the shape's name: the shape alone says which it is.
MARKS: dict[str, Figure] = {
    "circle": (Disc(0.5, 0.5, 0.46, "good"), Arc(0.5, 0.5, 0.46, width=0.06, colour="outline"),
               Stroke(_TICK, 0.11, colour="chosen_ink")),
    "diamond": (*_badge(_DIAMOND, "unsure"), Arc(0.5, 0.6, 0.13, -90, 135, 0.09, "chosen_ink"),
                Stroke((0.53, 0.48, 0.5, 0.4), 0.09, colour="chosen_ink"), Disc(0.5, 0.26, 0.06, "chosen_ink")),
    "square": (*_badge(_BOX, "bad"), Stroke((0.32, 0.32, 0.68, 0.68), 0.12, colour="chosen_ink"),
               Stroke((0.32, 0.68, 0.68, 0.32), 0.12, colour="chosen_ink")),
    "clock": (Stroke((0.24, 0.14, 0.14, 0.02), 0.08, colour="outline"),
              Stroke((0.76, 0.14, 0.86, 0.02), 0.08, colour="outline"),
              Stroke((0.06, 0.78, 0.26, 0.96), 0.09, colour="outline"),
              Stroke((0.94, 0.78, 0.74, 0.96), 0.09, colour="outline"),
              Disc(0.5, 0.48, 0.4, "due"), Arc(0.5, 0.48, 0.4, width=0.06, colour="outline"),
              Stroke((0.5, 0.74, 0.5, 0.46, 0.68, 0.36), 0.09, colour="chosen_ink")),
    "triangle": (*_badge(_TRIANGLE, "overdue"), Stroke((0.5, 0.68, 0.5, 0.4), 0.11, colour="chosen_ink"),
                 Disc(0.5, 0.24, 0.065, "chosen_ink")),
    "ring": (Disc(0.5, 0.5, 0.4, "neutral"), Arc(0.5, 0.5, 0.4, width=0.08, colour="outline")),
}

ICONS: dict[str, Figure] = {
    "tick": (Stroke((0.12, 0.5, 0.4, 0.2, 0.9, 0.8), 0.14),),
    "cross": (Stroke((0.18, 0.18, 0.82, 0.82), 0.13), Stroke((0.18, 0.82, 0.82, 0.18), 0.13)),
    "left": (Stroke((0.62, 0.12, 0.24, 0.5, 0.62, 0.88), 0.13), Stroke((0.27, 0.5, 0.92, 0.5), 0.13)),
    "right": (Stroke((0.38, 0.12, 0.76, 0.5, 0.38, 0.88), 0.13), Stroke((0.08, 0.5, 0.73, 0.5), 0.13)),
    "up": (Stroke((0.12, 0.42, 0.5, 0.8, 0.88, 0.42), 0.13), Stroke((0.5, 0.77, 0.5, 0.12), 0.13)),
    "down": (Stroke((0.12, 0.58, 0.5, 0.2, 0.88, 0.58), 0.13), Stroke((0.5, 0.23, 0.5, 0.88), 0.13)),
    "home": (Stroke((0.06, 0.5, 0.5, 0.9, 0.94, 0.5), 0.1), Stroke((0.2, 0.5, 0.2, 0.1, 0.8, 0.1, 0.8, 0.5), 0.1)),
    "rub_out": (Stroke((0.04, 0.5, 0.3, 0.84, 0.96, 0.84, 0.96, 0.16, 0.3, 0.16), 0.08, True),
                Stroke((0.46, 0.34, 0.78, 0.66), 0.09), Stroke((0.46, 0.66, 0.78, 0.34), 0.09)),
    "clear": (Arc(0.5, 0.5, 0.4, width=0.09), Stroke((0.22, 0.22, 0.78, 0.78), 0.09)),
    "barcode": tuple(Fill((x, 0.15, x + w, 0.15, x + w, 0.85, x, 0.85)) for x, w in
                     ((0.04, 0.08), (0.17, 0.04), (0.26, 0.12), (0.43, 0.04), (0.53, 0.08), (0.66, 0.04), (0.76, 0.04),
                      (0.86, 0.1))),
    "badge": (Stroke(_BOX, 0.08, True), Disc(0.5, 0.6, 0.14), Arc(0.5, 0.17, 0.25, -80, 80, 0.09)),
    "grease": (Fill((0.5, 0.97, 0.24, 0.52, 0.76, 0.52)), Disc(0.5, 0.36, 0.31)),
    "adjust": (Arc(0.5, 0.5, 0.3, width=0.1), *(Stroke(
        (0.5 + 0.3 * math.sin(a), 0.5 + 0.3 * math.cos(a), 0.5 + 0.46 * math.sin(a), 0.5 + 0.46 * math.cos(a)), 0.13)
        for a in (math.radians(60 * k) for k in range(6)))),
    "inspect": (Arc(0.42, 0.58, 0.3, width=0.1), Stroke((0.64, 0.36, 0.92, 0.08), 0.14)),
    "clean": (Stroke((0.2, 0.9, 0.55, 0.5), 0.09), Fill((0.4, 0.52, 0.6, 0.38, 0.9, 0.2, 0.62, 0.04, 0.36, 0.3)),
              Disc(0.2, 0.3, 0.06), Disc(0.1, 0.14, 0.06), Disc(0.28, 0.12, 0.06)),
    "splice": (Stroke((0.02, 0.62, 0.42, 0.62), 0.1), Stroke((0.58, 0.62, 0.98, 0.62), 0.1),
               Stroke((0.02, 0.38, 0.42, 0.38), 0.1), Stroke((0.58, 0.38, 0.98, 0.38), 0.1),
               Stroke((0.42, 0.8, 0.42, 0.2), 0.06), Stroke((0.58, 0.8, 0.58, 0.2), 0.06),
               Disc(0.5, 0.9, 0.06), Disc(0.5, 0.5, 0.06), Disc(0.5, 0.1, 0.06)),
    "replace": (Arc(0.5, 0.5, 0.34, -60, 90, 0.1), Arc(0.5, 0.5, 0.34, 120, 270, 0.1),
                Fill((0.98, 0.55, 0.7, 0.55, 0.84, 0.34)), Fill((0.02, 0.45, 0.3, 0.45, 0.16, 0.66))),
    "note": (Stroke((0.2, 0.06, 0.8, 0.06, 0.8, 0.94, 0.2, 0.94), 0.08, True), Stroke((0.35, 0.7, 0.65, 0.7), 0.08),
             Stroke((0.35, 0.5, 0.65, 0.5), 0.08), Stroke((0.35, 0.3, 0.55, 0.3), 0.08)),
    "history": (Arc(0.5, 0.5, 0.4, width=0.09), Stroke((0.5, 0.76, 0.5, 0.48, 0.68, 0.38), 0.09)),
    "print": (Stroke((0.22, 0.3, 0.06, 0.3, 0.06, 0.66, 0.94, 0.66, 0.94, 0.3, 0.78, 0.3), 0.08),
              Stroke((0.24, 0.66, 0.24, 0.94, 0.76, 0.94, 0.76, 0.66), 0.08),
              Stroke((0.26, 0.42, 0.74, 0.42, 0.74, 0.06, 0.26, 0.06), 0.08, True)),
    "table": (Stroke(_BOX, 0.08, True), Stroke((0.1, 0.64, 0.9, 0.64), 0.07), Stroke((0.1, 0.37, 0.9, 0.37), 0.07),
              Stroke((0.42, 0.1, 0.42, 0.9), 0.07)),
    "label": (Stroke((0.06, 0.2, 0.94, 0.2, 0.94, 0.8, 0.06, 0.8), 0.08, True),
              *(Fill((x, 0.34, x + w, 0.34, x + w, 0.66, x, 0.66)) for x, w in
                ((0.2, 0.08), (0.34, 0.05), (0.46, 0.12), (0.66, 0.05), (0.76, 0.05)))),
    "save": (Stroke((0.5, 0.95, 0.5, 0.42), 0.13), Stroke((0.26, 0.62, 0.5, 0.38, 0.74, 0.62), 0.13),
             Stroke((0.08, 0.36, 0.08, 0.08, 0.92, 0.08, 0.92, 0.36), 0.12)),
    "key_pad": tuple(Disc(x, y, 0.1) for x in (0.18, 0.5, 0.82) for y in (0.18, 0.5, 0.82)),
    "camera": (Stroke((0.06, 0.2, 0.94, 0.2, 0.94, 0.74, 0.7, 0.74, 0.62, 0.88, 0.38, 0.88, 0.3, 0.74, 0.06, 0.74),
                      0.08, True), Arc(0.5, 0.47, 0.17, width=0.08)),
    "plus": (Stroke((0.5, 0.1, 0.5, 0.9), 0.13), Stroke((0.1, 0.5, 0.9, 0.5), 0.13)),
    "flag": (Stroke((0.22, 0.03, 0.22, 0.97), 0.1), Fill((0.22, 0.95, 0.95, 0.72, 0.22, 0.45))),
    "person": (Disc(0.5, 0.7, 0.2), Fill((0.5, 0.46, 0.12, 0.3, 0.1, 0.04, 0.9, 0.04, 0.88, 0.3))),
    "clock": (Arc(0.5, 0.5, 0.42, width=0.09), Stroke((0.5, 0.76, 0.5, 0.48, 0.68, 0.38), 0.09)),
    "scissors": (Stroke((0.3, 0.28, 0.8, 0.92), 0.09), Stroke((0.7, 0.28, 0.2, 0.92), 0.09),
                 Arc(0.22, 0.18, 0.13, width=0.09), Arc(0.78, 0.18, 0.13, width=0.09)),
    "info": (Arc(0.5, 0.5, 0.43, width=0.09), Stroke((0.5, 0.26, 0.5, 0.54), 0.12), Disc(0.5, 0.72, 0.07)),
    "stop": (Stroke(_OCTAGON, 0.09, True), Stroke((0.5, 0.78, 0.5, 0.44), 0.12), Disc(0.5, 0.26, 0.07)),
    "warning": (Stroke(_TRIANGLE, 0.09, True), Stroke((0.5, 0.66, 0.5, 0.38), 0.1), Disc(0.5, 0.23, 0.06)),
    "switch": (Stroke((0.1, 0.66, 0.86, 0.66), 0.1), Stroke((0.66, 0.86, 0.88, 0.66, 0.66, 0.46), 0.1),
               Stroke((0.9, 0.3, 0.14, 0.3), 0.1), Stroke((0.34, 0.5, 0.12, 0.3, 0.34, 0.1), 0.1)),
}
ICONS |= {f"mark_{name}": figure for name, figure in MARKS.items()}
