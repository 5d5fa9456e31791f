"""A board of letters for a reason or a note, over the whole screen: eight large keys a row, in the alphabet's order.

Three faces: letters, figures and signs, letters with accents; 'Aa' makes the next letter a capital, as the first one is
without it. The text is kept here until 'done'; a screen asks for it by `LetterBoard.ask(prompt, text, done)`.
"""

from __future__ import annotations

from collections.abc import Callable

from kivy.properties import BooleanProperty, ObjectProperty, OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.language import N_, current
from kiosk.widgets.keypad import Key, KeyGrid
from kiosk.widgets.theme import load_kv

LONGEST_TEXT = 200
_SPACE = Key(N_("space"), (" ",), kind="quiet")
_RUB_OUT = Key("", ("back",), "rub_out", "quiet")
_CANCEL = Key(N_("leave"), ("cancel",), "cross", "quiet")
_DONE = Key(N_("done"), ("done",), "tick", "primary")
_WIDE_DONE = Key(N_("done"), ("done",), "tick", "primary", 2)
_CAPITAL = Key("Aa", ("capital",), kind="quiet")
_TO_LETTERS = Key("abc", ("letters",), kind="quiet")


def _row(letters: str, *others: Key) -> tuple[Key, ...]:
    return (*(Key(letter, (letter,)) for letter in letters), *others)


LETTERS = (
    _row("abcdefgh"),
    _row("ijklmnop"),
    _row("qrstuvw", _RUB_OUT),
    _row("xyz", _CAPITAL, Key("12.", ("figures",), kind="quiet"), _SPACE, _CANCEL, _DONE),
)
FIGURES = (
    _row("01234567"),
    _row("89.,-+/:"),
    _row("()'?!&%", _RUB_OUT),
    _row("#=;", Key("áñü", ("accents",), kind="quiet"), _TO_LETTERS, _SPACE, _CANCEL, _DONE),
)
# Of Spanish, French and German, the languages that the kiosk speaks.
ACCENTS = (
    _row("áéíóúüñç"),
    _row("àâèêëîïô"),
    _row("ùûäößœ¿", _RUB_OUT),
    _row("¡", _CAPITAL, _TO_LETTERS, _SPACE, _CANCEL, _WIDE_DONE),
)
FACES = {"letters": LETTERS, "figures": FIGURES, "accents": ACCENTS}
SIGNS = "#=;"
OWN_LETTERS = {"es": "ñ¿¡", "de": "äöü", "fr": "éèà"}
"""What stands in the place of `SIGNS` in a language that has letters of its own."""


class LetterKeys(KeyGrid):
    """The board's keys. `face`: 'letters', 'figures' or 'accents'; `capital`: its letters are capitals."""

    face = OptionProperty("letters", options=list(FACES))
    capital = BooleanProperty(False)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        self.fbind("face", self._show_face)
        self.fbind("capital", self._show_face)
        self._show_face()

    def _show_face(self, *_: object) -> None:
        rows = _with_own_letters(current()) if self.face == "figures" else FACES[self.face]
        self.set_rows(_capitals(rows) if self.capital else rows)

    def speak_anew(self) -> None:
        """Put the keys on again in the language spoken now."""
        self._show_face()


def _with_own_letters(language: str) -> tuple[tuple[Key, ...], ...]:
    """Return the figures' keys with the letters that only this language has."""
    *rows, last = FIGURES
    own = OWN_LETTERS.get(language, SIGNS)
    return (*rows, _row(own, *last[len(SIGNS):]))


def _capitals(rows: tuple[tuple[Key, ...], ...]) -> tuple[tuple[Key, ...], ...]:
    """Return the same keys with their letters as capitals; a letter without one ('ß') stays."""
    return tuple(tuple(_capital(key) for key in row) for row in rows)


def _capital(key: Key) -> Key:
    upper = key.text.upper()
    return Key(upper, (upper,)) if key.sends == (key.text,) and len(upper) == 1 else key


class LetterBoard(BoxLayout):
    """Prompt, text so far and keys. `is_open` while it asks."""

    prompt = StringProperty("")
    text = StringProperty("")
    is_open = BooleanProperty(False)
    done = ObjectProperty(None, allownone=True)

    def ask(self, prompt: str, text: str, done: Callable[[str], None]) -> None:
        """Ask for a text, beginning with `text`; `done(text)` is called once, or never if it is left."""
        self.prompt, self.text, self.done = prompt, text, done
        self._show("letters", False)
        self.is_open = True

    def press(self, key: str) -> None:
        """Take a key of the board."""
        if key == "done":
            self.is_open = False
            self.done(self.text.strip())
        elif key == "cancel":
            self.is_open = False
        elif key in FACES:
            self._show(key, False)
        elif key == "capital":
            self._show(self.ids["keys"].face, not self.ids["keys"].capital)
        elif key == "back":
            self.text = self.text[:-1]
        elif len(self.text) < LONGEST_TEXT:
            self.text += key.upper() if not self.text else key
            self._show(self.ids["keys"].face, False)

    def _show(self, face: str, capital: bool) -> None:
        keys = self.ids["keys"]  # `ids.keys` is a method of dict
        keys.face, keys.capital = face, capital


load_kv(__file__)
