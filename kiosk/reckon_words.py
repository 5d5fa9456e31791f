"""From a function's signature to the options of a command line, and from typed texts to its arguments.

Every number may carry its unit; a bare one is in the unit that the function takes, lengths in the unit of `--unit`.
Lengths accept fractions. A dataclass among the arguments is laid out as one option for each of its fields; a row of
dataclasses is typed as one text each, its fields separated by commas in their order.
"""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import re
import types
import typing
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from kiosk import units
from kiosk.calc.terms import TERMS
from kiosk.errors import CalcError, UnreadableNumber

# Units that no term names but a field of an answer carries.
_FURTHER_UNITS = {"m_per_s": "m/s", "seconds": "s", "kilowatt": "kW", "mm_per_turn": "mm", "mm_per_m": "mm/m",
                  "newton_metre": "N·m", "grams": "g", "newton": "N", "kilonewton": "kN", "mpa": "MPa", "mm2": "mm²"}
_SUFFIX_UNITS = {**_FURTHER_UNITS, **{term.suffix: term.unit for term in TERMS.values() if term.suffix}}
_SHORTER = {"takeup_thread_pitch": "thread_pitch"}
_NUMBER = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*(\S.*?)?\s*", re.IGNORECASE)
RESERVED = ("unit", "json", "why", "help")
YES, NO = {"yes", "true", "1", "failed"}, {"no", "false", "0", "running"}


@dataclasses.dataclass(frozen=True)
class Asked:
    """One argument as the command line sees it.

    Args:
        name: Argument of the function, or field of the dataclass `owner`.
        kind: Its type, without `| None`.
        default: What it is when left out; MISSING when it must be given.
        help: From the docstring.
        owner: Argument that the dataclass is for, '' for a plain argument.
    """

    name: str
    kind: Any
    default: Any
    help: str
    owner: str = ""

    @property
    def unit(self) -> str:
        """Unit that the function takes, '' for a ratio, a count or a text."""
        return unit_of(self.name)

    @property
    def is_needed(self) -> bool:
        """True when it must be given."""
        return self.default is dataclasses.MISSING


def function_named(path: str) -> Callable[..., Any]:
    """Return a public function of kiosk.calc by 'module.function'."""
    module, _, name = path.partition(".")
    return typing.cast(Callable[..., Any], getattr(importlib.import_module(f"kiosk.calc.{module}"), name))


def section(doc: str | None, title: str) -> str:
    """Return a section of a docstring as one paragraph, '' when it has none; '' as title is the summary."""
    text = inspect.cleandoc(doc or "")
    if not title:
        return " ".join(text.split("\n\n")[0].split())
    found = re.search(rf"^{title}:\n((?:[ \t]+.*\n?|\n(?=[ \t]))+)", text, re.MULTILINE)
    return " ".join(found[1].split()) if found else ""


def documented(doc: str | None) -> dict[str, str]:
    """Return the entries of a docstring's Args section by name."""
    found = re.search(r"^Args:\n(.*?)(?=^\S|\Z)", inspect.cleandoc(doc or ""), re.DOTALL | re.MULTILINE)
    entries = re.findall(r"^    (\w+): (.*(?:\n     .*)*)", found[1], re.MULTILINE) if found else []
    return {name: " ".join(text.split()) for name, text in entries}


def suffix_of(name: str) -> str:
    """Return the unit ending of a quantity's name, '' when it has none: 'mm' for 'sag_now_mm'."""
    endings = [suffix for suffix in _SUFFIX_UNITS if name == suffix or name.endswith(f"_{suffix}")]
    return max(endings, key=len, default="")


def unit_of(name: str) -> str:
    """Return the unit that a quantity's name ends in, '' when it carries none."""
    return _SUFFIX_UNITS.get(suffix_of(name), "")


def without_unit(name: str) -> str:
    """Return a quantity's name without its unit ending; a name that is all ending stays."""
    return name.removesuffix(f"_{suffix_of(name)}")


def bare(kind: Any) -> Any:
    """Return a type without its `| None`."""
    if isinstance(kind, types.UnionType) or typing.get_origin(kind) is typing.Union:
        rest = [one for one in typing.get_args(kind) if one is not type(None)]
        return rest[0] if len(rest) == 1 else kind
    return kind


def is_row(kind: Any) -> bool:
    """Say whether a type is a row of values."""
    return typing.get_origin(kind) in (Sequence, list, tuple)


