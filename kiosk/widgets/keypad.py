"""The kiosk's own keys: numbers with inch fractions, plain numbers, digits of a label. Sends what was pressed.

A fraction is typed as one says it: '1', 'and', '5', '/8'. A key sends one or more of the presenters' key names, so
'/16' sends '/', '1' and '6'. Keys keep their place when some are not needed; those are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

from kivy.properties import NumericProperty, OptionProperty
from kivy.uix.floatlayout import FloatLayout

from kiosk.language import N_, tr
from kiosk.widgets.press import Press
from kiosk.widgets.theme import load_kv, theme


@dataclass(frozen=True)
class Key:
    """One key: what stands on it, what it sends, how many columns it takes."""

    text: str
    sends: tuple[str, ...]
    icon: str = ""
    kind: str = "key"
    columns: int = 1


def _plain(text: str) -> Key:
    return Key(text, (text,))


def _over(denominator: int) -> Key:
    return Key(f"□/{denominator}", ("/", *str(denominator)), kind="quiet")


BACK = Key("", ("back",), "rub_out", "quiet")
CLEAR = Key(N_("clear"), ("clear",), kind="quiet")
NEXT = Key(N_("next"), ("next",), "right", "quiet")
AND = Key(N_("and"), (" ",), kind="quiet")
MINUS = Key("−", ("-",))
GAP = Key("", ())

# Rows of keys, top to bottom.
LAYOUTS: dict[str, tuple[tuple[Key, ...], ...]] = {
    "inch": (
        (*map(_plain, "123"), _over(2), _over(4), _over(8), BACK),
        (*map(_plain, "456"), _over(16), _over(32), AND, CLEAR),
        (*map(_plain, "7890"), _plain("."), MINUS, NEXT),
    ),
    "plain": (
        (*map(_plain, "123"), GAP, GAP, GAP, BACK),
        (*map(_plain, "456"), GAP, GAP, GAP, CLEAR),
        (*map(_plain, "7890"), _plain("."), MINUS, NEXT),
    ),
    "hours": (
        (*map(_plain, "123"), _plain("0"), BACK),
        (*map(_plain, "456"), _plain("."), CLEAR),
        (*map(_plain, "789"), GAP, GAP),
    ),
    "label": (
        (*map(_plain, "123"), BACK),
        (*map(_plain, "456"), CLEAR),
        (*map(_plain, "7890"),),
    ),
}


class KeyGrid(FloatLayout):
    """Keys in rows of equal height, filling their place. Event `on_key(key)` brings each key name."""

    look = NumericProperty(0)
    __events__ = ("on_key",)

    def __init__(self, **kwargs: object) -> None:
        self._keys: list[tuple[Press, int, int, int]] = []
        self._shape = (1, 1)
        super().__init__(**kwargs)
        for name in ("pos", "size", "look"):
            self.fbind(name, self._arrange)

    def on_key(self, key: str) -> None:
        """Event: this key was pressed."""

    def set_rows(self, rows: tuple[tuple[Key, ...], ...]) -> None:
        """Put these keys on."""
        self.clear_widgets()
        self._keys = []
        self._shape = (max(sum(key.columns for key in row) for row in rows), len(rows))
        for row_number, row in enumerate(rows):
            self._add_row(row, row_number)
        self._arrange()

    def _add_row(self, row: tuple[Key, ...], row_number: int) -> None:
        column = 0
        for key in row:
            if key.sends:
                button = Press(
                    text=tr(key.text),
                    icon=key.icon,
                    kind=key.kind,
                    largest=theme.huge,
                    size_hint=(None, None),
                    upright=bool(key.icon and key.text),
                )
                button.fbind("on_release", self._send, key.sends)
                self._keys.append((button, column, row_number, key.columns))
                self.add_widget(button)
            column += key.columns

    def _send(self, keys: tuple[str, ...], _button: Press) -> None:
        for key in keys:
            self.dispatch("on_key", key)

    def _arrange(self, *_: object) -> None:
        columns, rows = self._shape
        width = (self.width - theme.gap * (columns - 1)) / columns
        height = (self.height - theme.gap * (rows - 1)) / rows
        for button, column, row, span in self._keys:
            button.size = (width * span + theme.gap * (span - 1), height)
            # not self.top, which Kivy still remembers from before while it moves the widget
            top = self.y + self.height - row * (height + theme.gap)
            button.pos = (self.x + column * (width + theme.gap), top - height)


class Keypad(KeyGrid):
    """The number keys; `face` is 'inch', 'plain', 'hours' or 'label'."""

    face = OptionProperty("inch", options=list(LAYOUTS))

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        self.fbind("face", self._show_face)
        self._show_face()

    def _show_face(self, *_: object) -> None:
        self.set_rows(LAYOUTS[self.face])


load_kv(__file__)
