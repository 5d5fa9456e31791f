"""Puts the shapes of `designs` on a canvas; `MeasurePicture` shows how a reading is taken."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Ellipse, InstructionGroup, Line
from kivy.properties import StringProperty

from kiosk.widgets import designs, measure_pictures
from kiosk.widgets.drawing import Drawn, line, polygon, theme_colour
from kiosk.widgets.theme import theme


class ShapesDrawing(Drawn):
    """Draws shapes of `designs` as large as fits, in their own proportions, with room for marks around."""

    marks_around = 0.5

    def _draw_shapes(self, group: InstructionGroup, shapes: Sequence[designs.Shape]) -> None:
        self._place_box()
        for shape in shapes:
            self._draw_shape(group, shape)

    def _place_box(self) -> None:
        margin = theme.mark * self.marks_around
        width, height = self.width - 2 * margin, self.height - 2 * margin
        self._wide = min(width, height * designs.ASPECT)
        self._high = self._wide / designs.ASPECT
        self._left, self._foot = self.center_x - self._wide / 2, self.center_y - self._high / 2

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return self._left + x * self._wide, self._foot + y * self._high

    def _placed(self, points: Sequence[float]) -> list[float]:
        return [value for x, y in zip(points[::2], points[1::2], strict=True) for value in self._at(x, y)]

    def _draw_shape(self, group: InstructionGroup, shape: designs.Shape) -> None:
        group.add(Color(*theme_colour(shape.colour)))
        if isinstance(shape, designs.Area):
            group.add(polygon(self._placed(shape.points)))
        elif isinstance(shape, designs.Path):
            group.add(line(self._placed(shape.points), shape.weight * theme.hairline, shape.closed))
        else:
            self._draw_wheel(group, shape)

    def _draw_wheel(self, group: InstructionGroup, wheel: designs.Wheel) -> None:
        (x, y), reach = self._at(wheel.x, wheel.y), wheel.radius * self._high
        if wheel.fill:
            group.add(Color(*theme_colour(wheel.fill)))
            group.add(Ellipse(pos=(x - reach, y - reach), size=(2 * reach, 2 * reach)))
            group.add(Color(*theme_colour(wheel.colour)))
        group.add(Line(circle=(x, y, reach), width=max(1, wheel.weight * theme.hairline / 2)))


class MeasurePicture(ShapesDrawing):
    """How a reading is taken, by the picture's name; nothing for ''."""

    marks_around = 0.0
    picture = StringProperty("")
    redraw_on = ("picture",)

    def draw(self, group: InstructionGroup) -> None:
        """Draw the part, the instrument and what is read."""
        self._draw_shapes(group, measure_pictures.shapes_of(self.picture))
