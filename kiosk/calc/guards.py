"""Refusals shared by every computation: NaN, infinity, wrong sign and values outside a formula's range.

A function calls these first, so that no bad number travels further than the first line that sees it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from numbers import Real

from kiosk.errors import OutOfRange

# Nothing in the yard is larger than this in any unit we use; a larger number is a slip, not a reading.
HUGE = 1e12
_PLAIN = (float, int)


def number(name: str, value: object, unit: str = "", low: float | None = None, high: float | None = None,
           source: str = "") -> float:
    """Return `value` as a float if it is an ordinary number with low <= value <= high.

    Raises:
        OutOfRange: not a number, NaN, infinite, beyond ±1e12, or outside low..high.
    """
    # A plain float within bounds, as nearly all are, needs no further look; NaN is within no bounds.
    if type(value) is float and -HUGE <= value <= HUGE and (low is None or value >= low) and (
            high is None or value <= high):
        return value
    if type(value) not in _PLAIN and (isinstance(value, bool) or not isinstance(value, Real)):
        raise OutOfRange(name, value, unit, low, high, source)
    try:
        result = float(value)  # type: ignore[arg-type]
    except OverflowError as error:  # an int of hundreds of digits
        raise OutOfRange(name, value, unit, low, high, source) from error
    if not math.isfinite(result) or abs(result) > HUGE:
        raise OutOfRange(name, value, unit, low, high, source)
    if (low is not None and result < low) or (high is not None and result > high):
        raise OutOfRange(name, value, unit, low, high, source)
    return result


def number_or_none(name: str, value: object, unit: str = "", low: float | None = None,
                   high: float | None = None) -> float | None:
    """Return None for what was not measured, anything else as `number` does."""
    return None if value is None else number(name, value, unit, low, high)


def positive(name: str, value: object, unit: str = "", high: float | None = None, source: str = "") -> float:
    """Return `value` as a float if it is an ordinary number above zero (and at most `high`)."""
    if type(value) is float and 0.0 < value <= (HUGE if high is None else high):
        return value
    result = number(name, value, unit, 0.0, high, source)
    if result == 0.0:
        raise OutOfRange(name, value, unit, 0.0, high, source)
    return result


def count(name: str, value: object, low: int = 0, high: int | None = None, source: str = "") -> int:
    """Return `value` as an int if it is a whole number with low <= value <= high."""
    result = number(name, value, "", low, high, source)
    if result != int(result):
        raise OutOfRange(name, value, "", low, high, source)
    return int(result)


def numbers(name: str, values: Sequence[object], unit: str = "", low: float | None = None,
            high: float | None = None, at_least: int = 1) -> tuple[float, ...]:
    """Return `values` as floats, each checked as by `number`; refuse fewer than `at_least` of them."""
    if len(values) < at_least:
        raise OutOfRange(f"number of {name}", len(values), "", at_least)
    return tuple(number(name, value, unit, low, high) for value in values)
