"""Sample states in another language: each of their finished English texts is found in the catalogue, whole, by its
sentences or with its values, and said anew. What the yard itself wrote (names, places) stays as it is.
"""

from __future__ import annotations

import functools
import re
from dataclasses import fields, is_dataclass, replace
from typing import Any

import catalogues

from kiosk.language import speaking, tr, trn

# Keys and names that screens compare or draw by, not texts.
SILENT = {"key", "kind", "shape", "colour", "design", "phase", "english", "type", "weight", "signal", "role", "scope",
          "stage", "figure", "job", "row", "unit", "id", "typed", "label", "tool", "position_id", "component_id",
          "assembly_id", "answer", "clock", "yard", "person", "go_on_icon", "picture", "off_scale",
          "asks", "number", "pdf",
          "unit_id", "record_id", "place",
          "plus", "minus"}
SHOWN_LABELS = {"ActionState"}  # whose `label` is a button's text
_LEAST_WORDS = 4  # letters of fixed text that a text with values is told by


def spoken(state: Any, language: str) -> Any:
    """Return a state with its texts in a language."""
    if language == "en":
        return state
    with speaking(language):
        return _spoken(state)


def _spoken(thing: Any) -> Any:
    if isinstance(thing, tuple):
        return tuple(_said(one) if isinstance(one, str) else _spoken(one) for one in thing)
    if not is_dataclass(thing) or isinstance(thing, type):
        return thing
    changed = {}
    for field in fields(thing):
        value = getattr(thing, field.name)
        is_silent = field.name in SILENT and not (field.name == "label" and type(thing).__name__ in SHOWN_LABELS)
        if field.init and not is_silent:
            changed[field.name] = _said(value) if isinstance(value, str) else _spoken(value)
    return replace(thing, **changed)


def _said(text: str) -> str:
    """Return a text in the language spoken: whole, with its values, or sentence by sentence."""
    if not re.search("[A-Za-z]{2}", text):
        return text
    whole = tr(text)
    if whole != text:
        return whole
    filled = _filled(text)
    if filled is not None:
        return filled
    for cut in (r"(?<=[.!?:;]) ", r", ", r"  ", r" · "):
        parts = re.split(f"({cut})", text)
        if len(parts) > 1:
            return "".join(_said(part) for part in parts)
    return text


def _filled(text: str) -> str | None:
    for pattern, one, many in _templates():
        match = pattern.fullmatch(text)
        if match:
            said = tr(one) if many is None else trn(one, many, 1 if text.startswith("1 ") else 2)
            return re.sub(r"\{(\w+)[^}]*\}", functools.partial(_value, match.groupdict()), said)
    return None


def _value(values: dict[str, str], hole: re.Match[str]) -> str:
    return _said(values.get(hole.group(1), ""))


@functools.cache
def _templates() -> list[tuple[re.Pattern[str], str, str | None]]:
    """Return the texts with values, each as a pattern, those with most fixed words first."""
    found: list[tuple[int, re.Pattern[str], str, str | None]] = []
    for text in catalogues.texts():
        one, many = (text, None) if isinstance(text, str) else text
        for form in (one, many):
            letters = len(re.findall("[A-Za-z]", re.sub(r"\{[^}]*\}", "", form or "")))
            if form and "{" in form and letters >= _LEAST_WORDS:
                found.append((letters, _pattern(form), one, many))
    found.sort(key=lambda one: -one[0])
    return [(pattern, one, many) for _, pattern, one, many in found]


def _pattern(template: str) -> re.Pattern[str]:
    seen: set[str] = set()

    def hole(match: re.Match[str]) -> str:
        name = match.group(1)
        again = name in seen
        seen.add(name)
        return f"(?P={name})" if again else f"(?P<{name}>.+?)"

    return re.compile(re.sub(r"\\\{(\w+)[^}]*\\\}", hole, re.escape(template)), re.DOTALL)
