"""How a reading is taken, each in plain lines of our own: the part, the instrument in blue, what is read as an arrow.

Pure: shapes of `designs`, in its box. Here x runs to `ASPECT` and y to 1, so that a circle is round by its numbers.
Which picture a reading has is said on its service sheet (`service_sheet.MEASURE_PICTURES`).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence

from kiosk.widgets.designs import ASPECT, Area, Path, Shape, Wheel

_PART, _TOOL, _ARROW = "ink", "line_left", "line_right"
_HEAD = 0.045
_TOOL_WIDTH = 0.05


def shapes_of(name: str) -> tuple[Shape, ...]:
    """Return the drawing of one of the names that a service sheet may give; nothing for any other."""
    return tuple(_DRAWN[name]()) if name in _DRAWN else ()


# --- pieces ---


def _box(points: Sequence[float]) -> tuple[float, ...]:
    """Return points of x to ASPECT as the drawing's box wants them."""
    return tuple(value / ASPECT if place % 2 == 0 else value for place, value in enumerate(points))


def _path(*points: float, weight: float = 2.5, colour: str = _PART, closed: bool = False) -> Path:
    return Path(_box(points), weight, colour, closed)


def _area(*points: float, colour: str = "faint") -> Area:
    return Area(_box(points), colour)


def _plate(left: float, foot: float, right: float, top: float) -> tuple[Shape, ...]:
    """Return a part with straight sides."""
    corners = (left, foot, right, foot, right, top, left, top)
    return _area(*corners), _path(*corners, closed=True)


def _wheel(x: float, y: float, radius: float, fill: str = "panel", weight: float = 2.5, colour: str = _PART) -> Wheel:
    return Wheel(x / ASPECT, y, radius, weight, colour, fill)


def _arrow(x: float, y: float, to_x: float, to_y: float) -> tuple[Shape, ...]:
    """Return the length that is read, with a head at each end."""
    length = math.hypot(to_x - x, to_y - y)
    along_x, along_y = (to_x - x) / length * _HEAD, (to_y - y) / length * _HEAD
    heads = []
    for tip_x, tip_y, way in ((x, y, 1), (to_x, to_y, -1)):
        back_x, back_y = tip_x + way * along_x, tip_y + way * along_y
        heads.append(_path(back_x - along_y * 0.6, back_y + along_x * 0.6, tip_x, tip_y,
                           back_x + along_y * 0.6, back_y - along_x * 0.6, weight=3.5, colour=_ARROW))
    return _path(x, y, to_x, to_y, weight=3.5, colour=_ARROW), *heads


def _bar(x: float, y: float, to_x: float, to_y: float, width: float = _TOOL_WIDTH) -> tuple[float, ...]:
    """Return the corners of a bar along a line, lying to its left."""
    length = math.hypot(to_x - x, to_y - y)
    across_x, across_y = -(to_y - y) / length * width, (to_x - x) / length * width
    return x, y, to_x, to_y, to_x + across_x, to_y + across_y, x + across_x, y + across_y


def _straight_edge(x: float, y: float, to_x: float, to_y: float) -> tuple[Shape, ...]:
    return (_area(*_bar(x, y, to_x, to_y), colour=_TOOL),)


def _rule(x: float, y: float, to_x: float, to_y: float, ticks: int = 12) -> tuple[Shape, ...]:
    """Return a rule with its ticks on the measured side."""
    length = math.hypot(to_x - x, to_y - y)
    across_x, across_y = -(to_y - y) / length, (to_x - x) / length
    marks = []
    for number in range(1, ticks):
        at_x, at_y = x + (to_x - x) * number / ticks, y + (to_y - y) * number / ticks
        reach = _TOOL_WIDTH * (0.7 if number % 2 == 0 else 0.4)
        marks.append(_path(at_x, at_y, at_x + across_x * reach, at_y + across_y * reach, weight=1, colour="panel"))
    return _area(*_bar(x, y, to_x, to_y, _TOOL_WIDTH * 1.4), colour=_TOOL), *marks


