"""Short texts drawn straight on a canvas, for scales and diagrams; each is rendered once and kept."""

from __future__ import annotations

from functools import lru_cache

from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.graphics.texture import Texture

from kiosk.widgets.drawing import Colour
from kiosk.widgets.theme import FONT


@lru_cache(maxsize=512)
def text_texture(text: str, font_px: int, bold: bool = False) -> Texture:
    """Return a white picture of the text."""
    label = CoreLabel(text=text, font_size=font_px, font_name=FONT, bold=bold)
    label.refresh()
    return label.texture


def add_text(group: InstructionGroup, text: str, at: tuple[float, float], font_px: float, colour: Colour,
             bold: bool = False, anchor: tuple[float, float] = (0.5, 0.5)) -> None:
    """Draw a text [px]; `anchor` is the part of its box, 0..1, that lies at `at`."""
    if not text:
        return
    texture = text_texture(text, int(font_px), bold)
    width, height = texture.size
    group.add(Color(*colour))
    group.add(Rectangle(texture=texture, size=texture.size,
                        pos=(round(at[0] - anchor[0] * width), round(at[1] - anchor[1] * height))))


def text_width(text: str, font_px: float, bold: bool = False) -> float:
    """Return how wide the text is [px]."""
    return float(text_texture(text, int(font_px), bold).width) if text else 0.0
