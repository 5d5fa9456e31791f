"""Check values of topic 4, roller chain, put to kiosk.calc.chain, chain_table, chain_wear and alignment."""

from __future__ import annotations

from typing import Any

from kiosk.calc import alignment, chain, chain_table, chain_wear
from kiosk.units import convert


def chain_row(inputs: dict[str, Any]) -> dict[str, Any]:
    """A row of the table, in millimetres and in the printed inch units."""
    got = chain_table.chain_named(inputs["chain"])
    lengths = {"pitch": got.pitch_mm, "roller": got.roller_mm, "inner_width": got.inner_width_mm,
               "pin": got.pin_mm, "plate": got.plate_mm}
    answer = {f"{what}_mm": mm for what, mm in lengths.items()}
    answer |= {f"{what}_in": mm and convert(mm, "mm", "in") for what, mm in lengths.items()}
    others = {"measuring_load_lbf": (got.measuring_load_newton, "N", "lbf"),
              "min_uts_lbf": (got.min_tensile_newton, "N", "lbf"),
              "new_length_tol_in_per_ft": (got.new_length_tolerance_percent, "%", "in/ft"),
              "mass_lb_per_ft": (got.mass_kg_per_m, "kg/m", "lb/ft"), "mass_kg_per_m": (got.mass_kg_per_m, "", "")}
    for field, (value, unit, wanted) in others.items():
        answer[field] = convert(value, unit, wanted) if value and unit else value
    return answer


def pitch_diameter(inputs: dict[str, Any]) -> dict[str, Any]:
    """Pitch diameter, new or worn, and the ripple of the speed."""
    return {"pitch_diameter_mm": chain.pitch_diameter_mm(inputs["pitch_mm"], inputs["teeth"],
                                                         inputs.get("elongation_pct", 0.0)),
            "chordal_speed_variation": chain.chordal_speed_variation(inputs["teeth"])}


def chain_length(inputs: dict[str, Any]) -> dict[str, Any]:
    """Length for a centre distance; centre distance for a given length when `links` or `X` is given."""
    pitch, teeth = inputs["pitch_mm"], (inputs["N1"], inputs["N2"])
    answer: dict[str, Any] = {}
    if "centre_mm" in inputs:
        got = chain.chain_length(inputs["centre_mm"], pitch, *teeth)
        answer |= {"X": got.pitches, "X_exact": got.pitches_exact, "even_links": got.even_links,
                   "centre_for_even_mm": got.centre_for_even_mm}
    if links := inputs.get("links", inputs.get("X")):
        answer |= {"centre_mm": chain.centre_distance_mm_for(links, pitch, *teeth),
                   "centre_exact_mm": chain.exact_centre_distance_mm(links, pitch, *teeth)}
    return answer


def elongation(inputs: dict[str, Any]) -> dict[str, Any]:
    """Wear elongation and its limit, in any unit of length."""
    unit = inputs.get("unit", "mm")
    limit = chain_wear.wear_limit_percent(inputs.get("largest_sprocket_teeth", 17),
                                          inputs.get("fixed_centres", False))
    got = chain_wear.elongation(convert(inputs["measured"], unit, "mm"), convert(inputs["pitch"], unit, "mm"),
                                inputs["pitches"], convert(inputs.get("u_length", 0.0), unit, "mm"), limit)
    return {"elongation_pct": got.elongation_percent, "limit_pct": got.limit_percent,
            "limit_length": convert(got.limit_length_mm, "mm", unit),
            "u_elongation_pct": got.standard_uncertainty_percent}


def wear_to_takeup(inputs: dict[str, Any]) -> dict[str, Any]:
    """Growth of a loop, movement of the shaft, links that can come out."""
    got = chain_wear.wear_growth(inputs["links"], inputs["pitch_mm"], inputs["elongation_pct"])
    return {"length_growth_mm": got.growth_mm, "takeup_move_mm": got.takeup_movement_mm,
            "links_removable": got.removable_links}


def takeup_reserve_rule(inputs: dict[str, Any]) -> dict[str, Any]:
    """Least take-up travel."""
    return {"travel_min_mm": chain_wear.takeup_reserve_mm(inputs["pitch_mm"])}


def chain_speed(inputs: dict[str, Any]) -> dict[str, Any]:
    """Speed of a chain."""
    return {"v_m_s": chain.chain_speed_m_per_s(inputs["teeth"], inputs["pitch_mm"], inputs["rpm"])}


def alignment_limits(inputs: dict[str, Any]) -> dict[str, Any]:
    """Limits of alignment, and whether the readings keep them."""
    limit = alignment.offset_limit_mm(inputs["centre_mm"])
    answer = {"offset_limit_mm": limit, "slope_limit": alignment.LEVEL_LIMIT}
    if "axial_offset_mm" in inputs:
        answer["offset_ok"] = abs(inputs["axial_offset_mm"]) <= limit
    if "level_mm_per_m" in inputs:
        answer["level_ok"] = abs(inputs["level_mm_per_m"]) / 1000.0 <= alignment.LEVEL_LIMIT
    return answer


def runout(inputs: dict[str, Any]) -> dict[str, Any]:
    """Eccentricity from run-out."""
    return {"eccentricity_mm": alignment.eccentricity_mm(inputs["tir_mm"])}


def flight_spacing(inputs: dict[str, Any]) -> dict[str, Any]:
    """Whether a link count carries evenly spaced flights."""
    got = chain.flight_spacing(inputs["links"], inputs["links_per_flight"])
    return {"even": got.is_even, "whole_number_of_flights": got.is_whole, "flights": got.flights,
            "nearest_valid_links": list(got.nearest_valid_links)}


ADAPTORS = {
    "chain_table": chain_row,
    "pitch_diameter": pitch_diameter,
    "chain_length": chain_length,
    "elongation": elongation,
    "wear_to_takeup": wear_to_takeup,
    "takeup_reserve_rule": takeup_reserve_rule,
    "chain_speed": chain_speed,
    "alignment_limits": alignment_limits,
    "runout": runout,
    "flight_spacing": flight_spacing,
}
