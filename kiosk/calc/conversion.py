"""One conversion for every unit that a manual, a label or a mechanic in the yard uses.

Torque and energy share a dimension and are kept apart here; an ounce is a mass, a fluid ounce a volume; a
temperature and a difference of temperatures are two kinds. Sources: NIST SP 811 (2008) Appendix B for the
inch-pound units (all factors here are exact, the printed ones rounded to seven digits), the SI Brochure for
the prefixes.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from kiosk.calc import guards
from kiosk.calc.constants import FOOT_MM, INCH_MM, POUND_FORCE_NEWTON, POUND_KILOGRAM, STANDARD_GRAVITY
from kiosk.errors import CalcError, NoTableRow, OutOfRange

_INCH_M = INCH_MM / 1000
_FOOT_M = FOOT_MM / 1000
_GALLON_M3 = 231 * _INCH_M**3
_FLUID_OUNCE_M3 = _GALLON_M3 / 128
_FOOT_POUND = POUND_FORCE_NEWTON * _FOOT_M
_BTU_J = Fraction("1055.05585262")
_CELSIUS_ZERO = Fraction("273.15")


@dataclass(frozen=True)
class Unit:
    """One unit: its kind, its size in the SI unit of that kind, and where its zero lies.

    Args:
        kind: 'length', 'torque' …; only units of one kind convert into each other.
        factor: Size in the SI unit of the kind.
        zero: SI value at this unit's zero; 0 but for °C and °F.
    """

    kind: str
    factor: Fraction
    zero: Fraction = Fraction(0)


# kind: {names: size in the SI unit}. Names separated by '|' are one unit.
_SIZES: dict[str, dict[str, Any]] = {
    "length": {
        "m": 1, "mm": "1e-3", "cm": "1e-2", "km": 1000, "µm|um|μm": "1e-6", "in|inch|\"": _INCH_M,
        "ft|foot|'": _FOOT_M, "yd": 3 * _FOOT_M, "mil|thou": _INCH_M / 1000, "mi|mile": 5280 * _FOOT_M,
    },
    "area": {"m²": 1, "cm²": "1e-4", "mm²": "1e-6", "in²": _INCH_M**2, "ft²": _FOOT_M**2},
    "volume": {
        "m³": 1, "L|l|dm³": "1e-3", "mL|ml|cm³": "1e-6", "mm³": "1e-9", "in³": _INCH_M**3, "ft³": _FOOT_M**3,
        "US fl oz|fl oz|fl oz (US)": _FLUID_OUNCE_M3, "gal|US gal|gal (US)": _GALLON_M3,
        "pt|US pt|pt (US)": _GALLON_M3 / 8, "qt|US qt|qt (US)": _GALLON_M3 / 4,
    },
    "mass": {
        "kg": 1, "g": "1e-3", "mg": "1e-6", "t": 1000, "lb|lb (avdp)|lbm": POUND_KILOGRAM,
        "oz|oz (avdp)": POUND_KILOGRAM / 16, "gr|grain": POUND_KILOGRAM / 7000,
        "short ton|ton (short)": 2000 * POUND_KILOGRAM, "slug": POUND_FORCE_NEWTON / _FOOT_M,
    },
    "force": {
        "N": 1, "kN": 1000, "daN": 10, "lbf": POUND_FORCE_NEWTON, "ozf": POUND_FORCE_NEWTON / 16,
        "kgf|kp": STANDARD_GRAVITY, "kip": 1000 * POUND_FORCE_NEWTON,
    },
    "torque": {
        "N·m|Nm": 1, "N·mm|Nmm": "1e-3", "kN·m": 1000, "lbf·ft": _FOOT_POUND, "lbf·in": _FOOT_POUND / 12,
        "ozf·in": _FOOT_POUND / 192, "kgf·m": STANDARD_GRAVITY, "kgf·cm": STANDARD_GRAVITY / 100,
    },
    "energy": {
        "J": 1, "kJ": 1000, "MJ": 1_000_000, "W·h": 3600, "kW·h|kWh": 3_600_000, "ft·lbf": _FOOT_POUND,
        "Btu|Btu (IT)": _BTU_J,
    },
    "power": {
        "W": 1, "kW": 1000, "hp (550 ft·lbf/s)|hp": 550 * _FOOT_POUND, "ft·lbf/s": _FOOT_POUND,
        "ft·lbf/min": _FOOT_POUND / 60, "hp (metric)|PS": 75 * STANDARD_GRAVITY, "hp (electric)": 746,
        "Btu/h": _BTU_J / 3600,
    },
    "pressure": {
        "Pa": 1, "kPa": 1000, "MPa|N/mm²": 1_000_000, "GPa": 10**9, "bar": 100_000, "mbar": 100,
        "psi|lbf/in²": POUND_FORCE_NEWTON / _INCH_M**2, "ksi": 1000 * POUND_FORCE_NEWTON / _INCH_M**2,
        "lbf/ft²|psf": POUND_FORCE_NEWTON / _FOOT_M**2, "atm": 101_325, "kgf/cm²": STANDARD_GRAVITY * 10_000,
    },
    "mass per length": {
        "kg/m|g/mm": 1, "g/m": "1e-3", "lb/ft": POUND_KILOGRAM / _FOOT_M, "lb/in": POUND_KILOGRAM / _INCH_M,
        "lb/yd": POUND_KILOGRAM / (3 * _FOOT_M), "oz/in": POUND_KILOGRAM / 16 / _INCH_M,
    },
    "force per length": {
        "N/m": 1, "N/mm|kN/m": 1000, "lbf/ft": POUND_FORCE_NEWTON / _FOOT_M,
        "lbf/in": POUND_FORCE_NEWTON / _INCH_M,
    },
    "density": {
        "kg/m³": 1, "g/cm³|g/mL|g/ml|kg/L": 1000, "lb/ft³": POUND_KILOGRAM / _FOOT_M**3,
        "lb/in³": POUND_KILOGRAM / _INCH_M**3, "lb/gal": POUND_KILOGRAM / _GALLON_M3,
    },
    "speed": {
        "m/s": 1, "m/min": Fraction(1, 60), "mm/s": "1e-3", "km/h": Fraction(10, 36), "in/s": _INCH_M,
        "ft/s": _FOOT_M, "ft/min|fpm": _FOOT_M / 60, "mi/h|mph": 5280 * _FOOT_M / 3600,
    },
    "flow": {
        "m³/s": 1, "L/min|l/min": Fraction(1, 60_000), "m³/h": Fraction(1, 3600),
        "ft³/min|cfm": _FOOT_M**3 / 60, "gal/min|gpm": _GALLON_M3 / 60,
    },
    "time": {"s": 1, "min": 60, "h": 3600, "d": 86_400, "week": 604_800},
    "temperature difference": {
        "K difference": 1, "°C difference": 1, "°F difference": Fraction(5, 9),
    },
    "slope": {"mm/m": "1e-3", "in/ft": Fraction(1, 12), "%": "1e-2", "m/m|in/in|mm/mm": 1},
}

_TEMPERATURES = {
    "K": Unit("temperature", Fraction(1)),
    "°C": Unit("temperature", Fraction(1), _CELSIUS_ZERO),
    "°F": Unit("temperature", Fraction(5, 9), _CELSIUS_ZERO - 32 * Fraction(5, 9)),
}


def _table() -> dict[str, Unit]:
    units = dict(_TEMPERATURES)
    for kind, sizes in _SIZES.items():
        for names, size in sizes.items():
            units |= {name: Unit(kind, Fraction(size)) for name in names.split("|")}
    return units


UNITS: dict[str, Unit] = _table()

_PLAIN = str.maketrans({"⋅": "·", "*": "·", "∙": "·", "μ": "µ"})
_POWERS = {"^2": "²", "^3": "³", "**2": "²", "**3": "³"}


def unit_named(name: str) -> Unit:
    """Return the unit called `name`: 'mm', 'lbf·ft', 'oz (avdp)', 'N/mm²', '°F difference' …

    Args:
        name: As printed; a dot between factors may be '·' or '*', a power '²' or '^2'.

    Raises:
        NoTableRow: no such unit is known; nothing is guessed.

    Source:
        NIST SP 811 (2008) Appendix B.8; SI Brochure.
    """
    if name in UNITS:
        return UNITS[name]
    plain = name.strip()
    for typed, printed in _POWERS.items():
        plain = plain.replace(typed, printed)
    plain = " ".join(plain.translate(_PLAIN).split())
    if plain not in UNITS:
        raise NoTableRow("units", name)
    return UNITS[plain]


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Return `value` given in one unit, in another unit of the same kind.

    Args:
        value: Any ordinary number. [from_unit]
        from_unit: Name of the unit that `value` is in.
        to_unit: Name of the unit wanted.

    Returns:
        The converted value. [to_unit] Correctly rounded: the arithmetic is exact.

    Raises:
        OutOfRange: not an ordinary number, or a temperature below absolute zero.
        NoTableRow: a unit is not known.
        CalcError: the two units are of different kinds, such as a torque and an energy.

    Source:
        NIST SP 811 (2008) Appendix B.8 and B.9.

    Example, by definition:
        >>> convert(1, "in", "mm")
        25.4
        >>> convert(212, "°F", "°C")
        100.0
    """
    start, end = unit_named(from_unit), unit_named(to_unit)
    if start.kind != end.kind:
        raise CalcError(f"{from_unit} is a {start.kind} and {to_unit} a {end.kind}: they do not convert.")
    si = Fraction(guards.number("value", value, from_unit)) * start.factor + start.zero
    if start.kind == "temperature" and si < 0:
        raise OutOfRange("value", value, from_unit, float(-start.zero / start.factor), None, "absolute zero")
    return float((si - end.zero) / end.factor)
