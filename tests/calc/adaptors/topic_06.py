"""Check values of topic 6, grease and insert bearings."""

from __future__ import annotations

from typing import Any

from kiosk.calc import grease, grease_gun, grease_interval, grease_kind, insert_bearing

# The upper end of each printed band; a temperature on the line belongs to the band below it.
BAND_TOP_CELSIUS = {"<=50": 50.0, "50-70": 70.0, "70-100": 100.0}


def _insert_bearing(inputs: dict[str, Any]) -> dict[str, Any]:
    row = insert_bearing.insert_bearing(inputs["bearing"])
    return {
        "d_mm": row.bore_mm, "D_mm": row.outside_diameter_mm, "B_inner_mm": row.inner_width_mm,
        "C_outer_mm": row.outer_width_mm, "C_kN": row.dynamic_rating_newton / 1000,
        "C0_kN": row.static_rating_newton / 1000,
    }


def _grease_quantity_formula(inputs: dict[str, Any]) -> dict[str, Any]:
    factor = inputs.get("factor", grease.FACTOR_BESIDE)
    return {"grams": grease.formula_grease_grams(inputs["D_mm"], inputs["B_mm"], factor)}


def _insert_grease_amount(inputs: dict[str, Any]) -> dict[str, Any]:
    quantity = grease.grease_quantity(inputs["bearing"])
    assert quantity.method == "insert table"
    return {"grams": quantity.grams}


def _gun_strokes(inputs: dict[str, Any]) -> dict[str, Any]:
    dose = grease_gun.stroke_dose(inputs["grams"], inputs["grams_per_stroke"])
    return {"exact": dose.exact, "whole": dose.whole, "over_pct": dose.over_percent}


def _gun_output_from_weighing(inputs: dict[str, Any]) -> dict[str, Any]:
    output = grease_gun.output_from_weighing(inputs["mass_g"], inputs["strokes"])
    return {"grams_per_stroke": output.grams_per_stroke}


def _relube_interval_formula(inputs: dict[str, Any]) -> dict[str, Any]:
    interval = grease_interval.formula_interval(inputs["rpm"], inputs["bore_mm"], inputs["K"])
    return {"hours_raw": interval.raw_hours, "hours_capped": interval.hours, "capped": interval.capped}


def _relube_temperature_factor(inputs: dict[str, Any]) -> dict[str, Any]:
    factor = grease_interval.temperature_factor(inputs["temp_C"], inputs.get("vertical_shaft", False))
    return {"factor": factor, "hours": factor * inputs["base_hours"]}


def _insert_grease_life(inputs: dict[str, Any]) -> dict[str, Any]:
    life = grease_interval.grease_life(inputs["d_mm"], inputs["D_mm"], inputs["rpm"], 1000 * inputs["P_kN"],
                                       1000 * inputs["C_kN"], inputs["temp_C"])
    return {
        "log10_L": life.log10_hours, "hours": life.hours, "regrease_min_h": life.regrease_from_hours,
        "regrease_max_h": life.regrease_to_hours,
    }


def _grease_schedule(inputs: dict[str, Any]) -> dict[str, Any]:
    top = BAND_TOP_CELSIUS[inputs["temp_band_C"].replace(" ", "")]
    return {"interval": grease_interval.schedule(top, inputs["environment"]).printed}


def _free_volume(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"cm3": grease.free_space_cm3(inputs["d_mm"], inputs["D_mm"], inputs["B_mm"], inputs["mass_kg"])}


def _nlgi_from_penetration(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"grade": grease_kind.consistency_number(inputs["worked_penetration_0p1mm"])}


def _thickener_compatibility(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"result": grease_kind.mixing(inputs["in_bearing"], inputs["new"]).verdict}


def _set_screw_torque(inputs: dict[str, Any]) -> dict[str, Any]:
    screw = insert_bearing.set_screw(inputs["bearing"])
    return {"screw": screw.thread, "torque_Nm": screw.torque_newton_metre}


def _insert_speed_limit(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"rpm": insert_bearing.speed_limit_rpm(inputs["bearing"], inputs["shaft_class"], inputs["with_cover"])}


ADAPTORS = {
    "insert_bearing": _insert_bearing,
    "grease_quantity_formula": _grease_quantity_formula,
    "insert_grease_amount": _insert_grease_amount,
    "gun_strokes": _gun_strokes,
    "gun_output_from_weighing": _gun_output_from_weighing,
    "relube_interval_formula": _relube_interval_formula,
    "relube_temperature_factor": _relube_temperature_factor,
    "insert_grease_life": _insert_grease_life,
    "grease_schedule": _grease_schedule,
    "free_volume": _free_volume,
    "nlgi_from_penetration": _nlgi_from_penetration,
    "thickener_compatibility": _thickener_compatibility,
    "set_screw_torque": _set_screw_torque,
    "insert_speed_limit": _insert_speed_limit,
}
