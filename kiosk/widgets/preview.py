"""The camera's live picture, blitted into one texture; an empty frame with a word while there is none."""

from __future__ import annotations

from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.graphics.texture import Texture
from kivy.properties import ObjectProperty

from kiosk.widgets.drawing import Drawn, add_icon, line
from kiosk.widgets.theme import theme


class CameraPreview(Drawn):
    """Shows frames given to `put`."""

    texture = ObjectProperty(None, allownone=True)
    redraw_on = ("texture",)

    def put(self, frame: bytes, size: tuple[int, int]) -> None:
        """Show a frame: uint8, BGR, rows from the top, `size` = (width, height) [px]."""
        if self.texture is None or self.texture.size != size:
            texture = Texture.create(size=size, colorfmt="bgr")
            texture.flip_vertical()
            self.texture = texture
        self.texture.blit_buffer(frame, colorfmt="bgr", bufferfmt="ubyte")
        self.canvas.ask_update()

    def clear(self) -> None:
        """Show that there is no picture."""
        self.texture = None

    def draw(self, group: InstructionGroup) -> None:
        """Draw the picture as large as fits, or the sign of a camera."""
        if self.texture is None:
            side = min(self.width, self.height, theme.mark * 1.6)
            add_icon(group, "camera", (self.center_x - side / 2, self.center_y - side / 2, side), theme.edge)
            box = (self.x, self.y, self.right, self.y, self.right, self.top, self.x, self.top)
            group.add(line(box, theme.hairline, closed=True))
            return
        scale = min(self.width / self.texture.width, self.height / self.texture.height)
        width, height = self.texture.width * scale, self.texture.height * scale
        group.add(Color(1, 1, 1, 1))
        group.add(Rectangle(texture=self.texture, size=(width, height),
                            pos=(self.center_x - width / 2, self.center_y - height / 2)))
