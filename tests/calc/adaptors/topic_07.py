"""Check values of topic 7, load and life of bearings."""

from __future__ import annotations

from typing import Any

from kiosk.calc import bearing_life, bearing_load


def _basic_life(inputs: dict[str, Any]) -> dict[str, Any]:
    hours = bearing_life.basic_rating_life_hours(1000 * inputs["C_kN"], 1000 * inputs["P_kN"], inputs["rpm"],
                                                 inputs.get("exponent", 3.0))
    return {"hours": hours}


def _required_rating(inputs: dict[str, Any]) -> dict[str, Any]:
    rating = bearing_life.required_rating_newton(1000 * inputs["P"], inputs["life_hours"], inputs["rpm"],
                                                 inputs.get("exponent", 3.0))
    return {"C": rating / 1000}


def _rating_with_reliability(inputs: dict[str, Any]) -> dict[str, Any]:
    rating = bearing_life.rating_for_reliability_newton(1000 * inputs["F_kN"], inputs["x_D"], inputs["R"],
                                                        inputs.get("a", 3.0))
    return {"C10_kN": rating / 1000}


def _reliability_of_choice(inputs: dict[str, Any]) -> dict[str, Any]:
    reliability = bearing_life.reliability_of_rating(1000 * inputs["F_kN"], inputs["x_D"], 1000 * inputs["C10_kN"],
                                                     inputs.get("a", 3.0))
    return {"R": reliability}


def _a1(inputs: dict[str, Any]) -> dict[str, Any]:
    named = inputs.get("edition", bearing_life.ISO_281_2007)
    edition = bearing_life.ISO_281_2007 if "2007" in named else bearing_life.OLDER_TABLES
    return {"a1": bearing_life.life_factor(inputs["reliability_pct"], edition).factor}


def _equivalent_load(inputs: dict[str, Any]) -> dict[str, Any]:
    result = bearing_load.equivalent_load(1000 * inputs["Fr_kN"], 1000 * inputs["Fa_kN"], 1000 * inputs["C0_kN"],
                                          inputs["f0"])
    return {"e": result.limit_ratio, "Y": result.axial_factor, "P_kN": result.load_newton / 1000}


def _reactions(loads_newton: list[float], positions_mm: list[float], span_mm: float) -> dict[str, Any]:
    shared = bearing_load.two_bearing_reactions(loads_newton, positions_mm, span_mm)
    return {"F_A_kN": shared.at_a_newton / 1000, "F_B_kN": shared.at_b_newton / 1000}


def _drive_pull(inputs: dict[str, Any]) -> dict[str, Any]:
    pull = bearing_load.drive_pull_newton(inputs["power_kW"], inputs["pitch_diameter_mm"], inputs["rpm"],
                                          inputs["fw"], inputs["fb"])
    shared = _reactions([pull], [inputs["from_A_mm"]], inputs["l_mm"]) if "l_mm" in inputs else {}
    return {"F_kN": pull / 1000, **shared}


def _two_bearing_reactions(inputs: dict[str, Any]) -> dict[str, Any]:
    loads = [1000 * load for load in inputs["loads_kN"]]
    return _reactions(loads, inputs["positions_from_A_mm"], inputs["span_mm"])


def _system_life(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"hours": bearing_life.system_life_hours(inputs["L10_hours"], inputs["weibull_slope"])}


def _mean_equivalent_load(inputs: dict[str, Any]) -> dict[str, Any]:
    loads = [1000 * load for load in inputs["P_kN"]]
    mean = bearing_load.mean_equivalent_load_newton(loads, inputs["rpm"], inputs["share"], inputs["exponent"])
    return {"Pm_kN": mean / 1000}


def _static_safety(inputs: dict[str, Any]) -> dict[str, Any]:
    result = bearing_load.static_safety(1000 * inputs["Fr_kN"], 1000 * inputs["Fa_kN"], 1000 * inputs["C0_kN"])
    return {"P0_kN": result.static_load_newton / 1000, "s0": result.safety}


ADAPTORS = {
    "L10h": _basic_life,
    "required_rating": _required_rating,
    "rating_with_reliability": _rating_with_reliability,
    "reliability_of_choice": _reliability_of_choice,
    "a1": _a1,
    "equivalent_load": _equivalent_load,
    "drive_pull": _drive_pull,
    "two_bearing_reactions": _two_bearing_reactions,
    "system_life": _system_life,
    "mean_equivalent_load": _mean_equivalent_load,
    "static_safety": _static_safety,
}
