"""Puts figures on a canvas, in the theme's colours; `Picture` shows one by name."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.clock import Clock
from kivy.graphics import Color, Ellipse, InstructionGroup, Line, Mesh
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from kiosk.widgets.figures import ICONS, Arc, Disc, Figure, Fill, Part, Stroke
from kiosk.widgets.theme import load_kv, theme

Colour = Sequence[float]
ColourOf = Callable[[str], Colour]


def theme_colour(role: str) -> Colour:
    """Return the theme's colour of a role."""
    colour: Colour = getattr(theme, role)
    return colour


def polygon(points: Sequence[float]) -> Mesh:
    """Return a filled outline [px]; every corner must be seen from the first."""
    vertices: list[float] = []
    for x, y in zip(points[::2], points[1::2], strict=True):
        vertices += [x, y, 0, 0]
    return Mesh(vertices=vertices, indices=list(range(len(points) // 2)), mode="triangle_fan")


def line(points: Sequence[float], width_px: float, closed: bool = False) -> Line:
    """Return a line [px] with round joints and ends, `width_px` wide."""
    return Line(points=list(points), width=max(1.0, width_px / 2), close=closed, joint="round", cap="round")


def add_figure(group: InstructionGroup, figure: Figure, box: Sequence[float], colour_of: ColourOf) -> None:
    """Draw a figure into a square of `box` = (x, y, side) [px]."""
    for part in figure:
        group.add(Color(*colour_of(part.colour)))
        group.add(_instruction(part, *box))


def add_icon(group: InstructionGroup, name: str, box: Sequence[float], ink: Colour) -> None:
    """Draw an icon by name; parts without a role of their own in `ink`."""
    add_figure(group, ICONS[name], box, lambda role: ink if role == "ink" else theme_colour(role))


def _instruction(part: Part, x: float, y: float, side: float) -> Line | Mesh | Ellipse:
    if isinstance(part, Stroke):
        return line(_placed(part.points, x, y, side), part.width * side, part.closed)
    if isinstance(part, Fill):
        return polygon(_placed(part.points, x, y, side))
    if isinstance(part, Disc):
        reach = part.radius * side
        centre_x, centre_y = x + part.x * side, y + part.y * side
        return Ellipse(pos=(centre_x - reach, centre_y - reach), size=(2 * reach, 2 * reach))
    return _arc(part, x, y, side)


def _arc(part: Arc, x: float, y: float, side: float) -> Line:
    circle = (x + part.x * side, y + part.y * side, part.radius * side, part.start, part.end)
    return Line(circle=circle, width=max(1.0, part.width * side / 2), cap="round", joint="round")


def _placed(points: Sequence[float], x: float, y: float, side: float) -> list[float]:
    return [base + side * value for value, base in zip(points, (x, y) * (len(points) // 2), strict=True)]


class Drawn(Widget):
    """A widget whose `draw` fills its canvas again whenever its place, size or the theme changes.

    Subclasses add their own properties to `redraw_on` and write `draw(group)`.
    """

    redraw_on: tuple[str, ...] = ()
    look = NumericProperty(0)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        # Once a frame: while one side of a widget moves, Kivy still remembers the old centre and edges.
        self.redraw = Clock.create_trigger(self._draw_again, -1)
        for name in ("pos", "size", "look", *self.redraw_on):
            self.fbind(name, self.redraw)
        self.redraw()

    def _draw_again(self, *_: object) -> None:
        self._drawing.clear()
        if self.width > 0 and self.height > 0:
            self.draw(self._drawing)

    def draw(self, group: InstructionGroup) -> None:
        """Fill `group` with this widget's drawing."""


class Picture(Drawn):
    """An icon or mark by name ('' for none), as large as fits."""

    figure = StringProperty("")
    ink = ColorProperty(theme.ink)
    redraw_on = ("figure", "ink")

    def draw(self, group: InstructionGroup) -> None:
        """Draw the figure in the middle."""
        if not self.figure:
            return
        side = min(self.width, self.height)
        add_icon(group, self.figure, (self.center_x - side / 2, self.center_y - side / 2, side), self.ink)


load_kv(__file__)
