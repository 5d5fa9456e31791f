"""What a key does to a typed text."""

from __future__ import annotations

import pytest

from kiosk.presenters.keys import digits_after, text_after


@pytest.mark.parametrize(("text", "key", "after"), [
    ("", "3", "3"), ("3", "1/2", "3 1/2"), ("", "1/2", "1/2"), ("3 ", "1/4", "3 1/4"), ("3", ".", "3."),
    ("3 1/8", "1/8", "3 2/8"), ("3 7/8", "1/8", "3 7/8"), ("1/16", "1/16", "2/16"), ("3 1/2", "back", "3 1/"),
    ("3 1/2", "clear", ""), ("3", "unit", "3"), ("3", "x", "3"), ("", "back", ""), ("", "-", "-"),
])
def test_text_after_a_key(text, key, after):
    """Digits append, a fraction key adds a fraction or counts it on, unknown keys change nothing."""
    assert text_after(text, key) == after


def test_text_has_an_end():
    """A stuck key cannot fill the field for ever."""
    assert text_after("1" * 40, "1") == "1" * 40


@pytest.mark.parametrize(("text", "key", "after"), [
    ("12", "3", "123"), ("12", ".", "12."), ("1.2", ".", "1.2"), ("1.2", "back", "1."), ("1", "clear", ""),
    ("1234567890", "1", "1234567890"), ("1", "enter", "1"), ("1", "/", "1"),
])
def test_digits_after_a_key(text, key, after):
    """A number pad takes digits and one point."""
    assert digits_after(text, key) == after
