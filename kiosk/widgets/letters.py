"""A board of letters for a reason or a note, over the whole screen: eight large keys a row, in the alphabet's order.

The text is kept here until 'done'; a screen asks for it by `LetterBoard.ask(prompt, text, done)`.
"""

from __future__ import annotations

from collections.abc import Callable

from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.language import N_, current
from kiosk.widgets.keypad import Key, KeyGrid
from kiosk.widgets.theme import load_kv

LONGEST_TEXT = 200
_SPACE = Key(N_("space"), (" ",), kind="quiet")
_RUB_OUT = Key("", ("back",), "rub_out", "quiet")
_CANCEL = Key(N_("leave"), ("cancel",), "cross", "quiet")
_DONE = Key(N_("done"), ("done",), "tick", "primary", 2)


def _row(letters: str, *others: Key) -> tuple[Key, ...]:
    return (*(Key(letter, (letter,)) for letter in letters), *others)


LETTERS = (
    _row("abcdefgh"),
    _row("ijklmnop"),
    _row("qrstuvw", _RUB_OUT),
    _row("xyz", Key("12.", ("figures",), kind="quiet"), _SPACE, _CANCEL, _DONE),
)
FIGURES = (
    _row("01234567"),
    _row("89.,-+/:"),
    _row("()'?!&%", _RUB_OUT),
    _row("#*=", Key("abc", ("letters",), kind="quiet"), _SPACE, _CANCEL,
         _DONE),
)
SIGNS = "#*="
OWN_LETTERS = {"es": "ñ¿¡", "de": "äöü", "fr": "éèà"}
"""What stands in the place of `SIGNS` in a language that has letters of its own."""


class LetterKeys(KeyGrid):
    """The board's keys; `figures` shows figures and signs instead of letters."""

    figures = BooleanProperty(False)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        self.fbind("figures", self._show_face)
        self._show_face()

    def _show_face(self, *_: object) -> None:
        self.set_rows(_with_own_letters(current()) if self.figures else LETTERS)

    def speak_anew(self) -> None:
        """Put the keys on again in the language spoken now."""
        self._show_face()


def _with_own_letters(language: str) -> tuple[tuple[Key, ...], ...]:
    """Return the figures' keys with the letters that only this language has."""
    *rows, last = FIGURES
    own = OWN_LETTERS.get(language, SIGNS)
    return (*rows, _row(own, *last[len(SIGNS):]))


class LetterBoard(BoxLayout):
    """Prompt, text so far and keys. `is_open` while it asks."""

    prompt = StringProperty("")
    text = StringProperty("")
    is_open = BooleanProperty(False)
    done = ObjectProperty(None, allownone=True)

    def ask(self, prompt: str, text: str, done: Callable[[str], None]) -> None:
        """Ask for a text, beginning with `text`; `done(text)` is called once, or never if it is left."""
        self.prompt, self.text, self.done = prompt, text, done
        self.ids["keys"].figures = False
        self.is_open = True

    def press(self, key: str) -> None:
        """Take a key of the board."""
        if key == "done":
            self.is_open = False
            self.done(self.text.strip())
        elif key == "cancel":
            self.is_open = False
        elif key in ("letters", "figures"):
            self.ids["keys"].figures = key == "figures"  # `ids.keys` is a method of dict
        elif key == "back":
            self.text = self.text[:-1]
        elif len(self.text) < LONGEST_TEXT:
            self.text += key.upper() if not self.text else key


load_kv(__file__)
