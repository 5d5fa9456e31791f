"""Drawings for the belt: the loop laid flat with what is cut and put in, and the joint's bolts with their order."""

from __future__ import annotations

from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.properties import ListProperty, ObjectProperty

from kiosk.widgets.canvas_text import add_text
from kiosk.widgets.drawing import Drawn, add_icon, line, polygon
from kiosk.widgets.theme import theme


class BeltStrip(Drawn):
    """Draws one `BeltDrawing`: cleats above the belt, splices across it, the bad length hatched, the cut dashed."""

    state = ObjectProperty(None, allownone=True, rebind=True)
    redraw_on = ("state",)

    def draw(self, group: InstructionGroup) -> None:
        """Draw belt, cleats, damage, cut and splices, and the length beneath."""
        if self.state is None:
            return
        self._left, self._wide = self.x + theme.pad, self.width - 2 * theme.pad
        strips = 1 if self.state.after is None else 2
        height = self.height / strips
        self._thick, self._top = (height - theme.line * 1.3) * 0.4, self.top
        if self.state.after is not None:
            self._foot = self.y + theme.line * 1.3
            self._draw_after(group)
        self._foot = self.y + self.height - height + theme.line * 1.3
        group.add(Color(*theme.faint))
        group.add(Rectangle(pos=(self._left, self._foot), size=(self._wide, self._thick)))
        self._draw_damage(group)
        self._draw_cut(group)
        group.add(Color(*theme.ink))
        group.add(line((self._left, self._foot, self._left + self._wide, self._foot), theme.hairline * 2))
        for cleat in self.state.cleats:
            self._draw_upright(group, cleat, self._thick, self._thick * 1.4, 1.5)
        for splice in self.state.splices:
            self._draw_splice(group, splice, "edge")
        for splice in self.state.new_splices:
            self._draw_splice(group, splice, "primary")
        text = (self.center_x, self._foot - theme.line * 0.8)
        add_text(group, self.state.length_text, text, theme.body, theme.ink)

    def _draw_after(self, group: InstructionGroup) -> None:
        """Draw the loop as the plan leaves it, to the same scale: the piece put in, cleats, splices, its length."""
        after = self.state.after
        group.add(Color(*theme.faint))
        group.add(Rectangle(pos=(self._left, self._foot), size=(self._wide * after.length, self._thick)))
        if after.insert is not None:
            self._draw_insert(group, *after.insert, after.length)
        group.add(Color(*theme.ink))
        group.add(line((self._left, self._foot, self._at(after.length), self._foot), theme.hairline * 2))
        for cleat in after.cleats:
            self._draw_upright(group, cleat, self._thick, self._thick * 1.4, 1.5)
        for splice in after.splices:
            self._draw_splice(group, splice, "edge")
        text = (self._left + self._wide * after.length / 2, self._foot - theme.line * 0.8)
        add_text(group, after.text, text, theme.body, theme.ink)

    def _draw_insert(self, group: InstructionGroup, start: float, end: float, length: float) -> None:
        """Draw the piece put in; one that runs over the datum stands at both ends."""
        stretches = ((start, end),) if start <= end else ((start, length), (0.0, end))
        group.add(Color(*theme.line_left))
        for low, high in stretches:
            group.add(Rectangle(pos=(self._at(low), self._foot), size=((high - low) * self._wide, self._thick)))

    def _at(self, part: float) -> float:
        return self._left + part * self._wide

    def _draw_upright(self, group: InstructionGroup, at: float, low: float, high: float, weight: float) -> None:
        x = self._at(at)
        group.add(line((x, self._foot + low, x, self._foot + high), weight * theme.hairline))

    def _draw_splice(self, group: InstructionGroup, at: float, role: str) -> None:
        group.add(Color(*getattr(theme, role)))
        self._draw_upright(group, at, -theme.hairline * 2, self._thick + theme.hairline * 2, 4)
        for part in (0.25, 0.5, 0.75):
            x, y, reach = self._at(at), self._foot + self._thick * part, theme.hairline * 3
            group.add(Rectangle(pos=(x - reach, y - reach), size=(2 * reach, 2 * reach)))

    def _draw_damage(self, group: InstructionGroup) -> None:
        if self.state.damage is None:
            return
        start, end = (self._at(part) for part in self.state.damage)
        group.add(Color(*theme.bad))
        group.add(Rectangle(pos=(start, self._foot), size=(max(end - start, theme.hairline * 2), self._thick)))
        add_icon(group, "mark_square", ((start + end - theme.mark * 0.7) / 2, self._top - theme.mark * 0.8,
                                        theme.mark * 0.7), theme.ink)

    def _draw_cut(self, group: InstructionGroup) -> None:
        if self.state.cut is None:
            return
        group.add(Color(*theme.ink))
        for part in self.state.cut:
            for step in range(5):
                low = self._thick * (step * 0.3 - 0.1)
                self._draw_upright(group, part, low, low + self._thick * 0.15, 2.5)


class BoltRow(Drawn):
    """Draws the joint's bolts, each with its place in the order; done ones ticked, the next one in a yellow field."""

    bolts = ListProperty()
    redraw_on = ("bolts",)

    def draw(self, group: InstructionGroup) -> None:
        """Draw the plates behind, then the bolts."""
        if not self.bolts:
            return
        step = self.width / len(self.bolts)
        head = min(step * 0.36, (self.height - theme.line * 1.2) / 4)
        middle = self.y + theme.line * 1.2 + head * 1.4
        group.add(Color(*theme.faint))
        group.add(Rectangle(pos=(self.x, middle - head * 1.4), size=(self.width, head * 2.8)))
        for place, bolt in enumerate(self.bolts):
            self._draw_bolt(group, bolt, self.x + (place + 0.5) * step, middle, head)

    def _draw_bolt(self, group: InstructionGroup, bolt: object, x: float, y: float, head: float) -> None:
        outline = _hexagon(x, y, head)
        group.add(Color(*(theme.chosen if bolt.next else theme.good if bolt.ticked else theme.panel)))
        group.add(polygon(outline))
        group.add(Color(*theme.outline))
        group.add(line(outline, theme.hairline * (3 if bolt.next else 1.5), closed=True))
        if bolt.next:
            add_icon(group, "down", (x - head * 0.4, y + head * 1.5, head * 0.8), theme.ink)
        if bolt.ticked:
            add_icon(group, "tick", (x - head * 0.55, y - head * 0.55, head * 1.1), theme.chosen_ink)
        else:
            ink = theme.chosen_ink if bolt.next else theme.ink
            add_text(group, str(bolt.turn), (x, y), theme.body, ink, bold=True)
        add_text(group, str(bolt.number), (x, y - head * 1.4 - theme.line * 0.6), theme.body, theme.ink)


def _hexagon(x: float, y: float, reach: float) -> tuple[float, ...]:
    half, rise = reach / 2, reach * 0.866
    return (x + reach, y, x + half, y + rise, x - half, y + rise, x - reach, y, x - half, y - rise, x + half, y - rise)
