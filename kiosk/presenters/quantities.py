"""From a typed text to a value in the code's unit and back to the person's: lengths, temperatures, plain numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable

from kiosk import units
from kiosk.errors import UnreadableNumber
from kiosk.language import in_own_signs, number, tr

LENGTH = "mm"
TEMPERATURE = "degC"
_SHOWN_UNITS = {
    "count": "", "": "", "h": "h", "percent": "%", "newton": "N", "newton_metre": "N·m", "grams": "g", "bar": "bar",
    "degrees": "°", "minutes": "min", "rpm": "r/min", "mm_per_m": "mm/m",
}
_PLAIN_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)", re.ASCII)
_LONGEST_NUMBER = 12


def is_length(unit: str) -> bool:
    """Say whether a quantity is typed with fractions and in the person's units."""
    return unit == LENGTH


def read_quantity(text: str, unit: str, typed_unit: str) -> float:
    """Return what was typed, in the code's unit.

    Args:
        text: As typed.
        unit: The quantity's unit inside the code.
        typed_unit: 'in' or 'mm': the units that bare numbers are read in; temperatures go with it, °F with 'in'.

    Raises:
        UnreadableNumber: not one clear value; says what is wrong.
    """
    if is_length(unit):
        return units.parse_length(text, typed_unit).mm
    value = _number(text)
    if unit == TEMPERATURE and typed_unit == "in":
        return units.convert(value, "°F", "°C")
    if unit == "count" and value != int(value):
        raise UnreadableNumber(text, tr("This is a count: type a whole number."))
    return value


def _number(text: str) -> float:
    plain = text.strip()
    if len(plain) > _LONGEST_NUMBER:
        raise UnreadableNumber(text, tr("That is too long for a reading. Type one number."))
    if not _PLAIN_NUMBER.fullmatch(plain):
        raise UnreadableNumber(text, tr("That is not one clear number. Type it like 12 or 12.5."))
    return float(plain)


def show_quantity(value: float, unit: str, shown_units: str, keep_sides_of: Iterable[float] = ()) -> str:
    """Return a value with its unit in the person's units, the other in brackets where there are two."""
    if is_length(unit):
        return in_own_signs(units.format_both(value, shown_units, keep_sides_of=tuple(keep_sides_of)))
    if unit == TEMPERATURE:
        celsius, fahrenheit = f"{number(value, '.4g')} °C", f"{number(units.convert(value, '°C', '°F'), '.4g')} °F"
        return f"{fahrenheit} ({celsius})" if shown_units == "in" else f"{celsius} ({fahrenheit})"
    return f"{number(value, '.6g')} {_SHOWN_UNITS.get(unit, unit)}".strip()


def show_short(value: float, unit: str, shown_units: str, keep_sides_of: Iterable[float] = ()) -> str:
    """Return a value in the person's units only, for a gauge or an axis."""
    if is_length(unit):
        return in_own_signs(units.format_length(value, shown_units, keep_sides_of=tuple(keep_sides_of)))
    return show_quantity(value, unit, shown_units).partition(" (")[0]


def show_limits(lower: float | None, upper: float | None, unit: str, shown_units: str) -> str:
    """Return the limits as words: 'between … and …', 'at least …', 'at most …'."""
    low = None if lower is None else show_quantity(lower, unit, shown_units)
    high = None if upper is None else show_quantity(upper, unit, shown_units)
    if low and high:
        return tr("between {low} and {high}").format(low=low, high=high)
    if low:
        return tr("at least {low}").format(low=low)
    return tr("at most {high}").format(high=high) if high else tr("no limits")
