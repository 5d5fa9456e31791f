"""A photo from a file, as large as fits."""

from __future__ import annotations

from kivy.core.image import Image as CoreImage
from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.properties import ObjectProperty, StringProperty

from kiosk.widgets.drawing import Drawn


class PhotoPicture(Drawn):
    """Shows the photo at `path`; nothing for ''."""

    path = StringProperty("")
    texture = ObjectProperty(None, allownone=True)
    redraw_on = ("texture",)

    def on_path(self, *_: object) -> None:
        """Read the file; its name says what is in it, so that a path always means the same picture."""
        self.texture = CoreImage(self.path).texture if self.path else None

    def draw(self, group: InstructionGroup) -> None:
        """Draw it in the middle."""
        if self.texture is None:
            return
        scale = min(self.width / self.texture.width, self.height / self.texture.height)
        size = (self.texture.width * scale, self.texture.height * scale)
        group.add(Color(1, 1, 1, 1))
        group.add(Rectangle(texture=self.texture, size=size,
                            pos=(self.center_x - size[0] / 2, self.center_y - size[1] / 2)))
