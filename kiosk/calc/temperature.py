"""Lengths at another temperature than 20 °C.

A steel tape on a steel part needs no correction when both are equally warm; belting does. Source: ISO 1.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kiosk.calc import guards

REFERENCE_CELSIUS = 20.0
"""Reference temperature of lengths, ISO 1. [°C]"""

# Linear expansion per kelvin; values from memory.
EXPANSION_PER_KELVIN: Mapping[str, float] = MappingProxyType({
    "steel": 11.5e-6, "aluminium": 23e-6, "belting": 150e-6,
})


def length_at_20_mm(length_mm: float, temperature_celsius: float, expansion_per_kelvin: float,
                    gauge_expansion_per_kelvin: float = 0.0) -> float:
    """Return what a length measured at some temperature is at 20 °C.

    Args:
        length_mm: The reading. [mm] 0 or more
        temperature_celsius: Of the part, and of the gauge. [°C] -60 to 200
        expansion_per_kelvin: Linear expansion of the part. [1/K] 0 to 0.001
        gauge_expansion_per_kelvin: Linear expansion of the tape; 0 for a reading already true. [1/K] 0 to
            0.001

    Returns:
        Length at 20 °C. [mm] A steel tape on a steel part needs no correction.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        ISO 1 (reference temperature): L20 = L (1 + a_gauge (t - 20)) / (1 + a (t - 20)).

    Example:
        >>> length_at_20_mm(500.0, 20.0, 11.5e-6)
        500.0
    """
    length = guards.number("length_mm", length_mm, "mm", 0.0)
    warmer = guards.number("temperature_celsius", temperature_celsius, "°C", -60.0, 200.0) - REFERENCE_CELSIUS
    part = guards.number("expansion_per_kelvin", expansion_per_kelvin, "1/K", 0.0, 1e-3)
    gauge = guards.number("gauge_expansion_per_kelvin", gauge_expansion_per_kelvin, "1/K", 0.0, 1e-3)
    return length * (1.0 + gauge * warmer) / (1.0 + part * warmer)