def asked_of(function: Callable[..., Any]) -> list[Asked]:
    """Return what a function asks for, a dataclass laid out field by field."""
    hints = typing.get_type_hints(inspect.unwrap(function))
    helps = documented(function.__doc__)
    found: list[Asked] = []
    for name, parameter in inspect.signature(function).parameters.items():
        kind = bare(hints[name])
        if dataclasses.is_dataclass(kind):
            found += _fields(typing.cast(type, kind), name)
            continue
        default = dataclasses.MISSING if parameter.default is parameter.empty else parameter.default
        if default is dataclasses.MISSING and hints[name] != kind:
            default = None  # it may be None, so it may be left out
        if default is dataclasses.MISSING and is_row(kind) and dataclasses.is_dataclass(typing.get_args(kind)[0]):
            default = ()
        found.append(Asked(name, kind, default, helps.get(name, "")))
    return found


def _fields(kind: type, owner: str) -> list[Asked]:
    hints, helps = typing.get_type_hints(kind), documented(kind.__doc__)
    return [Asked(field.name, bare(hints[field.name]), field.default, helps.get(field.name, ""), owner)
            for field in dataclasses.fields(kind)]


def options(asked: Sequence[Asked]) -> dict[str, list[str]]:
    """Return the option strings of each argument: without its unit, unless two would then be alike."""
    short = {one.name: without_unit(one.name) for one in asked}
    names = [*short.values(), *RESERVED]
    return {name: _flags(name if names.count(cut) > 1 else cut) for name, cut in short.items()}


def _flags(short: str) -> list[str]:
    """Return the option, and the trade's shorter word for it if there is one."""
    return [f"--{word.replace('_', '-')}" for word in dict.fromkeys((short, _SHORTER.get(short, short)))]


def value_of(text: str, kind: Any, unit: str, length_unit: str) -> Any:
    """Return what was typed as the type asked for.

    Raises:
        UnreadableNumber: it is none.
    """
    if kind is bool:
        return _yes_or_no(text)
    if kind is str:
        return text
    if kind in (date, datetime):
        return _moment(text, kind)
    if kind is timedelta:
        return timedelta(hours=quantity(text, "h", length_unit))
    if dataclasses.is_dataclass(kind):
        fields = _fields(typing.cast(type, kind), "")
        return kind(*_parts(text, [(one.kind, one.unit) for one in fields], length_unit))  # type: ignore[operator]
    if typing.get_origin(kind) is tuple:
        return tuple(_parts(text, [(one, "") for one in typing.get_args(kind)], length_unit))
    return _whole(quantity(text, unit, length_unit), kind)


def _whole(number: float, kind: Any) -> float:
    return int(number) if kind is int and number == int(number) else number


def _yes_or_no(text: str) -> bool:
    if text.lower() not in YES | NO:
        raise UnreadableNumber(text, f"'{text}' is neither yes nor no.")
    return text.lower() in YES


def _moment(text: str, kind: Any) -> Any:
    try:
        return kind.fromisoformat(text)
    except ValueError as error:
        raise UnreadableNumber(text, f"'{text}' is no date; type it like 2026-03-14.") from error


def _parts(text: str, kinds: Sequence[tuple[Any, str]], length_unit: str) -> list[Any]:
    texts = [part.strip() for part in text.split(",")]
    if len(texts) > len(kinds):
        raise UnreadableNumber(text, f"'{text}' has {len(texts)} parts; {len(kinds)} are asked for.")
    return [None if part in ("", "-") else value_of(part, bare(kind), unit, length_unit)
            for part, (kind, unit) in zip(texts, kinds, strict=False)]


def is_length(text: str, unit: str) -> bool:
    """Say whether a text is read as a length: where millimetres are asked for, or any unit and it is no bare number."""
    match = _NUMBER.fullmatch(text)
    return unit == "mm" or (not unit and not (match and not match[2]))


def number_of(text: str) -> str:
    """Return the number of a typed quantity, without its unit."""
    match = _NUMBER.fullmatch(text)
    return match[1] if match else text


def pairs(texts: Sequence[str], length_unit: str) -> Mapping[str, float]:
    """Return named numbers typed as name=number."""
    named = (text.partition("=") for text in texts)
    return {name: quantity(number, "", length_unit) for name, _, number in named}


def quantity(text: str, unit: str, length_unit: str) -> float:
    """Return a typed number in the unit asked for; it may carry another unit of the same kind.

    Raises:
        UnreadableNumber: not one clear number, or its unit is unknown or measures something else.
    """
    if is_length(text, unit):
        return units.parse_length(text, length_unit).mm
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise UnreadableNumber(text, f"'{text}' is not one clear number of {unit}.")
    number = float(match[1])
    try:
        return number if match[2] in (None, unit) else units.convert(number, match[2], unit)
    except CalcError as error:
        raise UnreadableNumber(text, f"'{text}' cannot be read as a number of {unit or 'anything'}.") from error
