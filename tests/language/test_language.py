"""Languages: the catalogues, what follows the badge, numbers, dates and plural forms.

Expected signs and month names are those of the Unicode CLDR (locales es_US, de_DE, fr_FR), from memory.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import date

import pytest

from kiosk import language


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    """Leave the kiosk speaking English."""
    yield
    language.speak("en")


@pytest.mark.parametrize(("tag", "said"), [("es", "es"), ("es_MX", "es"), ("ES-us", "es"), ("", "en"), ("xx", "en")])
def test_language__known__by_its_tag(tag: str, said: str) -> None:
    """A language with a country is the language; one that there is none of is English."""
    assert language.known(tag) == said


@pytest.mark.parametrize(("spoken", "written"), [("en", "1,234.5"), ("es", "1,234.5"), ("de", "1.234,5")])
def test_number__cldr__signs_of_the_language(spoken: str, written: str) -> None:
    """Decimal sign and grouping are the language's own."""
    language.speak(spoken)
    assert language.number(1234.5, ",.1f") == written


@pytest.mark.parametrize(("spoken", "written"), [
    ("en", "Mon 2 Mar 2026"), ("es", "lun 2 mar 2026"), ("fr", "lun. 2 mars 2026")])
def test_date__cldr__words_of_the_language(spoken: str, written: str) -> None:
    """Day and month are named in the language."""
    language.speak(spoken)
    assert language.date_words(date(2026, 3, 2)) == written


def test_work_of_another_thread__asked_in_spanish__stays_spanish() -> None:
    """A report is made in the language of whoever asked, even when somebody else has come since."""
    language.speak("es")
    said: list[str] = []
    work = language.in_asker_s_language(lambda: said.append(language.current()))
    language.speak("de")
    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert (said, language.current()) == (["es"], "de")


@pytest.mark.parametrize(("spoken", "word"), [("en", "Save"), ("es", "Guardar"), ("de", "Speichern")])
def test_tr__a_text__is_that_of_the_language_spoken(spoken: str, word: str) -> None:
    """The catalogue of whoever stands at the kiosk answers; common practice, no source."""
    with language.speaking(spoken):
        assert language.tr("Save") == word
