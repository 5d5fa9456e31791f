"""What a cell of a set-up's table says, or why it is refused."""

from __future__ import annotations

import json
from collections.abc import Collection
from datetime import UTC, date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from kiosk.language import tr
from kiosk.set_up.tables import Row

LONGEST_TEXT = 200
MOST_HOURS = 1_000_000.0


def text(row: Row, column: str, default: str | None = None) -> str:
    """Return a cell's text; without a default it must not be empty."""
    value = row.values.get(column, "") or (default or "")
    if not value and default is None:
        raise row.refused(tr("'{column}' is empty").format(column=column))
    if len(value) > LONGEST_TEXT:
        raise row.refused(tr("'{column}' is longer than {most} characters").format(column=column, most=LONGEST_TEXT))
    return value


def choice(row: Row, column: str, options: Collection[str], default: str | None = None) -> str:
    """Return a cell that holds one of the options."""
    value = text(row, column, default)
    if value not in options:
        raise row.refused(tr("'{column}' is '{value}'; it can be {options}").format(
            column=column, value=value, options=", ".join(options)))
    return value


def number(row: Row, column: str, low: float, high: float, default: float | None = None) -> float:
    """Return a cell's number from `low` to `high`."""
    value = text(row, column, None if default is None else str(default))
    try:
        read = float(value)
    except ValueError:
        raise row.refused(tr("'{column}' is '{value}', which is no number").format(
            column=column, value=value)) from None
    if not low <= read <= high:  # NaN fails this too
        raise row.refused(tr("'{column}' must be from {low} to {high}").format(
            column=column, low=f"{low:g}", high=f"{high:,.0f}"))
    return read


def instant(row: Row, column: str, default: datetime, zone: ZoneInfo) -> datetime:
    """Return a cell's time in UTC: a date means the beginning of that day in the yard."""
    value = text(row, column, "")
    if not value:
        return default
    try:
        if len(value) == len("2026-03-02"):
            return datetime.combine(date.fromisoformat(value), time(), zone).astimezone(UTC)
        read = datetime.fromisoformat(value)
        return (read if read.tzinfo else read.replace(tzinfo=zone)).astimezone(UTC)
    except (ValueError, OverflowError):
        raise row.refused(tr("'{column}' is '{value}'; write a date like 2026-03-02").format(
            column=column, value=value)) from None


def properties(row: Row, column: str) -> dict[str, Any]:
    """Return a part's properties: a JSON object, or 'bearing=UC208; mass_kg=0.45'."""
    value = text(row, column, "")
    try:
        return properties_of(value)
    except ValueError:
        raise row.refused(tr("'{column}' must be written like bearing=UC208; mass_kg=0.45").format(
            column=column)) from None


def properties_of(value: str) -> dict[str, Any]:
    """Return the properties that a text says; ValueError for one that says none."""
    if not value.strip():
        return {}
    if value.lstrip().startswith("{"):
        read = json.loads(value)
        if not isinstance(read, dict):
            raise ValueError(value)
        return read
    pairs = [pair.partition("=") for pair in value.split(";") if pair.strip()]
    if any(not sign or not key.strip() or not said.strip() for key, sign, said in pairs):
        raise ValueError(value)
    return {key.strip(): _said(said.strip()) for key, _, said in pairs}


def _said(value: str) -> Any:
    """Return a number, list or truth as such, anything else as text."""
    try:
        return json.loads(value)
    except ValueError:
        return value
