"""A row that counts up and down by two large keys, and the ring of a run with what is left in words."""

from __future__ import annotations

from kivy.graphics import Color, InstructionGroup, Line
from kivy.properties import ObjectProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.widgets.drawing import Drawn, add_icon
from kiosk.widgets.theme import load_kv, theme

RING_SHARE = 0.42


class StepperRow(BoxLayout):
    """One `TurnRow`: minus key, what it stands at, plus key. Event `on_step(by)` with -1 or +1."""

    state = ObjectProperty(rebind=True)
    __events__ = ("on_step",)

    def on_step(self, by: int) -> None:
        """Event: a key was pressed."""

    def height_for(self, _width_px: float) -> float:
        """Return the height [px] the row needs at this width."""
        return float(theme.target)


class RunClock(Drawn):
    """Draws one `RunState`: a ring that empties, the mark of its state in the middle."""

    state = ObjectProperty(None, allownone=True, rebind=True)
    redraw_on = ("state",)

    def draw(self, group: InstructionGroup) -> None:
        """Draw the whole ring faintly, what is left of it boldly, and the mark."""
        if self.state is None:
            return
        reach = min(self.width, self.height) * RING_SHARE
        broad = max(theme.hairline * 3, reach * 0.12)
        group.add(Color(*theme.faint))
        group.add(Line(circle=(self.center_x, self.center_y, reach), width=broad))
        if self.state.share_left > 0:
            group.add(Color(*theme.ink))
            end = 360 * self.state.share_left
            group.add(Line(circle=(self.center_x, self.center_y, reach, 0, end), width=broad, cap="none"))
        side = reach * 0.8
        add_icon(group, f"mark_{self.state.mark.shape}", (self.center_x - side / 2, self.center_y - side / 2, side),
                 theme.ink)


load_kv(__file__)
