"""Check values of topic 13, hour meters and due dates."""

from __future__ import annotations

from datetime import date
from typing import Any

from kiosk.calc import due, meter


def _reading_plausible(inputs: dict[str, Any]) -> dict[str, Any]:
    found = meter.check(inputs["prev_hours"], date.fromisoformat(inputs["prev_date"]), inputs["hours"],
                        date.fromisoformat(inputs["date"]), inputs.get("max_hours_per_day", 24.0))
    return {"verdict": found.verdict, "reason": found.reason, "alternatives": list(found.alternatives)}


def _rollover_delta(inputs: dict[str, Any]) -> dict[str, Any]:
    """The entries are of roll-overs that a person has confirmed."""
    return {"delta": meter.gain_over_rollover(inputs["prev"], inputs["now"], inputs["modulus"], confirmed=True)}


def _next_due(inputs: dict[str, Any]) -> dict[str, Any]:
    found = due.next_due(
        inputs.get("last_done_hours"), date.fromisoformat(inputs["last_done_date"]), inputs.get("interval_hours"),
        inputs.get("interval_days"), inputs.get("hours_now"), date.fromisoformat(inputs["today"]),
        inputs["hours_per_day"])
    return {
        "by_hours": found.by_hours and found.by_hours.isoformat(),
        "by_days": found.by_days and found.by_days.isoformat(),
        "due": found.due and found.due.isoformat(),
        "driver": found.driver, "overdue": found.overdue,
        "hours_left": found.hours_left, "days_left": found.days_left,
    }


def _meter_replaced(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"total_hours": meter.total_hours(inputs["old_final"], inputs["new_start"], inputs["new_now"])}


ADAPTORS = {
    "reading_plausible": _reading_plausible,
    "rollover_delta": _rollover_delta,
    "next_due": _next_due,
    "meter_replaced": _meter_replaced,
}
