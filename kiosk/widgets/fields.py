"""Fields typed into by the kiosk's keys: a card with its name, what was typed, its verdict; yellow when active."""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.widgets.press import Touch
from kiosk.widgets.theme import load_kv, theme
from kiosk.widgets.words import text_size_px


class FieldCard(Touch, BoxLayout):
    """One field. A press asks to type into it.

    Args:
        name: 'left', 'right' or the field's title.
        typed: As typed; `tail` the unit or a hint behind it.
        mark: Verdict as a `Mark`, None while there is none.
    """

    name = StringProperty("")
    typed = StringProperty("")
    tail = StringProperty("")
    mark = ObjectProperty(None, allownone=True, rebind=True)
    active = BooleanProperty(False)
    cursor = BooleanProperty(True)
    largest = NumericProperty(theme.huge)

    def on_active(self, *_: object) -> None:
        """Put the field's colour on."""
        self.kind = "chosen" if self.active else "plain"

    def height_for(self, width_px: float) -> float:
        """Return the height [px] the card needs at this width."""
        mark = theme.mark + theme.pad / 2 if self.mark else 0
        name = text_size_px(self.name, theme.body, False, int(width_px - 2 * theme.pad - mark))[1]
        return float(max(theme.target, max(name, theme.mark) + theme.huge * 1.2 + theme.pad))


load_kv(__file__)
