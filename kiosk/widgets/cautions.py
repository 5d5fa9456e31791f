"""One caution as a card: the signal word on its band with our own warning sign, the hazard, what to do, the tick.

Signal words as in ANSI Z535.4 and ISO 3864-2 (meaning from memory). Each word has its own band colour and the sign; the
word is always written. The whole card is pressed to confirm it.
"""

from __future__ import annotations

from kivy.properties import ColorProperty, NumericProperty, ObjectProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.language import tr
from kiosk.widgets.press import Touch
from kiosk.widgets.theme import load_kv, theme
from kiosk.widgets.words import text_size_px


class CautionCard(Touch, BoxLayout):
    """Shows one `CautionRow`."""

    row = ObjectProperty(rebind=True)
    band = ColorProperty()
    band_ink = ColorProperty()
    band_width = NumericProperty(0)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        self.fbind("row", self._colour_band)
        self.fbind("look", self._colour_band)
        self._colour_band()

    def _colour_band(self, *_: object) -> None:
        signal = self.row.signal.lower()
        self.band, self.band_ink = getattr(theme, signal), getattr(theme, f"{signal}_ink")
        self.band_width = self._band_width_px()
        self.kind = "chosen" if self.row.confirmed else "plain"

    def _band_width_px(self) -> float:
        """Return the width [px] that holds the signal word unbroken, in whatever language."""
        word = text_size_px(tr(self.row.signal), theme.body, True)[0]
        return float(max(theme.side * 0.78, word + 1.2 * theme.pad))

    def height_for(self, width_px: float) -> float:
        """Return the height [px] that band and words need at this width."""
        text_width = int(width_px - self.band_width - 3 * theme.pad - theme.mark * 1.4 - 3 * theme.hairline)
        words = (text_size_px(self.row.hazard, theme.body, True, text_width)[1]
                 + text_size_px(self.row.action, theme.body, False, text_width)[1])
        return float(max(theme.target, words + 1.5 * theme.pad))


load_kv(__file__)
