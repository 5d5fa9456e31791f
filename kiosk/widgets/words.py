"""Text: `Words` wraps and takes the height it needs, `FittedWords` fits itself into the place it has.

`text_size_px` measures without drawing, so that lists can be laid out before anything is shown. No text is ever drawn
smaller than the theme's `body` size, and none is cut off with dots.
"""

from __future__ import annotations

from functools import lru_cache

from kivy.core.text import Label as CoreLabel
from kivy.properties import NumericProperty
from kivy.uix.label import Label

from kiosk.widgets.theme import FONT, load_kv, theme


@lru_cache(maxsize=8192)
def text_size_px(text: str, font_px: float, bold: bool = False, width_px: int | None = None) -> tuple[int, int]:
    """Return (width, height) [px] that `text` takes, wrapped at `width_px` if given."""
    label = CoreLabel(text=text, font_size=font_px, font_name=FONT, bold=bold, text_size=(width_px, None))
    label.resolve_font_name()
    width, height = label.render()
    return int(width), int(height)


def words_fit(text: str, font_px: float, bold: bool, width_px: float, height_px: float) -> bool:
    """Return whether `text`, wrapped between words only, fits into the box."""
    if text_size_px(text, font_px, bold, int(width_px))[1] > height_px:
        return False
    return all(text_size_px(word, font_px, bold)[0] <= width_px for word in text.split())


class Words(Label):
    """A paragraph: as wide as its place, as high as its text, at once and not only when it has been drawn."""

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        for name in ("text", "width", "font_size", "bold"):
            self.fbind(name, self._take_height)
        self._take_height()

    def _take_height(self, *_: object) -> None:
        self.height = text_size_px(self.text, self.font_size, self.bold, int(self.width))[1] if self.text else 0


class FittedWords(Label):
    """Text as large as fits between `smallest` and `largest` [px]."""

    largest = NumericProperty(theme.large)
    smallest = NumericProperty(theme.body)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        for name in ("text", "size", "largest", "smallest", "bold"):
            self.fbind(name, self._fit)
        self._fit()

    def _fit(self, *_: object) -> None:
        size = int(self.largest)
        while size > self.smallest and not words_fit(self.text, size, self.bold, self.width, self.height):
            size -= 1
        self.font_size = size


load_kv(__file__)
