"""Check values of topic 9, trends and forecasts."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path
from typing import Any

from kiosk.calc import capability, least_squares, line_fit, trend, trend_robust

DATA = Path(__file__).parents[2] / "data"


def _linear_fit(inputs: dict[str, Any]) -> dict[str, Any]:
    line = line_fit.fit_line(inputs["x"], inputs["y"])
    return {
        "b0": line.intercept, "b1": line.slope, "se_b0": line.intercept_error, "se_b1": line.slope_error,
        "resid_sd": line.residual_deviation, "r2": line.r_squared,
    }


def _quadratic_fit(inputs: dict[str, Any]) -> dict[str, Any]:
    fit = least_squares.fit_quadratic(inputs["x"], inputs["y"])
    b0, b1, b2 = fit.coefficients
    return {"b0": b0, "b1": b1, "b2": b2, "resid_sd": fit.residual_deviation, "r2": fit.r_squared}


def _columns(dataset: str) -> dict[str, list[float]]:
    """Read a data set of several columns from tests/data, the first column being what is explained."""
    lines = (DATA / f"{dataset.rsplit('.', 1)[-1]}.csv").read_text("utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    return {name: [float(row[name]) for row in rows] for name in rows[0]}


def _multiple_fit(inputs: dict[str, Any]) -> dict[str, Any]:
    (_, values), *causes = _columns(inputs["dataset"]).items()
    fit = least_squares.fit_columns([column for _, column in causes], values)
    named = {f"b_{name}": slope for (name, _), slope in zip(causes, fit.coefficients[1:], strict=True)}
    return {"b0": fit.coefficients[0], **named, "resid_sd": fit.residual_deviation, "r2": fit.r_squared}


def _prediction_interval(inputs: dict[str, Any]) -> dict[str, Any]:
    line = line_fit.fit_line(inputs["x"], inputs["y"])
    found = line_fit.predict(line, inputs["x0"], inputs["confidence"])
    return {
        "yhat": found.value, "mean_lo": found.line_low, "mean_hi": found.line_high,
        "obs_lo": found.reading_low, "obs_hi": found.reading_high,
    }


def _time_to_limit(inputs: dict[str, Any]) -> dict[str, Any]:
    found = trend.forecast(inputs["x"], inputs["y"], inputs["limit"], inputs["confidence"])
    numbers = {
        "slope": found.slope, "x_at_limit": found.hours_at_limit, "g": found.g,
        "line_lo": found.line_early_hours, "line_hi": found.line_late_hours,
        "obs_lo": found.reading_early_hours, "obs_hi": found.reading_late_hours,
    }
    if found.established:
        return numbers
    if found.g is None:
        return {**numbers, "interval": trend.NO_DEGREES}
    return {**numbers, "answer": f"no forecast: {trend.NO_SLOPE}"}


def _theil_sen(inputs: dict[str, Any]) -> dict[str, Any]:
    line = trend_robust.robust_line(inputs["x"], inputs["y"], inputs.get("confidence", 0.95))
    return {"slope": line.slope, "intercept": line.intercept, "lo": line.slope_low, "hi": line.slope_high}


def _mann_kendall(inputs: dict[str, Any]) -> dict[str, Any]:
    found = trend_robust.trend_test(inputs["y"])
    return {"S": found.score, "var_S": found.variance, "z": found.z, "p": found.probability}


def _capability(inputs: dict[str, Any]) -> dict[str, Any]:
    found = capability.capability(inputs["LSL"], inputs["USL"], inputs["mean"], inputs["s"])
    return {"Cp": found.spread, "Cpu": found.upper, "Cpl": found.lower, "Cpk": found.nearer}


def _forecast_date(inputs: dict[str, Any]) -> dict[str, Any]:
    found = trend.date_at_limit(inputs["last_value"], date.fromisoformat(inputs["date"]), inputs["rate_per_hour"],
                                inputs["limit"], inputs["hours_per_day"])
    return {"hours_left": found.hours_left, "due": found.due and found.due.isoformat(), "reason": found.reason}


def _clearance_rate(inputs: dict[str, Any]) -> dict[str, Any]:
    found = trend.clearance_rate(inputs["first_mm"], inputs["last_mm"], inputs["hours_between"], inputs["limit_mm"])
    return {"rate_mm_per_100h": found.rate_mm_per_100_hours, "hours_to_limit": found.hours_to_limit}


ADAPTORS = {
    "linear_fit": _linear_fit,
    "quadratic_fit": _quadratic_fit,
    "multiple_fit": _multiple_fit,
    "prediction_interval": _prediction_interval,
    "time_to_limit": _time_to_limit,
    "theil_sen": _theil_sen,
    "mann_kendall": _mann_kendall,
    "capability": _capability,
    "forecast_date": _forecast_date,
    "clearance_rate": _clearance_rate,
}