def _dial(x: float, y: float, tip_y: float) -> tuple[Shape, ...]:
    """Return a dial gauge above the point that it touches."""
    return (_path(x, y, x, tip_y, weight=3, colour=_TOOL), _wheel(x, y, 0.13, weight=4, colour=_TOOL),
            _path(x, y, x + 0.07, y + 0.07, weight=2.5, colour=_ARROW),
            *(_path(x + 0.095 * math.sin(angle), y + 0.095 * math.cos(angle), x + 0.12 * math.sin(angle),
                    y + 0.12 * math.cos(angle), weight=1.5) for angle in (0, 1.05, 2.09, 3.14, 4.19, 5.24)))


def _turn(x: float, y: float, radius: float) -> tuple[Shape, ...]:
    """Return a curved arrow: turn it round once."""
    points = [value for step in range(13) for angle in (math.radians(200 - 15 * step),)
              for value in (x + radius * math.cos(angle), y + radius * math.sin(angle))]
    tip_x, tip_y = points[-2:]
    return (_path(*points, weight=2.5, colour="edge"),
            _path(tip_x - 0.04, tip_y + 0.05, tip_x, tip_y, tip_x + 0.045, tip_y + 0.03, weight=2.5, colour="edge"))


def _chain(x: float, to_x: float, y: float, sag: float, links: int) -> tuple[Shape, ...]:
    """Return a strand of chain from pin to pin, hanging by `sag`."""
    pins = [(x + (to_x - x) * n / links, y - sag * (1 - (2 * n / links - 1) ** 2)) for n in range(links + 1)]
    pairs = itertools.pairwise(pins)
    plates = [_path(*a, *b, weight=6 if number % 2 else 3, colour="edge") for number, (a, b) in enumerate(pairs)]
    return *plates, *(_wheel(*pin, 0.018, "ink", 1) for pin in pins)


def _ground(y: float = 0.08) -> tuple[Shape, ...]:
    hatch = (_path(x, y, x - 0.06, y - 0.06, weight=1.5, colour="edge") for x in (0.15 * n for n in range(1, 11)))
    return _path(0.02, y, 1.58, y, weight=3), *hatch


def _sprocket(x: float, y: float, radius: float, teeth: int = 14) -> tuple[Shape, ...]:
    tips = (_path(*_polar(x, y, radius, angle), *_polar(x, y, radius * 1.18, angle), weight=4)
            for angle in (2 * math.pi * n / teeth for n in range(teeth)))
    return *tips, _wheel(x, y, radius, "faint"), _wheel(x, y, radius * 0.2, "ink", 1)


def _polar(x: float, y: float, radius: float, angle: float) -> tuple[float, float]:
    return x + radius * math.cos(angle), y + radius * math.sin(angle)


# --- the pictures ---


def _strand_sag() -> Iterable[Shape]:
    yield from _sprocket(0.25, 0.42, 0.2)
    yield from _sprocket(1.35, 0.42, 0.2)
    yield from _chain(0.25, 1.35, 0.655, 0.17, 14)
    yield from _straight_edge(0.12, 0.68, 1.48, 0.68)
    yield from _rule(0.86, 0.45, 0.86, 0.95)
    yield from _arrow(0.75, 0.5, 0.75, 0.67)


def _pitches() -> Iterable[Shape]:
    yield from _chain(0.12, 1.48, 0.6, 0.0, 12)
    yield from _rule(0.12, 0.42, 1.48, 0.42, 24)
    yield from (_path(x, 0.7, x, 0.36, weight=1.5, colour="edge") for x in (0.12, 1.48))
    yield from _arrow(0.12, 0.8, 1.48, 0.8)


def _links() -> Iterable[Shape]:
    yield from _sprocket(0.3, 0.5, 0.22)
    yield from _sprocket(1.3, 0.5, 0.22)
    yield from _chain(0.3, 1.3, 0.78, 0.05, 12)
    yield from _chain(0.3, 1.3, 0.27, 0.08, 12)
    yield _path(0.74, 0.68, 0.86, 0.84, weight=6, colour=_TOOL)
    yield from _turn(0.8, 0.5, 0.16)


