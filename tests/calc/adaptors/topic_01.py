"""Check values of topic 1, units, put to kiosk.units."""

from __future__ import annotations

from typing import Any

from kiosk import units


def convert(inputs: dict[str, Any]) -> dict[str, Any]:
    """Value in one unit to another."""
    return {"value": units.convert(inputs["value"], inputs["from"], inputs["to"])}


def parse_length(inputs: dict[str, Any]) -> dict[str, Any]:
    """Typed text to millimetres; a refusal is answered by the harness."""
    return {"mm": units.parse_length(inputs["text"], inputs.get("default_unit", "in")).mm}


def nearest_fraction(inputs: dict[str, Any]) -> dict[str, Any]:
    """Millimetres to the nearest 1/n inch."""
    text, error_mm = units.nearest_fraction(inputs["mm"], inputs["denominator"])
    return {"text": text, "error_mm": error_mm}


ADAPTORS = {"convert": convert, "parse_length": parse_length, "nearest_fraction": nearest_fraction}
