"""One TOML table read key by key: each value is checked as it is taken, and a refusal knows its file and line."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from kiosk.errors import SheetError, UnreadableNumber
from kiosk.sheets.lines import KeyLines, Path
from kiosk.units import parse_length

_LARGEST = 1e9
_LONGEST_TEXT = 400
_WORDS = {bool: "true or false", str: "a text", int: "a number", float: "a number", list: "a list", dict: "a table",
          datetime: "a date", date: "a date", time: "a time"}


@dataclass(frozen=True)
class Table:
    """A table of a sheet.

    Args:
        values: What tomllib read. `path`: the way to it. `file`, `lines`: for refusals.
    """

    values: dict[str, Any]
    path: Path
    file: str
    lines: KeyLines

    def refused(self, reason: str, *key: str | int) -> SheetError:
        """Return the refusal of a key, or of the whole table, with its line."""
        return SheetError(self.file, self.lines.of((*self.path, *key)), reason)

    def only(self, known: Collection[str]) -> None:
        """Refuse the first key that is not known."""
        for key in self.values:
            if key not in known:
                raise self.refused(f"the key '{key}' is not known here; known are {', '.join(sorted(known))}", key)

    def text(self, key: str, default: str | None = None) -> str:
        """Return a text that is not empty; without a default the key must be there."""
        value = self._required(key) if default is None else self.values.get(key, default)
        if not isinstance(value, str):
            raise self._wrong_type(key, value, "a text in quotes")
        if default is None and not value.strip():
            raise self.refused(f"'{key}' is empty", key)
        if len(value) > _LONGEST_TEXT:
            raise self.refused(f"'{key}' is longer than {_LONGEST_TEXT} characters; nobody reads that at a kiosk", key)
        return value.strip()

    def choice(self, key: str, options: Collection[str], default: str | None = None) -> str:
        """Return a text that is one of the options."""
        value = self.text(key, default)
        if value not in options:
            raise self.refused(f"'{key}' is '{value}'; it can be {', '.join(options)}", key)
        return value

    def flag(self, key: str, default: bool = False) -> bool:
        """Return true or false."""
        value = self.values.get(key, default)
        if not isinstance(value, bool):
            raise self._wrong_type(key, value, "true or false")
        return value

    def whole(self, key: str, low: int) -> int:
        """Return a whole number, `low` or more."""
        value = self._required(key)
        if isinstance(value, bool) or not isinstance(value, int):
            raise self._wrong_type(key, value, "a whole number")
        if not low <= value <= _LARGEST:
            raise self.refused(f"'{key}' must be {low} or more", key)
        return value

    def number(self, key: str) -> float:
        """Return an ordinary number."""
        value = self._required(key)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self._wrong_type(key, value, "a number")
        if not -_LARGEST <= value <= _LARGEST:  # NaN fails this too
            raise self.refused(f"'{key}' must be an ordinary number", key)
        return float(value)

    def positive(self, key: str) -> float:
        """Return a number above zero."""
        value = self.number(key)
        if value <= 0:
            raise self.refused(f"'{key}' must be above 0", key)
        return value

    def amount(self, name: str, unit: str) -> float | None:
        """Return `name` in `unit`, None if it is not there.

        A length is `name_mm`, a number, or `name`, a text with its unit; anything else is `name`, a number.
        """
        if unit != "mm":
            return self.number(name) if name in self.values else None
        in_mm = f"{name}_mm"
        if name in self.values and in_mm in self.values:
            raise self.refused(f"'{name}' and '{in_mm}' are both given; keep one", in_mm)
        if name in self.values:
            return self._length(name)
        return self.number(in_mm) if in_mm in self.values else None

    def key_of_amount(self, name: str) -> str:
        """Return the key under which an amount was written, for a refusal."""
        return name if name in self.values else f"{name}_mm"

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts, none empty, none twice; an absent key is an empty list."""
        value = self.values.get(key, [])
        if not isinstance(value, list):
            raise self._wrong_type(key, value, "a list")
        for at, item in enumerate(value):
            if not isinstance(item, str) or not item.strip():
                raise self.refused(f"'{key}' holds {_shown(item)}; each entry is a text in quotes", key, at)
            if item in value[:at]:
                raise self.refused(f"'{key}' holds '{item}' twice", key, at)
        return tuple(item.strip() for item in value)

    def table(self, key: str) -> Table | None:
        """Return the table of that name, None if there is none."""
        value = self.values.get(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            raise self._wrong_type(key, value, "a table")
        return Table(value, (*self.path, key), self.file, self.lines)

    def tables(self, key: str) -> tuple[Table, ...]:
        """Return the tables written under [[key]]; an absent key is none."""
        value = self.values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            raise self.refused(f"'{key}' must be written as [[{key}]] tables", key)
        return tuple(Table(item, (*self.path, key, at), self.file, self.lines) for at, item in enumerate(value))

    def _required(self, key: str) -> Any:
        if key not in self.values:
            raise self.refused(f"the key '{key}' is missing")
        return self.values[key]

    def _length(self, key: str) -> float:
        value = self.values[key]
        if not isinstance(value, str):
            raise self.refused(f"'{key}' is a length: write {key}_mm = 76.2, or {key} = \"3 in\"", key)
        try:
            as_inch, as_mm = parse_length(value, "in").mm, parse_length(value, "mm").mm
        except UnreadableNumber as error:
            raise self.refused(f"'{key}': {error.operator_message}", key) from error
        if not math.isclose(as_inch, as_mm):
            raise self.refused(f"'{key}' is \"{value}\" without a unit; write in or mm behind it", key)
        return as_mm

    def _wrong_type(self, key: str, value: Any, wanted: str) -> SheetError:
        return self.refused(f"'{key}' must be {wanted}, not {_shown(value)}", key)


def _shown(value: Any) -> str:
    """Say what a value is, in a reader's words, without repeating something endless."""
    if isinstance(value, str):
        return "an empty text" if not value.strip() else f"the text '{value[:30]}'"
    return _WORDS.get(type(value), "that")