def _centres() -> Iterable[Shape]:
    for x in (0.25, 1.35):
        yield from _sprocket(x, 0.6, 0.2)
        yield _path(x, 0.6, x, 0.15, weight=1.5, colour="edge")
    yield from _rule(0.25, 0.22, 1.35, 0.22, 24)
    yield from _arrow(0.25, 0.14, 1.35, 0.14)


def _flight() -> Iterable[Shape]:
    yield from _plate(0.05, 0.12, 1.55, 0.24)
    yield from _plate(0.72, 0.36, 0.88, 0.86)
    yield from _plate(0.64, 0.74, 0.96, 0.9)
    yield _area(0.2, 0.26, 1.0, 0.26, 1.0, 0.34, 0.2, 0.34, colour=_TOOL)
    yield from _arrow(1.12, 0.24, 1.12, 0.36)
    yield _path(0.88, 0.36, 1.2, 0.36, weight=1.5, colour="edge")


def _cleat() -> Iterable[Shape]:
    yield from _plate(0.05, 0.1, 1.55, 0.2)
    yield _path(0.05, 0.8, 1.55, 0.8, weight=6)
    for x, foot in ((0.3, 0.5), (0.8, 0.42), (1.3, 0.5)):
        yield from _plate(x - 0.03, foot, x + 0.03, 0.8)
    yield from _rule(0.95, 0.2, 0.95, 0.75)
    yield from _arrow(0.8, 0.21, 0.8, 0.41)


def _belt_edge() -> Iterable[Shape]:
    yield _area(0.3, 0.15, 1.3, 0.15, 1.3, 0.85, 0.3, 0.85)
    yield from (_path(x, 0.15, x, 0.85) for x in (0.3, 1.3))
    yield from (_path(0.36, y, 1.24, y, weight=4, colour="edge") for y in (0.3, 0.5, 0.7))
    yield from _plate(0.04, 0.05, 0.1, 0.95)
    yield from _plate(1.5, 0.05, 1.56, 0.95)
    yield from _rule(0.45, 0.42, 0.1, 0.42, 8)
    yield from _arrow(0.1, 0.52, 0.3, 0.52)
    yield from _arrow(1.3, 0.52, 1.5, 0.52)


def _marks() -> Iterable[Shape]:
    yield from _plate(0.05, 0.45, 1.55, 0.6)
    for x in (0.25, 1.35):
        yield _path(x, 0.43, x, 0.62, weight=5, colour=_ARROW)
    yield from _rule(0.25, 0.28, 1.35, 0.28, 24)
    yield from _arrow(0.25, 0.75, 1.35, 0.75)


def _height_left() -> Iterable[Shape]:
    yield from _plate(0.2, 0.6, 1.4, 0.78)
    yield _area(0.3, 0.6, 1.3, 0.6, 1.3, 0.3, 1.0, 0.22, 0.75, 0.32, 0.3, 0.26)
    yield _path(0.3, 0.6, 0.3, 0.26, 0.75, 0.32, 1.0, 0.22, 1.3, 0.3, 1.3, 0.6)
    yield from _rule(0.86, 0.3, 0.86, 0.85)
    yield from _arrow(0.75, 0.33, 0.75, 0.59)


def _thickness() -> Iterable[Shape]:
    yield from _plate(0.1, 0.25, 1.5, 0.42)
    yield _area(0.1, 0.42, 0.1, 0.6, 0.6, 0.6, 0.95, 0.42)
    yield _path(0.1, 0.42, 0.1, 0.6, 0.6, 0.6, 0.95, 0.42)
    yield from _rule(1.2, 0.2, 1.2, 0.85)
    yield from _arrow(1.08, 0.26, 1.08, 0.41)


