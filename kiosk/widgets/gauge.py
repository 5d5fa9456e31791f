"""The gauge under a reading: the band between the limits, the value as a needle, its uncertainty as a bar across.

Everything arrives scaled to 0..1 of the scale with finished labels. Inside the limits is a raised solid band, outside
a thin hatched one, so that the two differ without colour. Beyond the scale the needle becomes an arrow.
"""

from __future__ import annotations

from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.properties import ObjectProperty

from kiosk.widgets.canvas_text import add_text, text_width
from kiosk.widgets.drawing import Drawn, line, polygon
from kiosk.widgets.theme import theme


class Gauge(Drawn):
    """Draws one `GaugeState`, or nothing without one."""

    state = ObjectProperty(None, allownone=True, rebind=True)
    redraw_on = ("state",)

    def draw(self, group: InstructionGroup) -> None:
        """Draw the limits' labels at the foot, the band above them, the needle on it, the verdict on top."""
        if self.state is None:
            return
        self._left, self._wide = self.x + theme.pad, self.width - 2 * theme.pad
        room = self.height - 2 * theme.line
        self._thick = min(room * 0.42, theme.mark)
        if self._thick < theme.hairline * 2:
            return  # not laid out yet
        self._foot = self.y + theme.line + (room - self._thick * 2.1) / 2
        self._draw_band(group)
        self._draw_limits(group)
        self._draw_value(group)
        self._draw_labels(group)
        top = self._foot + self._thick * 2.1 + theme.line / 2
        add_text(group, self.state.mark.word, (self.center_x, top), theme.body, theme.ink)

    def _at(self, part: float) -> float:
        return self._left + part * self._wide

    def _draw_band(self, group: InstructionGroup) -> None:
        low = 0.0 if self.state.lower is None else self.state.lower
        high = 1.0 if self.state.upper is None else self.state.upper
        middle = self._foot + self._thick / 2
        group.add(Color(*theme.edge))
        for start, end in ((0.0, low), (high, 1.0)):
            self._draw_hatching(group, start, end)
        group.add(line((self._at(0), middle, self._at(1), middle), theme.hairline * 2))
        if self.state.lower is None and self.state.upper is None:
            return
        group.add(Color(*theme.good))
        group.add(Rectangle(pos=(self._at(low), self._foot), size=((high - low) * self._wide, self._thick)))

    def _draw_hatching(self, group: InstructionGroup, start: float, end: float) -> None:
        step = self._thick / 2
        x = self._at(start) + step / 2
        while x + step / 2 < self._at(end):
            group.add(line((x - step / 4, self._foot + self._thick * 0.2, x + step / 4, self._foot + self._thick * 0.8),
                           theme.hairline))
            x += step

    def _draw_limits(self, group: InstructionGroup) -> None:
        group.add(Color(*theme.ink))
        for limit in (self.state.lower, self.state.upper):
            if limit is not None:
                x = self._at(limit)
                group.add(line((x, self._foot - theme.hairline, x, self._foot + self._thick), theme.hairline * 2.5))

    def _draw_value(self, group: InstructionGroup) -> None:
        if self.state.value is None:
            return
        x, top, reach = self._at(self.state.value), self._foot + self._thick, self._thick * 0.55
        if self.state.off_scale:
            self._draw_arrow(group, x, top)
            return
        self._draw_uncertainty(group, top + reach * 1.5)
        group.add(Color(*theme.ink))
        group.add(line((x, self._foot, x, top + reach), theme.hairline * 2))
        group.add(polygon((x, top, x - reach, top + reach * 1.9, x + reach, top + reach * 1.9)))

    def _draw_uncertainty(self, group: InstructionGroup, y: float) -> None:
        if self.state.value_low is None or self.state.value_high is None:
            return
        low, high, tick = self._at(self.state.value_low), self._at(self.state.value_high), self._thick * 0.3
        group.add(Color(*theme.ink))
        for points in ((low, y, high, y), (low, y - tick, low, y + tick), (high, y - tick, high, y + tick)):
            group.add(line(points, theme.hairline * 1.6))

    def _draw_arrow(self, group: InstructionGroup, x: float, y: float) -> None:
        way = -1 if self.state.off_scale == "low" else 1
        reach = self._thick * 0.6
        group.add(Color(*theme.ink))
        group.add(polygon((x, y + reach, x - way * reach * 1.3, y + 2 * reach, x - way * reach * 1.3, y)))
        group.add(line((x - way * reach * 3, y + reach, x - way * reach, y + reach), theme.hairline * 3))

    def _draw_labels(self, group: InstructionGroup) -> None:
        """Write the limits under their marks, pushed apart and inwards until they stand free."""
        y = self._foot - theme.line / 2
        lower, upper = self.state.lower_text, self.state.upper_text
        lower_width, upper_width = text_width(lower, theme.body), text_width(upper, theme.body)
        lower_x = self._at(self.state.lower or 0) - lower_width / 2
        upper_x = self._at(1 if self.state.upper is None else self.state.upper) - upper_width / 2
        upper_x = min(max(upper_x, self.x), self.right - upper_width)
        lower_x = min(max(lower_x, self.x), self.right - lower_width)
        if lower and upper and lower_x + lower_width + 1.5 * theme.pad > upper_x:
            middle = (lower_x + lower_width + upper_x) / 2
            lower_x = max(self.x, middle - 0.75 * theme.pad - lower_width)
            upper_x = min(self.right - upper_width, middle + 0.75 * theme.pad)
        for text, x in ((lower, lower_x), (upper, upper_x)):
            add_text(group, text, (x, y), theme.body, theme.ink, anchor=(0, 0.5))
