"""Service sheets in Spanish: the sheets' own words follow the badge; what is stored stays as it is written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest

from kiosk import language
from kiosk.sheets import SheetErrors, SheetShelf, parse_sheet
from kiosk.sheets.load import SheetError
from kiosk.spoken_sheets import TEXTS, SpokenSheets

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = ("demo_shop/sheets", "kiosk/templates/sheets")


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    """Leave the kiosk speaking English."""
    yield
    language.speak("en")


@pytest.mark.parametrize("folder", FOLDERS)
def test_sheets__every_text__is_there_in_spanish(folder: str) -> None:
    """No title, caution, step or hint of the sheets that come along lacks its Spanish."""
    sheets = SheetShelf.load(ROOT / folder).sheets()
    missing = [(sheet.key, text) for sheet in sheets for text in texts_of(sheet)
               if text not in sheet.translations.get("es", {})]
    assert missing == []


@pytest.mark.parametrize("folder", FOLDERS)
def test_sheets__translations__are_of_texts_that_are_there(folder: str) -> None:
    """A text that was worded anew leaves no translation behind."""
    left = [(sheet.key, text) for sheet in SheetShelf.load(ROOT / folder).sheets()
            for text in sheet.translations.get("es", {}) if text not in {*texts_of(sheet), *sheet.replace_reasons}]
    assert left == []


def test_shelf__spoken_in_spanish__says_titles_and_keeps_reasons_and_keys() -> None:
    """What a mechanic reads is Spanish; what goes into the journal is not."""
    shelf = SpokenSheets(SheetShelf.load(ROOT / "demo_shop" / "sheets"))
    language.speak("es")
    spanish = shelf.sheet("shaft-bearing")
    language.speak("en")
    english = shelf.sheet("shaft-bearing")
    assert (spanish.title, spanish.job("grease").title) == ("Rodamiento del eje", "Engrasar")
    assert spanish.replace_reasons == english.replace_reasons
    assert spanish.in_words("noisy") == "ruidoso" and english.in_words("noisy") == "noisy"


def test_sheet__language_that_is_not_spoken__is_refused_with_its_line() -> None:
    """A table for a language that the kiosk does not know is a slip."""
    text = (ROOT / "demo_shop" / "sheets" / "scraper.toml").read_text(encoding="utf-8")
    with pytest.raises((SheetError, SheetErrors), match="'xx' is not known here"):
        parse_sheet(text.replace("[translations.es]", "[translations.xx]"), "scraper.toml")


def texts_of(thing: Any) -> Iterator[str]:
    """Yield what a mechanic reads of a sheet."""
    for field in fields(thing):
        value = getattr(thing, field.name)
        values = value if isinstance(value, tuple) else (value,)
        yield from (one for one in values if field.name in TEXTS and isinstance(one, str) and one)
        for one in values:
            if is_dataclass(one):
                yield from texts_of(one)
