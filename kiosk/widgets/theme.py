"""The look in one object: sizes in pixels of this panel, colours of the theme chosen, our fonts.

Screens and widgets read `theme.…` in their .kv files and follow it when it changes. Sizes are set in millimetres and
turned into pixels by the panel's pixels per inch, so that a key is 20 mm on any panel.
"""

from __future__ import annotations

import math
from pathlib import Path

from kivy.core.text import LabelBase
from kivy.event import EventDispatcher
from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, StringProperty

from kiosk.widgets.palette import PALETTES

FONT = "KioskSans"
# Gloved hand: 20 mm targets with 5 mm between. Common practice, no source; MIL-STD-1472E gives 19 mm keys for mittens.
TARGET_MM = 20.0
GAP_MM = 5.0
# Height of a capital seen at 22 minutes of arc from 600 mm; ISO 9241-303 prefers 20 to 22 (from memory).
CAPITAL_MM = 3.84
# Height of a capital in DejaVu Sans Condensed over its size: 1493 of 2048 units, read from the font file.
CAPITAL_OVER_SIZE = 1493 / 2048
SMALLEST_FONT_MM = CAPITAL_MM / CAPITAL_OVER_SIZE


def assets_folder() -> Path:
    """Return the folder of fonts and sounds: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parents[1]
    inside = package / "assets"
    return inside if inside.is_dir() else package.parent / "assets"


def load_kv(module_file: str) -> None:
    """Load the .kv file that stands beside a module; called once, where the module is imported."""
    Builder.load_file(str(Path(module_file).with_suffix(".kv")))


LabelBase.register(
    FONT,
    fn_regular=str(assets_folder() / "fonts" / "DejaVuSansCondensed.ttf"),
    fn_bold=str(assets_folder() / "fonts" / "DejaVuSansCondensed-Bold.ttf"),
)


class Theme(EventDispatcher):
    """Sizes [px] and colours; `fit_panel` and `choose` set them, everything shown follows.

    What is drawn in Python follows `version`, by a rule in its .kv file: such a binding ends with its widget.
    """

    font = StringProperty(FONT)
    name = StringProperty("day")
    ppi = NumericProperty(96.0)
    width = NumericProperty(1280)
    height = NumericProperty(800)
    target = NumericProperty(76)
    gap = NumericProperty(19)
    pad = NumericProperty(10)
    hairline = NumericProperty(2)
    corner = NumericProperty(6)
    mark = NumericProperty(30)
    side = NumericProperty(150)
    body = NumericProperty(20)
    large = NumericProperty(26)
    huge = NumericProperty(40)
    line = NumericProperty(26)
    header = NumericProperty(28)
    edge_pad = NumericProperty(0)

    paper = ColorProperty()
    panel = ColorProperty()
    ink = ColorProperty()
    soft = ColorProperty()
    edge = ColorProperty()
    faint = ColorProperty()
    primary = ColorProperty()
    primary_ink = ColorProperty()
    chosen = ColorProperty()
    chosen_ink = ColorProperty()
    good = ColorProperty()
    unsure = ColorProperty()
    bad = ColorProperty()
    due = ColorProperty()
    overdue = ColorProperty()
    neutral = ColorProperty()
    danger = ColorProperty()
    danger_ink = ColorProperty()
    warning = ColorProperty()
    warning_ink = ColorProperty()
    caution = ColorProperty()
    caution_ink = ColorProperty()
    notice = ColorProperty()
    notice_ink = ColorProperty()
    outline = ColorProperty()
    line_left = ColorProperty()
    line_right = ColorProperty()

    version = NumericProperty(0)

    def fit_panel(self, width_px: int, height_px: int, ppi: float) -> None:
        """Work all sizes out for a panel of `ppi` pixels per inch."""
        self.ppi, self.width, self.height = ppi, width_px, height_px
        self.target = pixels(TARGET_MM, ppi)
        self.gap = pixels(GAP_MM, ppi)
        self.pad = pixels(2, ppi)
        self.hairline = pixels(0.4, ppi)
        self.corner = pixels(1.5, ppi)
        self.mark = pixels(7, ppi)
        self.side = pixels(38, ppi)
        self.body = pixels(SMALLEST_FONT_MM, ppi)
        self.large = pixels(SMALLEST_FONT_MM * 1.25, ppi)
        self.huge = pixels(SMALLEST_FONT_MM * 1.9, ppi)
        # DejaVu's own line height is 1.164 of the size; a little air keeps lines apart.
        self.line = pixels(SMALLEST_FONT_MM * 1.25, ppi)
        self.header = self.line + self.hairline
        five_buttons = 5 * self.target + 4 * self.gap
        self.edge_pad = max(0, min(self.pad, (height_px - self.header - five_buttons) / 2))
        self.version += 1

    def choose(self, name: str) -> None:
        """Put the 'day' or 'night' colours on."""
        self.name = name
        for role, colour in PALETTES[name].items():
            setattr(self, role, colour)
        self.version += 1

def pixels(length_mm: float, ppi: float) -> int:
    """Return the whole pixels that are at least `length_mm` on a panel of `ppi` pixels per inch."""
    return math.ceil(length_mm * ppi / 25.4 - 1e-9)


theme = Theme()
theme.choose("day")
theme.fit_panel(1280, 800, 125.8)
