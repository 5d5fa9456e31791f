"""The language that the kiosk speaks now: every text, number and date an operator reads goes through here.

The English text is the key of a catalogue (`catalogues/<language>/LC_MESSAGES/kiosk.mo`, made from the .po beside it by
`python tests/data/catalogues.py`). A text with values in it names them, so that a translation may put them in its own
order: `tr("Greased by {name}.").format(name=name)`. A text is translated where it is made into a sentence, never at
import: a module's constants hold the English text inside `N_`, which only marks it for the catalogues.

`speak` sets the language of whoever stands at the kiosk, for all threads; work in the background goes on in the
language of its asker inside `speaking`.
"""

from __future__ import annotations

import contextlib
import functools
import gettext
import re
from collections.abc import Callable, Iterator
from contextvars import ContextVar
from datetime import date, datetime
from pathlib import Path
from typing import TypeVar

LANGUAGES = {"en": "English", "es": "Español", "de": "Deutsch", "fr": "Français"}
"""The languages there are, each by its own name."""
# Spanish as a yard in the United States writes it: decimal point, dates by day.
_LOCALES = {"en": "en_US", "es": "es_US", "de": "de_DE", "fr": "fr_FR"}
_FOLDER = Path(__file__).parent / "catalogues"
_STANDING = "en"
_asked: ContextVar[str] = ContextVar("asked", default="")
T = TypeVar("T")


def N_(text: str) -> str:
    """Return the English text as it is, marked for the catalogues: for constants, which `tr` gets where shown."""
    return text


def known(language: str) -> str:
    """Return a language that the kiosk speaks: the one asked for, English where it does not ('es_MX' is 'es')."""
    base = language.replace("-", "_").partition("_")[0].lower()
    return base if base in LANGUAGES else "en"


def speak(language: str) -> None:
    """Speak a language from now on: that of whoever stands at the kiosk."""
    global _STANDING
    _STANDING = known(language)


def current() -> str:
    """Return the language spoken now: that of the work's asker, else that of whoever stands at the kiosk."""
    return _asked.get() or _STANDING


@contextlib.contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak a language for the work inside, on this thread only."""
    token = _asked.set(known(language))
    try:
        yield
    finally:
        _asked.reset(token)


def in_asker_s_language(work: Callable[[], T]) -> Callable[[], T]:
    """Return work that speaks, on whatever thread it runs, the language that is spoken now."""
    language = current()

    def run() -> T:
        with speaking(language):
            return work()

    return run


def tr(text: str) -> str:
    """Return a text in the language of whoever stands at the kiosk."""
    return _catalogue(current()).gettext(text) if text else ""


def trn(one: str, many: str, count: float) -> str:
    """Return the form of a text that goes with a count: `trn("{n} turn", "{n} turns", n).format(n=n)`."""
    whole = int(count) if count == int(count) else 2  # '1.5 turns', as '2 turns'
    return _catalogue(current()).ngettext(one, many, whole)


@functools.cache
def _catalogue(language: str) -> gettext.NullTranslations:
    if language == "en":
        return gettext.NullTranslations()
    with (_FOLDER / language / "LC_MESSAGES" / "kiosk.mo").open("rb") as file:
        return gettext.GNUTranslations(file)


# --- numbers and dates ---


def number(value: float | None, form: str = ",g") -> str:
    """Return a number by Python's format, with the language's own signs ('1,234.5'); '' for none."""
    return "" if value is None else in_own_signs(format(value, form))


def in_own_signs(text: str) -> str:
    """Return a text of numbers as English writes them, with the language's own decimal sign and grouping."""
    decimal, group = _signs(current())
    if (decimal, group) == (".", ","):
        return text
    return re.sub(r"(?<=\d)[.,](?=\d)", lambda sign: decimal if sign.group() == "." else group, text)


@functools.cache
def _signs(language: str) -> tuple[str, str]:
    if language == "en":
        return ".", ","
    from babel.numbers import get_decimal_symbol, get_group_symbol

    return get_decimal_symbol(_LOCALES[language]), get_group_symbol(_LOCALES[language])


def date_words(day: date) -> str:
    """Return 'Mon 2 Mar 2026'."""
    return _by_pattern(day, tr("EEE d MMM y"))


def date_short(day: date) -> str:
    """Return '2 Mar 2026'."""
    return _by_pattern(day, tr("d MMM y"))


def month_words(day: date) -> str:
    """Return 'March 2026'."""
    return _by_pattern(day, tr("MMMM y"))


def clock_words(moment: datetime) -> str:
    """Return 'Mon 2 Mar 2026 06:12' of a local time."""
    return f"{date_words(moment.date())} {moment:%H:%M}"


def _by_pattern(day: date, pattern: str) -> str:
    from babel.dates import format_date

    return str(format_date(day, pattern, locale=_LOCALES[current()]))
