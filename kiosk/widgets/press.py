"""What is pressed: one button for all screens, with words, an icon, or both, never smaller than a gloved finger.

`kind` says how it looks: 'plain', 'primary' (the one thing to do next), 'chosen', 'key' (a keypad's key) or 'quiet'.
"""

from __future__ import annotations

from kivy.properties import (
    BooleanProperty,
    ColorProperty,
    NumericProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.widget import Widget

from kiosk.widgets.drawing import Colour, Picture
from kiosk.widgets.theme import load_kv, theme
from kiosk.widgets.words import FittedWords, text_size_px, words_fit

# Roles of (ground, ink, rim) by kind.
LOOKS = {
    "plain": ("panel", "ink", "edge"),
    "primary": ("primary", "primary_ink", "primary"),
    "chosen": ("chosen", "chosen_ink", "outline"),
    "key": ("panel", "ink", "edge"),
    "quiet": ("faint", "ink", "faint"),
}
PRESSED = ("ink", "paper", "ink")
DISABLED = ("paper", "soft", "faint")


class Touch(ButtonBehavior, Widget):
    """Anything that is pressed; paints its ground by kind and state. Says nothing about what stands on it."""

    kind = OptionProperty("plain", options=list(LOOKS))
    ground = ColorProperty()
    ink = ColorProperty()
    rim = ColorProperty()
    look = NumericProperty(0)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        for name in ("kind", "state", "disabled", "look"):
            self.fbind(name, self._colour)
        self._colour()

    def _colour(self, *_: object) -> None:
        self.ground, self.ink, self.rim = (_role(role) for role in self._look())

    def _look(self) -> tuple[str, str, str]:
        if self.disabled:
            return DISABLED
        return PRESSED if self.state == "down" else LOOKS[self.kind]


class Press(Touch):
    """A button with words, an icon, or both. `upright` puts the icon above the words instead of beside them."""

    text = StringProperty("")
    icon = StringProperty("")
    upright = BooleanProperty(False)
    bold = BooleanProperty(True)
    largest = NumericProperty(theme.large)
    icon_side = NumericProperty(theme.mark)

    def __init__(self, **kwargs: object) -> None:
        self._picture = Picture()
        self._words = FittedWords()
        super().__init__(**kwargs)
        self.add_widget(self._picture)
        self.add_widget(self._words)
        for name in ("text", "icon", "upright", "bold", "largest", "icon_side", "ink", "pos", "size"):
            self.fbind(name, self._arrange)
        self._arrange()

    def _arrange(self, *_: object) -> None:
        picture, words, pad = self._picture, self._words, theme.pad / 2
        picture.figure, picture.ink, words.text, words.color = self.icon, self.ink, self.text, self.ink
        words.bold, words.largest = self.bold, self.largest
        words.halign = "left" if self.icon and not self.upright else "center"
        x, y, width, height = self.x + pad, self.y + pad, self.width - 2 * pad, self.height - 2 * pad
        # What shows nothing takes no room: a disabled one would swallow touches wherever Kivy first put it.
        _place(picture, x, y, 0, 0)
        _place(words, x, y, 0, 0)
        if self.icon and not self.text:
            _place(picture, x, y, width, height)
        elif self.icon and self.upright:
            room = height - self.icon_side
            if not words_fit(self.text, theme.body, self.bold, width, room):
                picture.figure, room = "", height  # no room for both: the words say it
            words_high = min(text_size_px(self.text, self.largest, self.bold, int(width))[1], room)
            spare = (height - self.icon_side - words_high) / 3 if picture.figure else (height - words_high) / 2
            _place(picture, x, y + height - spare - self.icon_side, width, self.icon_side)
            _place(words, x, y + spare, width, words_high)
        elif self.icon:
            _place(picture, x + pad, y, self.icon_side, height)
            _place(words, x + self.icon_side + 3 * pad, y, width - self.icon_side - 3 * pad, height)
        else:
            _place(words, x, y, width, height)


def _place(widget: Widget, x: float, y: float, width: float, height: float) -> None:
    widget.pos, widget.size = (x, y), (max(0, width), max(0, height))


def _role(role: str) -> Colour:
    colour: Colour = getattr(theme, role)
    return colour


load_kv(__file__)
