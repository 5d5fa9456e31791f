"""Where the parts of a machine sit: the positions of each design, on its drawing and along the walk round it.

A place is given along and across its assembly: `along` 0 at the lower (front) shaft and 1 at the upper (rear) one,
`across` from the line between them, upward, in parts of the drawing's height. Left and right parts stand a little
apart on the drawing, so that both can be told.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.entities import Side
from kiosk.widgets.designs import ASPECT, FRONT, LOWER, REAR, UPPER

FLIGHT_ELEVATOR, BELT_CONVEYOR, DRAG_FLOOR = "flight elevator", "belt conveyor", "drag-chain floor"
# The two shafts of each drawing.
ENDS = {FLIGHT_ELEVATOR: (LOWER, UPPER), BELT_CONVEYOR: (LOWER, UPPER), DRAG_FLOOR: (FRONT, REAR)}


@dataclass(frozen=True)
class Place:
    """A place for a part of one kind. `sheet` is the key of the service sheet that serves it."""

    name: str
    sheet: str
    along: float
    across: float = 0.0
    side: Side = Side.BOTH

    def point(self, design: str) -> tuple[float, float]:
        """Return x and y of the place on its design's drawing, each 0..1."""
        (x0, y0), (x1, y1) = ENDS[design]
        run, rise = (x1 - x0) * ASPECT, y1 - y0
        length = math.hypot(run, rise)
        x = x0 + (x1 - x0) * self.along - rise / length * self.across / ASPECT
        y = y0 + rise * self.along + run / length * self.across
        return round(min(max(x, 0.02), 0.98), 4), round(min(max(y, 0.03), 0.97), 4)


def pair(name: str, sheet: str, along: float, across: float = 0.0, apart: float = 0.10) -> tuple[Place, Place]:
    """Return a left and a right place, drawn above and below the point they share."""
    return (Place(f"{name}, left", sheet, along, across + apart / 2, Side.LEFT),
            Place(f"{name}, right", sheet, along, across - apart / 2, Side.RIGHT))


def flight_elevator(flights: int) -> tuple[Place, ...]:
    """Return the places of an elevator with two shafts, two chains and so many rubber flights."""
    return (
        Place("Elevator", "flight-elevator", 0.50, 0.27),
        Place("Lower shaft", "chain-shaft", 0.0),
        *pair("Lower shaft bearing", "shaft-bearing", -0.09),
        *pair("Lower sprocket", "chain-sprocket", 0.09),
        Place("Height stops", "height-stop", -0.16, -0.08),
        *pair("Lower wear pad", "wear-pad", 0.20, -0.24, 0.09),
        Place("Flight chains", "flight-chain", 0.38),
        Place("Flights over the pan", "flight-set", 0.62),
        *_flights(flights),
        Place("Floor pan", "floor-pan", 0.50, -0.23),
        *pair("Upper wear pad", "wear-pad", 0.74, -0.24, 0.09),
        Place("Upper shaft", "chain-shaft", 1.0),
        *pair("Upper shaft bearing", "shaft-bearing", 1.09),
        *pair("Upper sprocket", "chain-sprocket", 0.91),
        *pair("Take-up", "take-up", 1.19),
        Place("Discharge scraper", "scraper", 0.98, 0.17),
        *pair("Hopper safety support", "safety-support", 0.95, -0.30, 0.09),
    )


def _flights(count: int) -> tuple[Place, ...]:
    """Return the flights, one after the other up the pan and back on the upper strand."""
    up = (count + 1) // 2
    step = 0.80 / up
    carrying = [Place(f"Flight {n + 1}", "flight", 0.14 + step * n, -0.115) for n in range(up)]
    back = [Place(f"Flight {n + 1}", "flight", 0.86 - step * (n - up), 0.115) for n in range(up, count)]
    return (*carrying, *back)


def belt_conveyor(return_rollers: int) -> tuple[Place, ...]:
    """Return the places of a cleated belt on two rollers, the upper one held in take-ups."""
    return (
        Place("Conveyor", "belt-conveyor", 0.50, 0.30),
        Place("Lower roller", "lower-roller", 0.0),
        *pair("Lower roller bearing", "shaft-bearing", -0.09),
        Place("Lower roller scraper", "scraper", 0.10),
        Place("Height stops", "height-stop", -0.16, -0.08),
        *pair("Lower side skirt", "side-skirt", 0.14, 0.20, 0.09),
        *pair("Lower wear pad", "wear-pad", 0.20, -0.24, 0.09),
        *(Place(f"Return roller {n + 1}", "return-roller", 0.28 + 0.20 * n, -0.03) for n in range(return_rollers)),
        Place("Cleated belt", "cleated-belt", 0.40, 0.09),
        Place("Belt splice", "belt-splice", 0.60, 0.09),
        Place("Floor pan", "floor-pan", 0.50, -0.23),
        *pair("Upper side skirt", "side-skirt", 0.76, 0.20, 0.09),
        *pair("Upper wear pad", "wear-pad", 0.74, -0.24, 0.09),
        *pair("Take-up", "take-up", 1.19),
        Place("Upper roller", "upper-roller", 1.0),
        *pair("Upper roller bearing", "shaft-bearing", 1.09),
        Place("Upper roller scraper", "scraper", 0.98, 0.17),
        Place("Drive sprocket, roller", "chain-sprocket", 0.92, 0.03),
        Place("Drive chain", "drive-chain", 0.85, 0.03),
        Place("Drive sprocket, motor", "chain-sprocket", 0.78, 0.03),
        *pair("Hopper safety support", "safety-support", 0.95, -0.30, 0.09),
    )


def drag_floor(bars: int) -> tuple[Place, ...]:
    """Return the places of a spreader's drag-chain floor with its gate and disc."""
    return (
        Place("Floor", "drag-floor", 0.50, 0.34),
        Place("Front shaft", "chain-shaft", 0.0),
        *pair("Front shaft bearing", "spreader-bearing", 0.0, apart=0.19),
        *pair("Front sprocket", "chain-sprocket", 0.085, apart=0.09),
        *pair("Take-up", "take-up", -0.14),
        *pair("Front wear pad", "wear-pad", 0.22, -0.20, 0.09),
        Place("Drag chains", "drag-chain", 0.40),
        *(Place(f"Drag bar {n + 1}", "drag-bar", 0.16 + 0.68 / max(bars - 1, 1) * n, 0.085) for n in range(bars)),
        Place("Floor plate", "floor-pan", 0.62, -0.01),
        *pair("Rear wear pad", "wear-pad", 0.78, -0.20, 0.09),
        Place("Rear shaft", "chain-shaft", 1.0),
        *pair("Rear shaft bearing", "spreader-bearing", 1.0, apart=0.19),
        *pair("Rear sprocket", "chain-sprocket", 0.915, apart=0.09),
        Place("Feed gate", "feed-gate", 1.06, 0.20),
        Place("Floor scraper", "scraper", 1.09),
        Place("Disc bearing", "spreader-bearing", 1.16, -0.15),
        Place("Spreading disc", "spreading-disc", 1.16, -0.25),
    )


def in_walk_order(places: tuple[Place, ...]) -> tuple[Place, ...]:
    """Return the places as a person walking once round the machine comes past them.

    Up the left side, where the ones in the middle are reached too, over the upper end, and down the right side.
    """
    up = sorted((place for place in places if place.side is not Side.RIGHT), key=lambda place: place.along)
    down = sorted((place for place in places if place.side is Side.RIGHT), key=lambda place: -place.along)
    return (*up, *down)
