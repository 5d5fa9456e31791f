"""What a key of the kiosk's own keypad does to a typed text."""

from __future__ import annotations

LONGEST_TEXT = 40
_PLAIN = frozenset("0123456789./ -")
_FRACTIONS = frozenset({"1/2", "1/4", "1/8", "1/16", "1/32"})


def text_after(text: str, key: str) -> str:
    """Return the text after a key; an unknown key, or one more than fits, changes nothing.

    A fraction key after a whole number puts a space before it: '3' and '1/2' make '3 1/2'. After a fraction it counts
    on, as a person clicks through a tape: '3 1/8' and '1/8' make '3 2/8'.
    """
    if key == "clear":
        return ""
    if key == "back":
        return text[:-1]
    longer = _with_fraction(text, key) if key in _FRACTIONS else text + key if key in _PLAIN else text
    return longer if len(longer) <= LONGEST_TEXT else text


def _with_fraction(text: str, key: str) -> str:
    whole, _, last = text.rpartition(" ")
    top, slash, bottom = last.partition("/")
    if slash and top.isdigit() and bottom == key.partition("/")[2]:
        counted = f"{int(top) + 1}/{bottom}"
        return f"{whole} {counted}".strip() if int(top) + 1 < int(bottom) else text
    return f"{text} {key}" if text and text[-1].isdigit() else text + key


def keypad_key(key: str) -> str:
    """Return the keypad's name for a key of a real keyboard."""
    return {"enter": "next", "\t": "next", "backspace": "back"}.get(key, key)


def digits_after(text: str, key: str, longest: int = 10) -> str:
    """Return the text of a number pad after a key: digits, one point, 'back' and 'clear'."""
    if key == "clear":
        return ""
    if key == "back":
        return text[:-1]
    allowed = (key.isascii() and key.isdigit()) or (key == "." and "." not in text)
    return text + key if len(key) == 1 and allowed and len(text) < longest else text
