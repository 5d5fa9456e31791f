"""Side views of the assemblies by design, in plain lines of our own. Pure: parts in 0..1 of the drawing's box.

`PLACES` names the points that positions may be set at, so that marks sit where the part is drawn. x runs to the right,
y up; the box is `ASPECT` times as wide as high. An unknown design is drawn as an empty frame.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

ASPECT = 1.6


@dataclass(frozen=True)
class Path:
    """A line through points; `weight` in hairlines, `colour` a role of the palette."""

    points: tuple[float, ...]
    weight: float = 1.5
    colour: str = "edge"
    closed: bool = False


@dataclass(frozen=True)
class Area:
    """A filled outline; every corner is seen from the first."""

    points: tuple[float, ...]
    colour: str = "faint"


@dataclass(frozen=True)
class Wheel:
    """A roller, sprocket or wheel; the radius is in parts of the box's height."""

    x: float
    y: float
    radius: float
    weight: float = 1.5
    colour: str = "edge"
    fill: str = ""


Shape = Path | Area | Wheel

# Both slanting designs share their shafts, so that one learns one picture.
LOWER = (0.17, 0.24)
UPPER = (0.76, 0.74)
FRONT = (0.17, 0.40)
REAR = (0.80, 0.40)

PLACES: dict[str, dict[str, tuple[float, float]]] = {
    "flight elevator": {
        "lower shaft": LOWER, "upper shaft": UPPER, "upper strand": (0.42, 0.56), "lower strand": (0.50, 0.42),
        "flights": (0.34, 0.45), "floor pan": (0.52, 0.34), "take-up": (0.86, 0.80), "wear pad": (0.26, 0.22),
        "scraper": (0.70, 0.88), "height stop": (0.10, 0.10), "cross bar": (0.50, 0.70),
    },
    "belt conveyor": {
        "lower roller": LOWER, "upper roller": UPPER, "belt": (0.42, 0.56), "splice": (0.54, 0.66),
        "cleats": (0.34, 0.45), "floor pan": (0.52, 0.34), "take-up": (0.86, 0.80), "frame side": (0.60, 0.50),
        "scraper": (0.70, 0.88), "height stop": (0.10, 0.10),
    },
    "drag-chain floor": {
        "front shaft": FRONT, "rear shaft": REAR, "chain": (0.48, 0.46), "bars": (0.40, 0.46), "floor": (0.48, 0.34),
        "take-up": (0.08, 0.40), "spinner": (0.90, 0.16), "gate": (0.84, 0.58), "gearbox": (0.80, 0.24),
    },
}


def shapes_of(design: str) -> tuple[Shape, ...]:
    """Return the drawing of a design; an empty frame for one that is not known."""
    return _DESIGNS.get(design, _EMPTY)


def _along(start: tuple[float, float], end: tuple[float, float], off: float) -> tuple[float, float, float, float]:
    """Return the line from start to end, moved to its left by `off` of the box's height."""
    across_x, across_y = _left_of(start, end, off)
    return (start[0] + across_x, start[1] + across_y, end[0] + across_x, end[1] + across_y)


def _left_of(start: tuple[float, float], end: tuple[float, float], off: float) -> tuple[float, float]:
    run, rise = (end[0] - start[0]) * ASPECT, end[1] - start[1]
    length = math.hypot(run, rise)
    return (-rise / length * off / ASPECT, run / length * off)


def _teeth(start: tuple[float, float], end: tuple[float, float], inner: float, outer: float, count: int) -> list[Shape]:
    """Return flights or cleats: short lines across the run, between two distances from its middle."""
    shapes: list[Shape] = []
    for number in range(count):
        part = (number + 0.5) / count
        x, y = start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1])
        near, far = _left_of(start, end, inner), _left_of(start, end, outer)
        shapes.append(Path((x + near[0], y + near[1], x + far[0], y + far[1]), 2.5, "ink"))
    return shapes


def _slanting(loop_weight: float, teeth: int) -> tuple[Shape, ...]:
    """Return the machine behind, the floor pan, the loop on its two shafts and what stands on the loop."""
    return (
        Area((0.66, 0.44, 0.98, 0.44, 0.98, 0.96, 0.9, 0.96, 0.78, 0.58)),
        Path((0.0, 0.06, 1.0, 0.06), 2),
        Path((0.62, 0.44, 0.98, 0.44, 0.98, 0.96), 2),
        Wheel(0.74, 0.18, 0.12, 3, fill="faint"),
        Path((0.74, 0.3, 0.74, 0.44), 3),
        Path(_along(LOWER, UPPER, -0.17), 3),
        Path((*_along(LOWER, UPPER, -0.17)[:2], 0.09, 0.1), 3),
        Path(_along(LOWER, UPPER, 0.085), loop_weight, "ink"),
        Path(_along(LOWER, UPPER, -0.085), loop_weight, "ink"),
        *_teeth(LOWER, UPPER, 0.085, 0.145, teeth),
        *_teeth(LOWER, UPPER, -0.085, -0.145, teeth),
        Wheel(*LOWER, 0.085, 2.5, "ink", "panel"),
        Wheel(*UPPER, 0.085, 2.5, "ink", "panel"),
        Wheel(*LOWER, 0.02, 2, "ink", "ink"),
        Wheel(*UPPER, 0.02, 2, "ink", "ink"),
    )


_ELEVATOR = (*_slanting(1.5, 8), *(Wheel(x, y, 0.055, 1.2, "ink") for x, y in (LOWER, UPPER)))
_CONVEYOR = _slanting(4, 14)
_DRAG_FLOOR: tuple[Shape, ...] = (
    Area((0.2, 0.52, 0.76, 0.52, 0.88, 0.94, 0.08, 0.94)),
    Path((0.2, 0.52, 0.08, 0.94), 3),
    Path((0.76, 0.52, 0.88, 0.94), 3),
    Path((0.0, 0.06, 1.0, 0.06), 2),
    Wheel(0.3, 0.17, 0.11, 3, fill="faint"),
    Wheel(0.62, 0.17, 0.11, 3, fill="faint"),
    Path((0.12, 0.385, 0.86, 0.385), 3),
    Path(_along(FRONT, REAR, 0.075), 1.5, "ink"),
    Path(_along(FRONT, REAR, -0.075), 1.5, "ink"),
    *_teeth(FRONT, REAR, 0.06, 0.105, 12),
    *_teeth(FRONT, REAR, -0.06, -0.105, 12),
    *(Wheel(x, y, 0.075, 2.5, "ink", "panel") for x, y in (FRONT, REAR)),
    *(Wheel(x, y, 0.02, 2, "ink", "ink") for x, y in (FRONT, REAR)),
    Path((0.82, 0.14, 0.98, 0.14), 4, "ink"),
    Path((0.9, 0.14, 0.9, 0.24), 3, "ink"),
)
_EMPTY: tuple[Shape, ...] = (Path((0.02, 0.02, 0.98, 0.02, 0.98, 0.98, 0.02, 0.98), 2, closed=True),)
_DESIGNS: dict[str, tuple[Shape, ...]] = {
    "flight elevator": _ELEVATOR,
    "belt conveyor": _CONVEYOR,
    "drag-chain floor": _DRAG_FLOOR,
}
