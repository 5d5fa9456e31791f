"""A service sheet being edited as the TOML text it is: comments, order and whatever else stands in it stay.

The editor knows nothing of a sheet's keys but which of them are limits and which may be added: every text, number, list
of texts and table can be looked at and changed, those that sheets will have one day too. What it says is checked by the
same reader that checks a file. A limit that is changed needs its source said again before it comes into force.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator
from typing import Any

from kiosk.errors import KioskError, SheetError, UnreadableNumber
from kiosk.events import Event, SheetAdopted
from kiosk.language import N_, tr
from kiosk.presenters.set_up_ports import SheetField, SheetPath
from kiosk.service_sheet import ServiceSheet
from kiosk.set_up.pen import Pen
from kiosk.sheets import SheetErrors, parse_sheet
from kiosk.units import parse_length

LIMITS = frozenset({"lower", "lower_mm", "upper", "upper_mm", "largest_difference", "largest_difference_mm", "hours",
                    "days", "strokes", "most_per_day", "most_per_month"})
FIXED = frozenset({"key", "revision"})
TITLES = {
    "title": N_("Title"), "source": N_("Source"), "replace_reasons": N_("Reasons to replace"),
    "signal": N_("Signal word"),
    "hazard": N_("Hazard"), "action": N_("What to do"), "unit": N_("Unit"), "sides": N_("Sides"),
    "lower": N_("Lower limit"), "upper": N_("Upper limit"), "lower_mm": N_("Lower limit, mm"),
    "upper_mm": N_("Upper limit, mm"), "largest_difference": N_("Largest difference left to right"),
    "largest_difference_mm": N_("Largest difference left to right, mm"), "resolution": N_("Resolution"),
    "resolution_mm": N_("Resolution, mm"), "instrument": N_("Instrument"), "how": N_("How to measure"),
    "rule": N_("Decision rule"), "type": N_("Kind of work"), "quick": N_("Saved by one touch"),
    "cautions": N_("Cautions"), "readings": N_("Readings"), "steps": N_("Steps"), "interval": N_("Interval"),
    "hours": N_("Hours"), "days": N_("Days"), "grease": N_("Grease"), "computation": N_("Computation"),
    "strokes": N_("Strokes"), "most_per_day": N_("Most strokes a day"), "most_per_month": N_("Most strokes a month"),
    "grams_per_stroke": N_("Grams a stroke"), "thickener": N_("Thickener"), "tool": N_("Tool"), "name": N_("Name"),
    "caution": N_("Caution"), "reading": N_("Reading"), "job": N_("Job"), "figure": N_("Figure"),
}
_ADDABLE_READING = ("lower", "upper", "largest_difference")
_LONGEST_SHOWN = 80


class FieldRefused(KioskError):
    """What was typed is no value of this field."""


class TomlDraft:
    """A sheet being edited; answers `set_up_ports.SheetDraft`.

    Args:
        text: The sheet in force. `file`: its name, for refusals.
    """

    def __init__(self, text: str, file: str) -> None:
        import tomlkit  # 20 ms, and needed only here

        self._toml = tomlkit
        self._file = file
        self._document: Any = tomlkit.parse(text)
        self._before: Any = copy.deepcopy(self._document.unwrap())
        self._said: set[SheetPath] = set()

    @property
    def key(self) -> str:
        """The sheet's key."""
        return str(self._document["key"])

    @property
    def title(self) -> str:
        """The sheet's title."""
        return str(self._document["title"])

    @property
    def revision(self) -> int:
        """The revision that it will be."""
        return int(self._before["revision"]) + 1

    @property
    def is_changed(self) -> bool:
        """Whether anything is other than in force."""
        return bool(self._document.unwrap() != self._before)

    def text(self) -> str:
        """Return the whole text, with its new revision."""
        document = copy.deepcopy(self._document)
        document["revision"] = self.revision
        return str(self._toml.dumps(document))

    # --- looking ---

    def name_of(self, path: SheetPath) -> str:
        """Return what a table or list is called: 'Reading: Play of the shaft'."""
        if not path:
            return self.title
        kind = str(path[-2] if isinstance(path[-1], int) else path[-1])
        value = self._at(path)
        own = (value.get("title") or value.get("hazard") or value.get("name") or value.get("key") or "") if isinstance(
            value, dict) else ""
        return f"{_title(kind)}: {own}" if own else _title(kind)

    def fields(self, path: SheetPath) -> tuple[SheetField, ...]:
        """Return what stands in a table, each of its arrays' tables by itself, and what could be added."""
        return (*self._present(path), *self._absent(path))

    def _present(self, path: SheetPath) -> Iterator[SheetField]:
        for key, value in self._at(path).items():
            here = (*path, str(key))
            if key in FIXED:
                continue
            if _is_tables(value):
                for at in range(len(value)):
                    yield SheetField((*here, at), "table", self.name_of((*here, at)), _table_shown(value[at]))
            elif isinstance(value, dict):
                yield SheetField(here, "table", _title(str(key)), _table_shown(value))
            elif isinstance(value, list):
                yield SheetField(here, "texts", _title(str(key)), ", ".join(map(str, value))[:_LONGEST_SHOWN])
            else:
                kind = "flag" if isinstance(value, bool) else "value"
                yield SheetField(here, kind, _title(str(key)), _shown(value))

    def _absent(self, path: SheetPath) -> Iterator[SheetField]:
        table = self._at(path)
        for key in self._addable(path, table):
            if key not in table:
                yield SheetField((*path, key), "absent", _title(key), "")

    def _addable(self, path: SheetPath, table: Any) -> tuple[str, ...]:
        kind = str(path[-2]) if path and isinstance(path[-1], int) else str(path[-1]) if path else ""
        if kind == "reading":
            in_mm = table.get("unit", "mm") == "mm" and not any(key in table for key in _ADDABLE_READING)
            return (*(f"{key}_mm" if in_mm else key for key in _ADDABLE_READING), "how")
        return {"interval": ("hours", "days"), "job": ("steps", "interval")}.get(kind, ())

    def texts(self, path: SheetPath) -> tuple[str, ...]:
        """Return the texts of a list."""
        return tuple(map(str, self._at(path)))

    def value(self, path: SheetPath) -> str:
        """Return a value as one types it, '' for an absent one."""
        try:
            return _shown(self._at(path))
        except (KeyError, IndexError):
            return ""

    def find(self, way: str) -> SheetPath:
        """Return the path of a way in words: 'reading/shaft-play/upper_mm', array elements by their key or number.

        Raises:
            FieldRefused: there is no such thing on the sheet.
        """
        path: SheetPath = ()
        for word in way.split("/"):
            here = self._at(path)
            if isinstance(here, list):
                at = next((at for at, row in enumerate(here) if isinstance(row, dict) and row.get("key") == word), None)
                at = int(word) if at is None and word.isdecimal() and int(word) <= len(here) else at
                if at is None:
                    raise FieldRefused(tr("The sheet has no '{way}'.").format(way=way))
                path = (*path, at)
            elif isinstance(here, dict):
                path = (*path, word)
                if word not in here and word not in self._addable(path[:-1], here):
                    raise FieldRefused(tr("The sheet has no '{way}'.").format(way=way))
            else:
                raise FieldRefused(tr("The sheet has no '{way}'.").format(way=way))
        return path

    # --- changing ---

    def change(self, path: SheetPath, typed: str) -> None:
        """Set a value, or add one to a list, from what was typed.

        Raises:
            FieldRefused: it is no value of this field; names the field.
        """
        parent, key = self._at(path[:-1]), path[-1]
        if key in FIXED:
            raise FieldRefused(tr("'{field}' is the kiosk's to set.").format(field=key))
        if isinstance(parent, list):
            if isinstance(key, int) and key < len(parent):
                parent[key] = typed
            else:
                parent.append(typed)
            return
        old = parent.get(key)
        if isinstance(old, list) or (old is None and key == "steps"):
            parent[key] = [part.strip() for part in typed.split(";") if part.strip()]
        elif isinstance(old, bool):
            parent[key] = typed.strip().lower() in ("true", "yes", "1")
        elif old is None and key == "interval":
            parent[key] = {"days": _number(str(key), typed), "source": ""}
        elif _is_number(str(key), old):
            parent[key] = _number(str(key), typed)
        else:
            parent[key] = typed
        if key == "source":
            self._said.add(self._identity(path[:-1]))

    def flip(self, path: SheetPath) -> None:
        """Turn a flag."""
        parent = self._at(path[:-1])
        parent[path[-1]] = not parent[path[-1]]

    def remove(self, path: SheetPath) -> None:
        """Take a value, a text of a list, or a table out."""
        parent = self._at(path[:-1])
        del parent[path[-1]]
        if isinstance(parent, list) and not parent and len(path) >= 2:
            del self._at(path[:-2])[path[-2]]

    def copy(self, path: SheetPath) -> SheetPath:
        """Put another table like this behind the last of its kind, under a key of its own."""
        rows, at = self._at(path[:-1]), path[-1]
        assert isinstance(at, int)
        table = copy.deepcopy(rows[at])
        keys = {str(row.get("key")) for row in rows}
        if "key" in table:
            stem, number = str(table["key"]), 2
            while f"{stem}-{number}" in keys:
                number += 1
            table["key"] = f"{stem}-{number}"
            if "title" in table:
                table["title"] = f"{table['title']} {number}"
        rows.append(table)
        return (*path[:-1], len(rows) - 1)

    # --- checking ---

    def problems(self) -> tuple[str, ...]:
        """Return why it cannot come into force as it stands."""
        return (*self._unread(), *self._unsourced())

    def sheet(self) -> ServiceSheet:
        """Return what it says.

        Raises:
            FieldRefused: it cannot be read; says why.
        """
        unread = self._unread()
        if unread:
            raise FieldRefused(unread[0])
        return parse_sheet(self.text(), self._file)

    def _unread(self) -> list[str]:
        text = self.text()
        try:
            parse_sheet(text, self._file)
        except SheetErrors as several:
            return [_problem(error, text) for error in several.errors]
        except SheetError as error:
            return [_problem(error, text)]
        return []

    def _unsourced(self) -> list[str]:
        """Return which limits are other than before while nobody said where they come from."""
        before, now = dict(_limits(self._before, ())), dict(_limits(self._document.unwrap(), ()))
        changed = [where for where, limits in now.items() if limits != before.get(where) and where not in self._said]
        return [tr("Say where the new limit of '{what}' comes from: its source.").format(
            what=" ".join(str(word) for word in where) or self.title) for where in changed]

    def _identity(self, path: SheetPath) -> SheetPath:
        """Return the way to a table by keys, which stays when others come and go."""
        table: Any = self._document
        named: list[str | int] = []
        for word in path:
            table = table[word]
            named.append(str(table["key"]) if isinstance(word, int) and "key" in table else word)
        return tuple(named)

    def _at(self, path: SheetPath) -> Any:
        here = self._document
        for word in path:
            here = here[word]
        return here


