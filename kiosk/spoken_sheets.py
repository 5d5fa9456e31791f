"""Service sheets in the language spoken: a sheet may bring translations of its own texts, in `[translations.es]`.

The shop's own words (titles, steps, hazards, how to measure) are kept by the sheet and not by the catalogues. What a
sheet does not translate stays as it is written. Reasons to replace stay as they are stored; `in_words` says them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from kiosk.language import current
from kiosk.presenters.ports import Sheets
from kiosk.service_sheet import ServiceSheet

TEXTS = {"title", "hazard", "action", "how", "instrument", "reason", "text", "steps", "tool", "turned", "takes",
         "on_return"}
"""Fields of a sheet that a mechanic reads; keys, sources and stored words are not among them."""


class SpokenSheets:
    """Answers `presenters.ports.Sheets` from other sheets, in the language spoken now."""

    def __init__(self, sheets: Sheets) -> None:
        self._sheets = sheets
        self._made: dict[tuple[str, str], tuple[ServiceSheet, ServiceSheet]] = {}

    def sheet(self, key: str) -> ServiceSheet:
        """Return a sheet.

        Raises:
            NotFound: the shop has no such sheet.
        """
        return self._spoken(self._sheets.sheet(key))

    def sheets(self) -> tuple[ServiceSheet, ...]:
        """Return every sheet, by title."""
        return tuple(sorted(map(self._spoken, self._sheets.sheets()), key=lambda sheet: sheet.title))

    def _spoken(self, sheet: ServiceSheet) -> ServiceSheet:
        language = current()
        if language not in sheet.translations:
            return sheet
        before, made = self._made.get((sheet.key, language), (None, sheet))
        if before is not sheet:  # another revision came into force
            made = in_language(sheet, language)
            self._made[sheet.key, language] = sheet, made
        return made


def in_language(sheet: ServiceSheet, language: str) -> ServiceSheet:
    """Return a sheet with its texts in a language, as far as it brings them."""
    words = sheet.translations.get(language, {})
    made: ServiceSheet = _said(sheet, words)
    return replace(made, words=words)


def _said(thing: Any, words: Mapping[str, str]) -> Any:
    if isinstance(thing, tuple):
        return tuple(_said(one, words) for one in thing)
    if not is_dataclass(thing) or isinstance(thing, type):
        return thing
    changed: dict[str, Any] = {}
    for field in fields(thing):
        value = getattr(thing, field.name)
        if field.name not in TEXTS:
            changed[field.name] = _said(value, words) if isinstance(value, tuple) or is_dataclass(value) else value
        elif isinstance(value, tuple):
            changed[field.name] = tuple(words.get(text, text) for text in value)
        else:
            changed[field.name] = words.get(value, value)
    return replace(thing, **changed)
