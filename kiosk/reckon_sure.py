"""How sure a desk answer is from the digits typed alone: each number is taken as rounded to its last digit.

The uncertainty of a rounded number is carried to the answer by moving one input at a time. Source: JCGM 100:2008
(GUM), F.2.2.1 for the rounding, 5.1.3 note 2 for moving the inputs. It is a floor: how well the mechanic measured is
not in it.
"""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Callable, Mapping
from typing import Any

from kiosk import reckon_words as words
from kiosk import units
from kiosk.calc.tolerance import COVERAGE_FACTOR, standard_uncertainty
from kiosk.errors import KioskError

Answers = Mapping[str, Any]
_DENOMINATOR = re.compile(r"/\s*(\d+)")
_DECIMALS = re.compile(r"\d*[.](\d*)")


def last_digit(text: str) -> float:
    """Return the worth of the last digit typed, in the unit it was typed in: 0.1 for '2.5', 1/8 for '1 5/8'."""
    fraction = _DENOMINATOR.search(text)
    if fraction and int(fraction[1]):
        return 1 / int(fraction[1])
    decimals = _DECIMALS.search(text)
    return 10.0 ** -len(decimals[1]) if decimals else 1.0


def length_step_mm(text: str, length_unit: str) -> float:
    """Return the worth of the last digit of a typed length. [mm]"""
    unit = units.parse_length(text, length_unit).unit_typed
    return last_digit(text) * units.parse_length("1", unit).mm


def from_digits(answer_with: Callable[[Mapping[str, float]], Answers],
                typed: Mapping[str, tuple[float, float]]) -> dict[str, dict[str, Any]]:
    """Return the expanded uncertainty (k = 2) of each number of the answer, and the input it mostly comes from.

    Args:
        answer_with: Gives the answers with some inputs replaced.
        typed: Value and worth of the last digit of each input, both in the unit its function takes.
    """
    shares: dict[str, dict[str, float]] = {}
    for name, (value, step) in typed.items():
        moved = standard_uncertainty("resolution", step)
        try:
            low, high = (_numbers(answer_with({name: value + sign * moved})) for sign in (-1, 1))
        except KioskError:
            continue  # at the edge of what the formula answers; nothing is claimed for this input
        for part in low.keys() & high.keys():
            shares.setdefault(part, {})[name] = abs(high[part] - low[part]) / 2
    return {part: _summed(part, terms) for part, terms in sorted(shares.items()) if any(terms.values())}


def _summed(part: str, terms: Mapping[str, float]) -> dict[str, Any]:
    expanded = COVERAGE_FACTOR * math.sqrt(sum(term * term for term in terms.values()))
    largest = max(terms, key=lambda name: terms[name])
    suffix = words.suffix_of(part.rpartition(".")[2])
    return {f"plus_or_minus_{suffix}".rstrip("_"): expanded,
            "mostly_from": words.without_unit(largest).replace("_", " ")}


def _numbers(answers: Answers) -> dict[str, float]:
    """Return the broken numbers of the answers by 'function.part'; counts and texts do not move by digits."""
    found = {}
    for name, answer in answers.items():
        parts = dataclasses.asdict(answer) if dataclasses.is_dataclass(answer) and not isinstance(answer, type) else {
            "": answer}
        found.update({f"{name}.{part}".rstrip("."): float(value) for part, value in parts.items()
                      if isinstance(value, float) and math.isfinite(value) and not _is_chance(part)})
    return found


def _is_chance(part: str) -> bool:
    """A probability says itself how sure the answer is; rounding is not carried to it."""
    return "probability" in part or "chance" in part
