"""A chart as a picture, drawn on a worker at the size it has; the screen's thread only takes the finished picture."""

from __future__ import annotations

import io
import threading

from kivy.clock import Clock
from kivy.core.image import Image as CoreImage
from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.properties import ObjectProperty

from kiosk.language import tr
from kiosk.widgets.canvas_text import add_text
from kiosk.widgets.drawing import Drawn
from kiosk.widgets.theme import theme

LEAST_PX = 120


class ChartPicture(Drawn):
    """Shows a `ports.Drawing`; nothing while there is none."""

    drawing = ObjectProperty(None, allownone=True)
    texture = ObjectProperty(None, allownone=True)
    redraw_on = ("texture", "drawing")

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        self._asked: tuple[object, int, int] | None = None
        self._ask = Clock.create_trigger(lambda _: self._draw_later())
        for name in ("drawing", "size"):
            self.fbind(name, self._changed)

    def _changed(self, *_: object) -> None:
        self._ask()

    def _draw_later(self) -> None:
        wanted = (self.drawing, int(self.width), int(self.height))
        if wanted == self._asked:
            return
        self._asked = wanted
        self.texture = None
        if self.drawing is not None and min(wanted[1:]) >= LEAST_PX:
            threading.Thread(target=self._draw, args=wanted, name="chart", daemon=True).start()

    def _draw(self, drawing: object, width: int, height: int) -> None:
        png = drawing.png(width, height, theme.body)  # type: ignore[attr-defined]
        Clock.schedule_once(lambda _: self._take((drawing, width, height), png))

    def _take(self, wanted: tuple[object, int, int], png: bytes) -> None:
        if wanted == self._asked:  # the page may have gone on meanwhile
            self.texture = CoreImage(io.BytesIO(png), ext="png").texture

    def draw(self, group: InstructionGroup) -> None:
        """Show the finished picture in its own size; until it comes, say that it is being drawn."""
        if self.texture is not None:
            group.add(Color(1, 1, 1, 1))
            group.add(Rectangle(texture=self.texture, pos=self.pos, size=self.texture.size))
        elif self.drawing is not None:
            add_text(group, tr("The chart is being drawn …"), (self.center_x, self.center_y), theme.body, theme.ink,
                     anchor=(0.5, 0.5))
