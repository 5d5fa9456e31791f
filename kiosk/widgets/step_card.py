"""What a step shows: its picture, and how far the list is."""

from __future__ import annotations

from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.properties import NumericProperty, StringProperty

from kiosk.widgets.drawing import Drawn, add_figure, theme_colour
from kiosk.widgets.step_pictures import STEP_PICTURES
from kiosk.widgets.theme import theme


class StepPicture(Drawn):
    """A step's drawing by name ('' for none), as large as fits."""

    picture = StringProperty("")
    redraw_on = ("picture",)

    def draw(self, group: InstructionGroup) -> None:
        """Draw the figure in the middle; a name that is not known draws nothing."""
        figure = STEP_PICTURES.get(self.picture)
        if figure is not None:
            side = min(self.width, self.height)
            add_figure(group, figure, (self.center_x - side / 2, self.center_y - side / 2, side), theme_colour)


class ListProgress(Drawn):
    """How much of a list is done, as a bar."""

    share = NumericProperty(0.0)
    redraw_on = ("share",)

    def draw(self, group: InstructionGroup) -> None:
        """Draw the bar faintly and what is done boldly."""
        group.add(Color(*theme.faint))
        group.add(Rectangle(pos=self.pos, size=self.size))
        group.add(Color(*theme.primary))
        group.add(Rectangle(pos=self.pos, size=(self.width * self.share, self.height)))
