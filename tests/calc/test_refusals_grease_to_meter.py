"""Bad numbers at grease, bearings, bolts, trends, life data and meters: refused by name, unit and permitted range."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from kiosk.calc import (
    bearing_life,
    bearing_load,
    capability,
    due,
    fasteners,
    grease,
    grease_gun,
    grease_interval,
    grease_kind,
    life_data,
    meter,
    replacement,
    tightening,
    trend,
    weibull,
)
from kiosk.errors import CalcError, OutOfRange

DAY = date(2026, 5, 1)
Call = tuple[Callable[..., Any], dict[str, Any]]

# Every function with arguments that it takes; each number among them is spoilt in turn.
CALLS: list[Call] = [
    (grease.formula_grease_grams, {"outside_diameter_mm": 52, "width_mm": 17, "factor": 0.005}),
    (grease.free_space_cm3, {"bore_mm": 25, "outside_diameter_mm": 52, "width_mm": 15, "mass_kg": 0.128}),
    (grease.first_fill_grams, {"free_space_cm3": 8.0, "filled": 0.3, "density_gram_per_cm3": 0.9}),
    (grease_kind.consistency_number, {"worked_penetration_tenth_mm": 280}),
    (grease_interval.formula_interval, {"speed_rpm": 150, "bore_mm": 25}),
    (grease_interval.temperature_factor, {"temperature_celsius": 60}),
    (grease_interval.grease_life, {"bore_mm": 25, "outside_diameter_mm": 52, "speed_rpm": 150,
                                   "equivalent_load_newton": 1200, "dynamic_rating_newton": 14_000,
                                   "temperature_celsius": 60}),
    (grease_gun.output_from_weighing, {"weighed_grams": 12.8, "strokes": 10}),
    (grease_gun.stroke_dose, {"grams": 5.6, "grams_per_stroke": 1.28}),
    (bearing_life.basic_rating_life_hours, {"dynamic_rating_newton": 14_000, "equivalent_load_newton": 1400,
                                            "speed_rpm": 60, "life_exponent": 3}),
    (bearing_life.required_rating_newton, {"equivalent_load_newton": 1400, "life_hours": 5000, "speed_rpm": 60}),
    (bearing_life.rating_for_reliability_newton, {"load_newton": 2278, "life_million_revolutions": 540,
                                                  "reliability": 0.9}),
    (bearing_life.reliability_of_rating, {"load_newton": 2278, "life_million_revolutions": 540,
                                          "dynamic_rating_newton": 19_500}),
    (bearing_load.drive_pull_newton, {"power_kilowatt": 2.2, "pitch_diameter_mm": 110, "speed_rpm": 45,
                                      "shock_factor": 1.5, "drive_factor": 1.3}),
    (bearing_load.equivalent_load, {"radial_load_newton": 2000, "axial_load_newton": 300,
                                    "static_rating_newton": 7900, "geometry_factor": 14}),
    (bearing_load.static_safety, {"radial_load_newton": 3000, "axial_load_newton": 500,
                                  "static_rating_newton": 7900}),
    (fasteners.preload_uncertainty, {"torque_newton_metre": 50, "tool_percent": 4, "nut_factor_spread_percent": 25}),
    (tightening.circle_sequence, {"bolts": 6}),
    (trend.clearance_rate, {"first_clearance_mm": 6, "last_clearance_mm": 9, "hours_between": 150,
                            "clearance_limit_mm": 15}),
    (weibull.weibull_quantile_hours, {"scale_hours": 900, "shape": 2.2, "failed_share": 0.1}),
    (weibull.weibull_failed_share, {"scale_hours": 900, "shape": 2.2, "age_hours": 300}),
    (weibull.conditional_reliability, {"scale_hours": 900, "shape": 2.2, "age_hours": 400, "mission_hours": 200}),
    (life_data.mean_time_between_failures, {"unit_hours": 8760, "failures": 1, "confidence": 0.6}),
    (life_data.median_ranks, {"count": 5}),
    (replacement.spares, {"mean_hours": 500, "unit_hours": 1000, "confidence": 0.9}),
    (replacement.best_replacement_age, {"scale_hours": 900, "shape": 2, "shape_low": 1.2, "planned_cost": 1,
                                        "failure_cost": 5}),
    (meter.total_hours, {"old_final_hours": 980, "new_start_hours": 12.5, "new_now_hours": 40}),
    (meter.gain_over_rollover, {"previous_hours": 9990, "hours": 5, "modulus_hours": 10_000, "confirmed": True}),
    (meter.check, {"previous_hours": 1200, "previous_date": DAY, "hours": 1210, "date": DAY,
                   "max_hours_per_day": 24}),
    (due.next_due, {"last_done_hours": 1000, "last_done_date": DAY, "interval_hours": 100, "interval_days": 90,
                    "hours_now": 1062, "today": DAY, "hours_per_day": 4}),
]
BAD = [math.nan, math.inf, -math.inf, -1.0, 1e13, "12", True]

# Values that may be negative: a cold bearing is no slip.
MAY_BE_NEGATIVE = {"temperature_celsius"}


def _numbers(call: Call) -> list[str]:
    return [name for name, value in call[1].items() if isinstance(value, int | float) and not isinstance(value, bool)]


CASES = [pytest.param(call, name, bad, id=f"{call[0].__name__}-{name}-{bad}")
         for call in CALLS for name in _numbers(call) for bad in BAD
         if not (bad == -1.0 and name in MAY_BE_NEGATIVE)]


@pytest.mark.parametrize(("call", "name", "bad"), CASES)
def test_a_bad_number_is_refused_by_name(call: Call, name: str, bad: object) -> None:
    """NaN, infinity, a negative, a huge number, a text and a yes are refused, and the sentence names the argument."""
    function, arguments = call
    with pytest.raises(OutOfRange) as caught:
        function(**{**arguments, name: bad})
    assert caught.value.name == name
    assert name.replace("_", " ") in caught.value.operator_message


@pytest.mark.parametrize("call", [pytest.param(call, id=call[0].__name__) for call in CALLS])
def test_the_arguments_of_this_table_are_taken(call: Call) -> None:
    """The table's own arguments give an answer, so that a refusal is for the spoilt one."""
    function, arguments = call
    assert inspect.signature(function).bind(**arguments)
    assert function(**arguments) is not None