def adopted(draft: TomlDraft, in_force: ServiceSheet, pen: Pen) -> tuple[Event, str]:
    """Return the event that puts a draft into force, and its text.

    Raises:
        FieldRefused: it has problems, says what is in force already, or another revision came in between.
    """
    problems = draft.problems()
    if problems:
        raise FieldRefused(problems[0])
    if not draft.is_changed:
        raise FieldRefused(tr("Nothing is changed on this sheet."))
    if draft.revision != in_force.revision + 1:
        raise FieldRefused(tr("Revision {revision} of this sheet came into force in the meantime. Begin anew.").format(
            revision=in_force.revision))
    text = draft.text()
    return pen.event(SheetAdopted(draft.key, draft.revision, text)), text


def _limits(table: Any, where: SheetPath) -> Iterator[tuple[SheetPath, dict[str, Any]]]:
    """Yield each table that has limits, by its keys; a grease table's source is that of its job's table or sheet."""
    own = {key: value for key, value in table.items() if key in LIMITS and not isinstance(value, (dict, list))}
    if own and where and where[-1] != "computation" and "figure" not in where:
        yield (where if "source" in table else ()), own
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _limits(value, (*where, key))
        elif _is_tables(value):
            for at, row in enumerate(value):
                yield from _limits(row, (*where, key, row.get("key", at)))


