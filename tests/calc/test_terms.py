"""Docstrings of kiosk.calc against the signatures and the one table of terms; their examples run."""

from __future__ import annotations

import dataclasses
import doctest
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from types import ModuleType
from typing import Any

import pytest

import kiosk.calc
from kiosk.calc.terms import TERMS

# Guards and tables serve the formulas; they compute no quantity of the trade.
NO_FORMULAS = {"kiosk.calc.guards", "kiosk.calc.tables"}

# In the caller's unit, whatever it is: a reading and its limits, a fitted line, a sample.
ANY_UNIT = {
    "value", "lower", "upper", "size", "readings", "values", "resolution", "standard_uncertainty", "x", "y",
    "expanded_uncertainty", "calibration_uncertainty", "accept_lower", "accept_upper", "mean", "standard_deviation",
    "limit", "lower_limit", "upper_limit", "last_value", "columns", "terms", "further", "mm", "low_mm", "high_mm",
    "keep_sides_of",
}

CORE_UNITS = {
    "mm": "mm", "newton": "N", "newton_per_metre": "N/m", "newton_metre": "N·m", "grams": "g", "kg_per_m": "kg/m",
    "hours": "h", "days": "d", "minutes": "min", "rpm": "r/min", "percent": "%", "celsius": "°C", "degrees": "°",
    "per_kelvin": "1/K",
}

MODULES = [*sorted(info.name for info in pkgutil.iter_modules(kiosk.calc.__path__, "kiosk.calc.")), "kiosk.units"]


def _public(module: ModuleType, is_kind: Callable[[object], bool]) -> Iterator[tuple[str, Any]]:
    for name, thing in vars(module).items():
        if not name.startswith("_") and is_kind(thing) and thing.__module__ == module.__name__:
            yield name, thing


def _functions(module_name: str) -> list[tuple[str, Any]]:
    module = importlib.import_module(module_name)
    return [(name, inspect.unwrap(function)) for name, function in _public(module, _is_function)]


def _is_function(thing: object) -> bool:
    return callable(thing) and inspect.isfunction(inspect.unwrap(thing))


def _args_section(doc: str) -> dict[str, str]:
    """Return the entries of a docstring's Args section, by name."""
    section = re.search(r"^Args:\n(.*?)(?=^\S|\Z)", inspect.cleandoc(doc), re.DOTALL | re.MULTILINE)
    if section is None:
        return {}
    entries = re.findall(r"^    (\*?\w+): (.*(?:\n     .*)*)", section[1], re.MULTILINE)
    return dict(entries)


def _is_quantity(annotation: str) -> bool:
    """Say whether a parameter's type is a number or a row of numbers."""
    return bool(re.search(r"\b(int|float)\b", annotation)) and "Callable" not in annotation


def _named_terms(name: str) -> list[str]:
    return [key for key, term in TERMS.items() if name == (f"{key}_{term.suffix}" if term.suffix else key)]


CALCULATING = [name for name in MODULES if name not in NO_FORMULAS]


@pytest.mark.parametrize("module_name", CALCULATING)
def test_args_match_the_signature(module_name: str) -> None:
    """The Args section of each public function names exactly its parameters, in their order."""
    wrong = [f"{name}: {list(documented)} documented, {given} in the signature"
             for name, function in _functions(module_name)
             if (documented := _args_section(function.__doc__ or "")).keys() ^ set(
                 given := list(inspect.signature(function).parameters)) or list(documented) != given]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("module_name", CALCULATING)
def test_fields_match_the_class_docstring(module_name: str) -> None:
    """The Args section of each public dataclass names exactly its fields."""
    module = importlib.import_module(module_name)
    kinds = _public(module, lambda thing: isinstance(thing, type) and dataclasses.is_dataclass(thing))
    wrong = [f"{name}: {sorted(documented ^ fields)}" for name, kind in kinds
             if (documented := _args_section(kind.__doc__ or "").keys()) ^ (
                 fields := {field.name for field in dataclasses.fields(kind)})]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("module_name", CALCULATING)
def test_quantities_stand_in_the_table_of_terms(module_name: str) -> None:
    """Each number that a public function takes is a term, its name ending in that term's unit."""
    unknown = sorted({parameter for _, function in _functions(module_name)
                      for parameter, kind in inspect.signature(function).parameters.items()
                      if _is_quantity(str(kind.annotation)) and parameter not in ANY_UNIT
                      and not _named_terms(parameter)})
    assert not unknown, f"not in TERMS: {', '.join(unknown)}"


@pytest.mark.parametrize("module_name", CALCULATING)
def test_documented_units_are_the_terms_units(module_name: str) -> None:
    """Where an Args entry prints a unit in brackets, it is the unit of the term."""
    wrong = [f"{name}({parameter}): [{unit[1]}]" for name, function in _functions(module_name)
             for parameter, text in _args_section(function.__doc__ or "").items()
             for key in _named_terms(parameter) if (unit := re.search(r"\[([^\]]+)\]", text))
             and TERMS[key].suffix and unit[1] != TERMS[key].unit]
    assert not wrong, "\n".join(wrong)


def test_a_suffix_means_one_unit() -> None:
    """No two terms give one suffix different units, and the common suffixes mean what they say."""
    units: dict[str, set[str]] = {}
    for term in TERMS.values():
        units.setdefault(term.suffix, set()).add(term.unit)
    units.pop("", None)
    assert not {suffix: named for suffix, named in units.items()
                if len(named) > 1 or not named <= {CORE_UNITS.get(suffix, *named)}}


def test_terms_say_what_they_are() -> None:
    """Each term has the trade's name and one sentence."""
    assert all(term.name and term.meaning.endswith(".") for term in TERMS.values())


@pytest.mark.parametrize("module_name", MODULES)
def test_docstring_examples_run(module_name: str) -> None:
    """Each example in a docstring gives what it prints."""
    assert doctest.testmod(importlib.import_module(module_name)).failed == 0