@pytest.mark.parametrize("bad", [math.nan, math.inf, 1e13])
@pytest.mark.parametrize("function", [
    lambda bad: trend.forecast([0, 50, bad], [1, 2, 3], 5),
    lambda bad: trend.forecast([0, 50, 100], [1, bad, 3], 5),
    lambda bad: weibull.weibull_fit([100, bad, 300]),
    lambda bad: weibull.weibull_fit([100, 200, 300], [bad]),
    lambda bad: life_data.survival_curve([100, bad], [True, False]),
    lambda bad: life_data.laplace_trend([100, bad], 1000),
    lambda bad: capability.capability(0, 10, bad, 1),
    lambda bad: bearing_life.system_life_hours([1000, bad]),
    lambda bad: bearing_load.two_bearing_reactions([1000, bad], [10, 20], 900),
    lambda bad: bearing_load.mean_equivalent_load_newton([1000, bad], [10, 20], [1, 1])])
def test_a_bad_number_in_a_row_is_refused(function: Callable[[float], object], bad: float) -> None:
    """One bad number among many stops the whole computation."""
    with pytest.raises(CalcError):
        function(bad)


def test_a_refusal_says_unit_and_range() -> None:
    """The sentence gives the permitted range with its unit."""
    with pytest.raises(OutOfRange, match=r"hours per day: 25 is not possible here; it must be between 0 and 24 h\."):
        due.date_after_hours(10, DAY, 25)