def _problem(error: SheetError, text: str) -> str:
    """Return a refusal with the name of the table it is in."""
    above = reversed(text.splitlines()[:error.line])
    name = next((line.partition("=")[2].strip().strip('"') for line in above if line.startswith("key =")), "")
    return f"{name}: {error.reason}." if name else f"{error.reason}."


def _is_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(row, dict) for row in value)


def _is_number(key: str, old: Any) -> bool:
    return (isinstance(old, (int, float)) and not isinstance(old, bool)) or (old is None and key in LIMITS)


def _number(key: str, typed: str) -> int | float:
    """Return a number that was typed; a length may have its unit behind it ('3/8 in')."""
    try:
        value = parse_length(typed, "mm").mm if key.endswith("_mm") else float(typed.replace(",", "."))
    except (UnreadableNumber, ValueError) as error:
        raise FieldRefused(tr("{field}: '{typed}' is no number.").format(field=_title(key), typed=typed)) from error
    if not math.isfinite(value):
        raise FieldRefused(tr("{field}: '{typed}' is no number.").format(field=_title(key), typed=typed))
    return int(value) if value == int(value) else round(value, 6)


def _title(key: str) -> str:
    return tr(TITLES[key]) if key in TITLES else key.replace("_", " ").capitalize()


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return tr("yes") if value else tr("no")
    return f"{value:g}" if isinstance(value, float) else str(value)


def _table_shown(table: Any) -> str:
    """Return the limits of a table in a few words."""
    limits = [f"{_title(key)} {_shown(value)}" for key, value in table.items() if key in LIMITS]
    return "; ".join(limits)[:_LONGEST_SHOWN] or str(table.get("signal", table.get("type", "")))
