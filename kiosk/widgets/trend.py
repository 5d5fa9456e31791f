"""A reading over the hours: points of each side in their own shape, the fitted line with its band, the limits.

Drawn on a plain canvas, because it is drawn again while the screen is in use; everything arrives scaled to 0..1.
"""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Ellipse, InstructionGroup, Line, Mesh, Rectangle
from kivy.properties import ObjectProperty

from kiosk.widgets.canvas_text import add_text, text_width
from kiosk.widgets.drawing import Drawn, line
from kiosk.widgets.theme import theme


class TrendChart(Drawn):
    """Draws one `TrendState`, or nothing without one."""

    state = ObjectProperty(None, allownone=True, rebind=True)
    redraw_on = ("state",)

    def draw(self, group: InstructionGroup) -> None:
        """Draw axes, limits, band and line, then the points over them."""
        if self.state is None:
            return
        margin = max((text_width(tick.text, theme.body) for tick in self.state.y_ticks), default=0) + theme.pad
        self._box = (self.x + margin, self.y + theme.line + theme.pad,
                     self.width - margin - theme.pad * 2, self.height - theme.line * 1.5 - theme.pad * 2)
        self._draw_axes(group)
        self._draw_band(group)
        self._draw_limits(group)
        self._draw_events(group)
        for points in self.state.points:
            self._draw_points(group, points)
        self._draw_names(group)

    def _x(self, part: float) -> float:
        return self._box[0] + part * self._box[2]

    def _y(self, part: float) -> float:
        return self._box[1] + part * self._box[3]

    def _draw_axes(self, group: InstructionGroup) -> None:
        group.add(Color(*theme.panel))
        group.add(Rectangle(pos=self._box[:2], size=self._box[2:]))
        for tick in self.state.y_ticks:
            self._draw_grid_line(group, (self._x(0), self._y(tick.at), self._x(1), self._y(tick.at)))
            add_text(group, tick.text, (self._x(0) - theme.pad / 2, self._y(tick.at)), theme.body, theme.ink,
                     anchor=(1, 0.5))
        for tick in self.state.x_ticks:
            self._draw_grid_line(group, (self._x(tick.at), self._y(0), self._x(tick.at), self._y(1)))
        self._write_x_ticks(group)

    def _draw_grid_line(self, group: InstructionGroup, points: Sequence[float]) -> None:
        group.add(Color(*theme.faint))
        group.add(line(points, theme.hairline))

    def _write_x_ticks(self, group: InstructionGroup) -> None:
        """Write as many of the texts below the axis as stand free of each other."""
        free_from = self.x
        for tick in self.state.x_ticks:
            wide = text_width(tick.text, theme.body)
            left = min(self._x(tick.at) - wide / 2, self.right - wide)
            if left >= free_from:
                add_text(group, tick.text, (left, self.y + theme.line / 2), theme.body, theme.ink, anchor=(0, 0.5))
                free_from = left + wide + theme.pad

    def _draw_limits(self, group: InstructionGroup) -> None:
        for limit in (self.state.lower, self.state.upper):
            if limit is not None:
                group.add(Color(*theme.ink))
                group.add(line((self._x(0), self._y(limit), self._x(1), self._y(limit)), theme.hairline * 2))

    def _draw_band(self, group: InstructionGroup) -> None:
        if self.state.band_x:
            group.add(Color(*theme.faint))
            group.add(self._band_mesh())
        if self.state.line:
            flat = [value for x, y in self.state.line for value in (self._x(x), self._y(y))]
            group.add(Color(*theme.ink))
            group.add(Line(points=flat, width=theme.hairline, dash_length=theme.pad, dash_offset=theme.pad / 2))

    def _band_mesh(self) -> Mesh:
        vertices: list[float] = []
        for x, low, high in zip(self.state.band_x, self.state.band_low, self.state.band_high, strict=True):
            vertices += [self._x(x), self._y(low), 0, 0, self._x(x), self._y(high), 0, 0]
        return Mesh(vertices=vertices, indices=list(range(len(vertices) // 4)), mode="triangle_strip")

    def _draw_events(self, group: InstructionGroup) -> None:
        """Mark adjustments and replacements by a small roof at the foot of the plot."""
        reach = theme.pad / 2
        group.add(Color(*theme.ink))
        for at in self.state.events:
            x, y = self._x(at), self._y(0)
            group.add(line((x - reach, y, x, y + 2 * reach, x + reach, y), theme.hairline))

    def _draw_points(self, group: InstructionGroup, points: object) -> None:
        reach = theme.pad * 0.45
        group.add(Color(*(theme.line_left if points.shape == "dot" else theme.line_right)))
        for at_x, at_y in zip(points.x, points.y, strict=True):
            self._draw_point(group, points.shape, self._x(at_x), self._y(at_y), reach)

    def _draw_point(self, group: InstructionGroup, shape: str, x: float, y: float, reach: float) -> None:
        if shape == "dot":
            group.add(Ellipse(pos=(x - reach, y - reach), size=(2 * reach, 2 * reach)))
            return
        group.add(line((x - reach, y - reach, x + reach, y + reach), theme.hairline * 1.5))
        group.add(line((x - reach, y + reach, x + reach, y - reach), theme.hairline * 1.5))

    def _draw_names(self, group: InstructionGroup) -> None:
        """Write which shape is which side, above the plot."""
        x, y = self._x(0), self.top - theme.line / 2
        for points in self.state.points:
            if not points.name:
                continue
            group.add(Color(*(theme.line_left if points.shape == "dot" else theme.line_right)))
            self._draw_point(group, points.shape, x + theme.pad, y, theme.pad * 0.6)
            add_text(group, points.name, (x + theme.pad * 2.2, y), theme.body, theme.ink, anchor=(0, 0.5))
            x += theme.pad * 5 + text_width(points.name, theme.body)
