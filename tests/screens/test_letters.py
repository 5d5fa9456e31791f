"""The letter board: every letter of the kiosk's languages is reached, every key is large enough for a glove."""

from __future__ import annotations

from typing import Any

import pytest
from conftest import PANELS

pytestmark = pytest.mark.window

# Letters of the languages' alphabets, from memory.
NEEDED = "abcdefghijklmnopqrstuvwxyz" + "áéíóúüñ" + "äöüß" + "àâçéèêëîïôùûœ"
ON_THE_WAY = {"letters": (), "figures": ("12.",), "accents": ("12.", "áñü")}


def board(window: Any, asked: list[str]) -> Any:
    """Open the board."""
    window.show_sample("page_set_up")
    window.stage.ask_text("Name?", "", asked.append)
    window.step()
    return window.stage.ids.letters


def key(letters: Any, text: str) -> Any:
    """Return a key by its words."""
    return next(button for button, *_ in letters.ids["keys"]._keys if button.text == text)


def press(window: Any, letters: Any, *texts: str) -> None:
    """Touch keys."""
    for text in texts:
        window.tap(key(letters, text))


def test_every_letter__is_reached(open_window: Any) -> None:
    """Letters and accents of Spanish, German, French, each small and, where there is one, as a capital."""
    window = open_window()
    letters = board(window, [])
    reached: set[str] = set()
    for way in ((), ("Aa",), ("12.", "áñü"), ("Aa",)):
        press(window, letters, *way)
        reached |= {button.text for button, *_ in letters.ids["keys"]._keys}
    assert not set(NEEDED) - reached
    assert not {letter.upper() for letter in NEEDED if len(letter.upper()) == 1} - reached


def test_name_with_capitals_and_accents__is_handed_over(open_window: Any) -> None:
    """'Aa' holds for one letter."""
    window, asked = open_window(), []
    letters = board(window, asked)
    press(window, letters, "a", "n", "a", "space", "Aa", "P", "e", "12.", "áñü", "ñ", "abc", "a", "done")
    assert asked == ["Ana Peña"]


@pytest.mark.parametrize("panel", PANELS)
def test_keys__20_mm_and_5_mm_apart(panel: str, open_window: Any) -> None:
    """Common practice for a gloved hand, no source; on every face of the board."""
    width, height, ppi = PANELS[panel]
    mm = 25.4 / ppi
    window = open_window(panel)
    letters = board(window, [])
    for way in ((), ("12.",), ("áñü",)):
        press(window, letters, *way)
        buttons = [button for button, *_ in letters.ids["keys"]._keys]
        assert min(min(button.width, button.height) for button in buttons) * mm >= 20.0
        for button in buttons:
            assert button.x >= 0 and button.right <= width and button.y >= 0 and button.top <= height
            beside = [other for other in buttons if other.y == button.y and other.x >= button.right]
            assert all((other.x - button.right) * mm >= 4.99 for other in beside)