def _ultrasonic() -> Iterable[Shape]:
    yield from _plate(0.1, 0.2, 1.5, 0.36)
    yield _area(0.7, 0.36, 0.86, 0.36, 0.86, 0.52, 0.7, 0.52, colour=_TOOL)
    yield _path(0.78, 0.52, 0.9, 0.66, 1.1, 0.7, weight=3, colour=_TOOL)
    yield from _plate(1.1, 0.58, 1.4, 0.88)
    yield _path(1.16, 0.74, 1.34, 0.74, weight=6, colour=_ARROW)
    yield from _arrow(0.55, 0.21, 0.55, 0.35)
    yield from (_wheel(x, 0.36, 0.018, _TOOL, 1) for x in (0.2, 0.4, 1.0, 1.2, 1.4))


def _feeler() -> Iterable[Shape]:
    yield from _plate(0.1, 0.12, 1.5, 0.36)
    yield from _plate(0.1, 0.48, 1.0, 0.78)
    yield _area(0.7, 0.385, 1.56, 0.4, 1.56, 0.44, 0.7, 0.455, colour=_TOOL)
    yield from _arrow(0.55, 0.36, 0.55, 0.48)


def _hook() -> Iterable[Shape]:
    tooth = (0.3, 0.1, 0.45, 0.5, 0.68, 0.85, 0.84, 0.85, 0.93, 0.5, 1.15, 0.1)
    yield _area(*tooth)
    yield _path(*tooth)
    yield _path(0.92, 0.88, 1.03, 0.5, 1.3, 0.1, weight=5, colour=_TOOL)
    yield from _arrow(0.9, 0.55, 1.02, 0.55)


def _out_of_line() -> Iterable[Shape]:
    yield from _plate(0.3, 0.16, 0.42, 0.5)
    yield from _plate(0.37, 0.6, 0.49, 0.94)
    yield from (_path(0.05, y, 1.5, y, weight=4, colour="edge") for y in (0.33, 0.77))
    yield from _straight_edge(0.42, 0.98, 0.42, 0.1)
    yield from _plate(0.3, 0.16, 0.42, 0.5)
    yield from _arrow(0.49, 0.86, 0.62, 0.86)
    yield from _rule(0.9, 0.68, 0.49, 0.68, 8)


def _run_out() -> Iterable[Shape]:
    yield from _plate(0.1, 0.3, 0.22, 0.62)
    yield from _plate(1.38, 0.3, 1.5, 0.62)
    yield from _plate(0.05, 0.4, 1.55, 0.52)
    yield from _dial(0.8, 0.8, 0.52)
    yield from _turn(1.2, 0.3, 0.12)


def _play() -> Iterable[Shape]:
    yield from _plate(0.2, 0.1, 0.6, 0.2)
    yield _wheel(0.4, 0.4, 0.22, "faint")
    yield _wheel(0.4, 0.4, 0.1)
    yield from _plate(0.4, 0.36, 1.3, 0.44)
    yield from _dial(1.0, 0.72, 0.44)
    yield _path(0.7, 0.08, 1.25, 0.34, weight=6, colour=_TOOL)
    yield _area(0.78, 0.05, 0.92, 0.05, 0.85, 0.14)
    yield from _arrow(1.42, 0.28, 1.42, 0.52)


def _temperature() -> Iterable[Shape]:
    yield from _plate(0.3, 0.1, 1.1, 0.22)
    yield _wheel(0.7, 0.42, 0.24, "faint")
    yield _wheel(0.7, 0.42, 0.1)
    yield _area(0.66, 0.66, 0.74, 0.66, 0.72, 0.76, 0.68, 0.76, colour="ink")
    yield _path(0.86, 0.6, 1.15, 0.82, weight=5, colour=_TOOL)
    yield from _plate(1.12, 0.76, 1.5, 0.94)
    yield _path(1.2, 0.85, 1.42, 0.85, weight=6, colour=_ARROW)


def _scale() -> Iterable[Shape]:
    yield from _plate(0.35, 0.1, 1.25, 0.34)
    yield _path(0.65, 0.22, 0.95, 0.22, weight=7, colour=_ARROW)
    yield _path(0.3, 0.38, 1.3, 0.38, weight=4)
    yield _area(0.6, 0.4, 1.0, 0.4, 0.92, 0.52, 0.8, 0.58, 0.68, 0.52, colour="edge")
    yield _path(0.8, 0.6, 0.8, 0.74, 0.7, 0.74, 0.3, 0.9, weight=5, colour=_TOOL)
    yield _path(0.3, 0.9, 0.16, 0.8, weight=5, colour=_TOOL)


