"""What surrounds every screen: header, message panel, the column of buttons at the right, the spinner."""

from __future__ import annotations

from kivy.clock import Clock
from kivy.graphics import Color, InstructionGroup, Line
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.widgets.drawing import Drawn
from kiosk.widgets.press import Press
from kiosk.widgets.theme import load_kv, theme
from kiosk.widgets.words import text_size_px

MESSAGE_ICONS = {"info": "info", "refused": "stop", "question": "info", "saved": "mark_circle"}


class HeaderBar(BoxLayout):
    """One line on top. With a place: where and who; without: who, or the yard, and the time."""

    place = StringProperty("")
    state = ObjectProperty(None, allownone=True, rebind=True)


class SideColumn(BoxLayout):
    """The buttons at the right edge, from the way back on top to the next thing to do at the bottom."""


class SidePress(Press):
    """A button of the side column."""


class MessagePanel(BoxLayout):
    """What happened and what to do now, over the lower part of the screen until it is closed or answered.

    Takes a `MessageState`; events `on_answer(key)` for a question's buttons, `on_close` for the tick.
    """

    state = ObjectProperty(None, allownone=True, rebind=True)
    icon = StringProperty("")
    __events__ = ("on_answer", "on_close")

    def on_answer(self, key: str) -> None:
        """Event: a button of the question was pressed."""

    def on_close(self) -> None:
        """Event: the message was read."""

    def on_state(self, *_: object) -> None:
        """Put the buttons on."""
        buttons = self.ids.buttons
        buttons.clear_widgets()
        self.icon = MESSAGE_ICONS[self.state.kind] if self.state else ""
        if self.state is None:
            return
        for action in self.state.actions:
            button = Press(text=action.label, kind="chosen" if action.chosen else "plain",
                           disabled=not action.enabled)
            button.fbind("on_release", self._answer, action.key)
            buttons.add_widget(button)
        if not self.state.actions:
            buttons.add_widget(Press(icon="tick", kind="primary", on_release=lambda _: self.dispatch("on_close")))

    def height_for(self, width_px: float) -> float:
        """Return the height [px] that text and buttons need at this width."""
        if self.state is None:
            return 0.0
        across = not self.state.actions
        text_width = width_px - theme.mark * 1.5 - theme.pad * 5 - (theme.side + theme.gap if across else 0)
        text = text_size_px(self.state.text, theme.body, True, int(text_width))[1]
        if self.state.what_now:
            text += text_size_px(self.state.what_now, theme.body, False, int(text_width))[1]
        below = 0 if across else theme.target + theme.gap
        return float(max(text + below, theme.target) + 4 * theme.pad)

    def _answer(self, key: str, _button: Press) -> None:
        self.dispatch("on_answer", key)


class TurningArc(Drawn):
    """A turning arc while something takes longer; stands still while `is_turning` is False."""

    is_turning = BooleanProperty(False)
    angle = NumericProperty(0)
    text = StringProperty("")
    redraw_on = ("angle", "is_turning")

    def on_is_turning(self, *_: object) -> None:
        """Start or stop the turning."""
        if self.is_turning:
            self._clock = Clock.schedule_interval(self._turn, 1 / 20)
        else:
            self._clock.cancel()

    def _turn(self, seconds: float) -> None:
        self.angle = (self.angle + 300 * seconds) % 360

    def draw(self, group: InstructionGroup) -> None:
        """Draw three quarters of a ring."""
        if not self.is_turning:
            return
        reach = min(self.width, self.height) * 0.4
        group.add(Color(*theme.ink))
        group.add(Line(circle=(self.center_x, self.center_y, reach, self.angle, self.angle + 270),
                       width=theme.hairline * 2, cap="round"))


load_kv(__file__)
