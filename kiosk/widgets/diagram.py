"""The drawn assembly with every position marked by its state.

Marks are closer together than fingers, so a tap anywhere asks for the positions nearest to it, in order; the screen
lists them in rows of a finger's height.
"""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Ellipse, InstructionGroup
from kivy.input import MotionEvent
from kivy.properties import ListProperty, ObjectProperty
from kivy.uix.behaviors import ButtonBehavior

from kiosk.widgets import designs
from kiosk.widgets.drawing import add_icon
from kiosk.widgets.shapes import ShapesDrawing
from kiosk.widgets.theme import theme

# Drawn in this order, so that what needs a hand lies on top.
_SHAPES_UPWARD = ("ring", "circle", "clock", "diamond", "triangle", "square")
_QUIET_SHAPES = ("ring", "circle")


class Diagram(ButtonBehavior, ShapesDrawing):
    """Draws one `DiagramState`. Event `on_near(position_ids)`: a tap, nearest position first."""

    diagram = ObjectProperty(None, allownone=True, rebind=True)
    highlighted = ListProperty()
    redraw_on = ("diagram", "highlighted")
    __events__ = ("on_near",)

    def on_near(self, position_ids: Sequence[str]) -> None:
        """Event: the diagram was tapped."""

    def on_release(self) -> None:
        """Bring the positions in order of their distance from the tap."""
        touch: MotionEvent = self.last_touch
        marks = sorted(self.diagram.marks, key=lambda mark: self._distance(mark, touch.x, touch.y))
        self.dispatch("on_near", tuple(mark.position_id for mark in marks))

    def draw(self, group: InstructionGroup) -> None:
        """Draw the design, then the marks."""
        if self.diagram is None:
            return
        self._draw_shapes(group, designs.shapes_of(self.diagram.design))
        for mark in sorted(self.diagram.marks, key=lambda mark: _SHAPES_UPWARD.index(mark.mark.shape)):
            self._draw_mark(group, mark)

    def _distance(self, mark: object, x: float, y: float) -> float:
        mark_x, mark_y = self._at(mark.x, mark.y)
        return float((mark_x - x) ** 2 + (mark_y - y) ** 2)

    def _draw_mark(self, group: InstructionGroup, mark: object) -> None:
        x, y = self._at(mark.x, mark.y)
        side = theme.mark * (0.45 if mark.mark.shape in _QUIET_SHAPES else 0.9)
        if mark.position_id in self.highlighted:
            group.add(Color(*theme.chosen))
            group.add(Ellipse(pos=(x - side * 0.8, y - side * 0.8), size=(side * 1.6, side * 1.6)))
        add_icon(group, f"mark_{mark.mark.shape}", (x - side / 2, y - side / 2, side), theme.ink)