def _thread() -> Iterable[Shape]:
    yield from _plate(0.1, 0.3, 0.3, 0.8)
    yield from _plate(0.05, 0.5, 1.4, 0.6)
    yield from (_path(x, 0.5, x + 0.03, 0.6, weight=1.5) for x in (0.55 + 0.06 * n for n in range(14)))
    yield from _plate(0.3, 0.42, 0.48, 0.68)
    yield from _rule(0.48, 0.3, 1.5, 0.3, 20)
    yield from _arrow(0.48, 0.8, 1.4, 0.8)


def _gate() -> Iterable[Shape]:
    yield from _plate(0.05, 0.12, 1.55, 0.22)
    yield from _plate(0.7, 0.46, 0.82, 0.94)
    yield from _rule(0.95, 0.22, 0.95, 0.85)
    yield from _arrow(0.76, 0.23, 0.76, 0.45)


def _stop_height() -> Iterable[Shape]:
    yield from _ground()
    yield from _plate(0.5, 0.42, 1.1, 0.56)
    yield from _plate(0.7, 0.3, 0.9, 0.42)
    yield from _rule(1.05, 0.08, 1.05, 0.5)
    yield from _arrow(0.8, 0.09, 0.8, 0.29)


def _level() -> Iterable[Shape]:
    yield from _plate(0.1, 0.3, 0.2, 0.9)
    yield from _plate(1.4, 0.3, 1.5, 0.9)
    yield _area(0.2, 0.3, 1.4, 0.36, 1.4, 0.46, 0.2, 0.4)
    yield _path(0.2, 0.3, 1.4, 0.36, 1.4, 0.46, 0.2, 0.4, closed=True)
    yield from _straight_edge(0.05, 0.74, 1.55, 0.74)
    yield _wheel(0.8, 0.765, 0.02, "panel", 1)
    yield from _arrow(0.3, 0.41, 0.3, 0.73)
    yield from _arrow(1.3, 0.46, 1.3, 0.73)


def _diagonal() -> Iterable[Shape]:
    yield _path(0.2, 0.12, 1.4, 0.12, 1.46, 0.88, 0.26, 0.88, weight=4, closed=True)
    for x, y in ((0.2, 0.12), (1.4, 0.12), (1.46, 0.88), (0.26, 0.88)):
        yield _wheel(x, y, 0.06)
    yield from _arrow(0.2, 0.12, 1.46, 0.88)
    yield _path(1.4, 0.12, 0.26, 0.88, weight=2, colour="edge")


def _bolts() -> Iterable[Shape]:
    yield from _plate(0.1, 0.25, 1.5, 0.5)
    yield from (_wheel(0.22 + 0.145 * n, 0.375, 0.05) for n in range(9))
    yield from _turn(0.8, 0.375, 0.14)
    yield _path(0.8, 0.375, 1.45, 0.85, weight=7, colour=_TOOL)
    yield _wheel(0.8, 0.375, 0.07, "", 4, _TOOL)


_DRAWN: dict[str, Callable[[], Iterable[Shape]]] = {
    "sag under a straight edge": _strand_sag,
    "length over pitches": _pitches,
    "links counted": _links,
    "shaft to shaft": _centres,
    "strip under a flight": _flight,
    "cleat over the pan": _cleat,
    "belt edge to frame": _belt_edge,
    "two marks": _marks,
    "height left": _height_left,
    "thickness left": _thickness,
    "ultrasonic thickness": _ultrasonic,
    "feeler in a gap": _feeler,
    "worn tooth": _hook,
    "sprockets in line": _out_of_line,
    "run-out": _run_out,
    "play of a shaft": _play,
    "housing temperature": _temperature,
    "weighing": _scale,
    "thread left": _thread,
    "opening of a gate": _gate,
    "height over the ground": _stop_height,
    "roller level": _level,
    "diagonals": _diagonal,
    "bolts that turn": _bolts,
}
