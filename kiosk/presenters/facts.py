"""What a part's page says of the part itself: since when it sits there, and its own properties with their units."""

from __future__ import annotations

from typing import Any

from kiosk.calc.terms import TERMS
from kiosk.entities import Component
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.quantities import show_quantity
from kiosk.presenters.words import date_text, hours_text

# Suffix of a property's name: the quantity's unit inside the code, as everywhere.
_SUFFIXES = {"_mm": "mm", "_hours": "h", "_percent": "percent", "_newton": "newton", "_rpm": "rpm", "_grams": "grams",
             "_degrees": "degrees", "_celsius": "degC", "_kg": "kg"}


def since_text(helpers: Helpers, component: Component) -> str:
    """Return since when a part sits there, and how long it has run."""
    fitted = date_text(component.installed_at.astimezone(helpers.settings.zone).date())
    until = component.retired_hours
    if until is None:
        reading = helpers.records.hours(component.unit_id)
        until = reading.hours if reading else None
    run = tr(", {until} run").format(
              until=hours_text(max(until - component.installed_hours, 0.0))) if until is not None else ""
    if component.retired_at is not None:
        off = date_text(component.retired_at.astimezone(helpers.settings.zone).date())
        return tr("was here from {fitted} to {off}{run}").format(fitted=fitted, off=off, run=run)
    return tr("here since {fitted}, at {installed_hours}{run}").format(
               fitted=fitted, installed_hours=hours_text(component.installed_hours), run=run)


def component_facts(component: Component, units: str) -> tuple[str, ...]:
    """Return a part's properties as lines, a belt's splices counted and where they lie."""
    return tuple(_fact(name, value, units) for name, value in component.properties.items())


def _fact(name: str, value: Any, units: str) -> str:
    for suffix, unit in _SUFFIXES.items():
        if name.endswith(suffix):
            return f"{_title(name.removesuffix(suffix))}: {_values(value, unit, units)}"
    return f"{_title(name)}: {_values(value, '', units)}"


def _title(name: str) -> str:
    """Return what a property is called: by the table of terms where it knows it."""
    called = tr(TERMS[name].name if name in TERMS else name.replace("_", " "))
    return called[:1].upper() + called[1:]


def _values(value: Any, unit: str, units: str) -> str:
    if isinstance(value, (list, tuple)):
        places = ", ".join(_values(one, unit, units) for one in value)
        return tr("{count} at {places}").format(count=len(value), places=places) if value else tr("none")
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return show_quantity(float(value), unit, units)
    return str(value)
