"""The window's whole content: header, one screen, and over it message, label pad, letter board and spinner.

`show(state, presenter)` picks the screen by the state's type. Screens are built when first shown and kept.
"""

from __future__ import annotations

from collections.abc import Callable

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.floatlayout import FloatLayout

from kiosk.language import current
from kiosk.presenters import states
from kiosk.presenters.parts import LabelPadState, MessageState, PinPadState
from kiosk.screens.adjustment import AdjustmentScreen
from kiosk.screens.base import KioskScreen
from kiosk.screens.cautions import CautionsScreen
from kiosk.screens.component import ComponentScreen
from kiosk.screens.form import FormScreen
from kiosk.screens.history import HistoryScreen
from kiosk.screens.idle import IdleScreen
from kiosk.screens.label_pad import LabelPad
from kiosk.screens.page import PageScreen
from kiosk.screens.photos import PhotosScreen
from kiosk.screens.pin_pad import PinPad
from kiosk.screens.replace import ReplaceScreen
from kiosk.screens.round import RoundScreen
from kiosk.screens.saved import SavedScreen
from kiosk.screens.splice import SpliceScreen
from kiosk.screens.step_list import StepListScreen
from kiosk.screens.unit import UnitScreen
from kiosk.widgets import letters as _letters  # noqa: F401  used by the .kv file
from kiosk.widgets.bars import MessagePanel
from kiosk.widgets.theme import load_kv, theme

SCREENS: dict[type, type[KioskScreen]] = {
    states.IdleState: IdleScreen,
    states.UnitState: UnitScreen,
    states.ComponentState: ComponentScreen,
    states.CautionsState: CautionsScreen,
    states.FormState: FormScreen,
    states.AdjustmentState: AdjustmentScreen,
    states.StepListState: StepListScreen,
    states.SpliceState: SpliceScreen,
    states.ReplaceState: ReplaceScreen,
    states.SavedState: SavedScreen,
    states.HistoryState: HistoryScreen,
    states.PageState: PageScreen,
    states.RoundState: RoundScreen,
    states.PhotosState: PhotosScreen,
}

PADS: dict[type, type[LabelPad] | type[PinPad]] = {LabelPadState: LabelPad, PinPadState: PinPad}


class Stage(FloatLayout):
    """Shows one state at a time. Built with the first state and its presenter."""

    state = ObjectProperty(rebind=True)
    presenter = ObjectProperty(None, allownone=True, rebind=True)
    is_busy = BooleanProperty(False)
    busy_text = StringProperty("")
    look = NumericProperty(0)

    def __init__(self, **kwargs: object) -> None:
        self._screens: dict[type, KioskScreen] = {}
        self._spoken = current()
        self._pad: LabelPad | PinPad | None = None
        self._message = MessagePanel(size_hint=(None, None))
        self._message.bind(on_answer=lambda _, key: self.presenter.answer(key), on_close=self.close_message)
        super().__init__(**kwargs)
        for name in ("size", "look"):
            self.fbind(name, self._place_message)
        self.show(self.state, self.presenter)

    def show(self, state: object, presenter: object) -> None:
        """Show a state; the screen goes by its type, taps go to `presenter`."""
        is_other = presenter is not self.presenter
        if self._spoken != current():
            self._speak_anew()
        self.state, self.presenter = state, presenter
        screen = self._screen_for(state)
        if is_other:
            screen.face = ""
            self.ids.letters.is_open = False
        if screen.parent is None:
            self.ids.place.clear_widgets()
            self.ids.place.add_widget(screen)
        self._show_message(state.frame.message)
        self._show_pad(state.frame.pin_pad or state.frame.label_pad)

    def _speak_anew(self) -> None:
        """Drop what was built in another language; each screen is built again when it is shown."""
        self._spoken = current()
        self._screens.clear()
        self.ids.place.clear_widgets()
        self.ids.over.clear_widgets()
        self._pad = None
        self.ids.letters.ids["keys"].speak_anew()

    @property
    def screen(self) -> KioskScreen:
        """The screen on show."""
        return self._screens[type(self.state)]

    def ask_text(self, prompt: str, text: str, done: Callable[[str], None]) -> None:
        """Open the letter board over everything."""
        self.ids.letters.ask(prompt, text, done)

    def set_preview(self, frame: bytes, size: tuple[int, int]) -> None:
        """Show a camera's frame (uint8, BGR) on a screen that has a place for it."""
        if "preview" in self.screen.ids:
            self.screen.ids.preview.put(frame, size)

    def clear_preview(self) -> None:
        """Show that the camera gives no picture."""
        for screen in self._screens.values():
            if "preview" in screen.ids:
                screen.ids.preview.clear()

    def _screen_for(self, state: object) -> KioskScreen:
        kind = type(state)
        if kind not in self._screens:
            self._screens[kind] = SCREENS[kind](state=state, presenter=self.presenter, ask_text=self.ask_text)
        screen = self._screens[kind]
        screen.presenter = self.presenter
        screen.state = state
        return screen

    def _show_message(self, message: MessageState | None) -> None:
        self._message.state = message
        if message is None:
            self.remove_widget(self._message)
        elif self._message.parent is None:
            self.add_widget(self._message, index=self.children.index(self.ids.over) + 1)
        self._place_message()

    def _place_message(self, *_: object) -> None:
        """Lay the message over the lower part of the content, clear of the side column."""
        width = self.width - theme.side - theme.gap - 2 * theme.pad
        self._message.size = (width, self._message.height_for(width))
        self._message.pos = (theme.pad, theme.pad)

    def close_message(self, *_: object) -> None:
        """Take the message off; it was read."""
        self._show_message(None)

    def _show_pad(self, pad: object) -> None:
        kind = PADS.get(type(pad))
        if self._pad is not None and type(self._pad) is not kind:
            self.ids.over.clear_widgets()
            self._pad = None
        if kind is None:
            return
        if self._pad is None:
            self._pad = kind(state=pad, presenter=self.presenter)
            self.ids.over.add_widget(self._pad)
        else:
            self._pad.state, self._pad.presenter = pad, self.presenter


load_kv(__file__)
