"""Check values of topic 5, belts, put to kiosk.calc.belt, splice, tracking and sequence."""

from __future__ import annotations

from typing import Any

from kiosk.calc import belt, sequence, splice, tracking
from kiosk.units import convert


def _length_mm(inputs: dict[str, Any], name: str) -> float:
    """An input given in mm, m or inches, in mm."""
    for unit in ("mm", "m", "in"):
        if f"{name}_{unit}" in inputs:
            return float(convert(inputs[f"{name}_{unit}"], unit, "mm"))
    return 0.0


def open_belt_length(inputs: dict[str, Any]) -> dict[str, Any]:
    """Exact and approximate loop length and the smaller wrap, or the shop rule."""
    sizes = (_length_mm(inputs, "centre"), _length_mm(inputs, "D"), _length_mm(inputs, "d"))
    loop = belt.belt_loop(*sizes, _length_mm(inputs, "thickness"))
    is_rule = str(inputs.get("method", "")).startswith("shop rule")
    length = belt.shop_rule_belt_length_mm(*sizes) if is_rule else loop.length_mm
    return {"L_exact_mm": loop.length_mm, "L_approx_mm": loop.approximate_length_mm, "L_mm": length,
            "wrap_small_deg": loop.wrap_small_degrees, "wrap_large_deg": loop.wrap_large_degrees,
            "L_in": convert(length, "mm", "in")}


def centre_from_length(inputs: dict[str, Any]) -> dict[str, Any]:
    """Centre distance for a loop length."""
    centre = belt.centre_distance_from_length_mm(_length_mm(inputs, "L"), _length_mm(inputs, "D"),
                                                 _length_mm(inputs, "d"), _length_mm(inputs, "thickness"))
    return {"centre_mm": centre, "centre_in": convert(centre, "mm", "in")}


def takeup_from_growth(inputs: dict[str, Any]) -> dict[str, Any]:
    """Travel for a growth, in the growth's own unit."""
    unit = inputs.get("unit", "mm")
    travel = belt.takeup_travel_for_growth_mm(convert(inputs["growth"], unit, "mm"))
    return {"takeup": convert(travel, "mm", unit)}


def belt_strain(inputs: dict[str, Any]) -> dict[str, Any]:
    """Strain from two marks and its verdict."""
    strain = belt.belt_strain(_length_mm(inputs, "mark_gap"), _length_mm(inputs, "stretched_gap"),
                              inputs["tension_member"])
    return {"strain_pct": strain.strain_percent, "window_pct": list(strain.window_percent),
            "verdict": strain.verdict}


def cleat_splice_plan(inputs: dict[str, Any]) -> dict[str, Any]:
    """Whole pitches that are left after a cut."""
    cut = splice.whole_pitch_cut(inputs["loop_mm"], inputs["cleat_pitch_mm"], inputs["cut_out_mm"])
    return {"cleats_now": cut.pitches_now, "whole_pitches_after": cut.pitches_after,
            "new_loop_mm": cut.loop_length_mm, "removed_mm": cut.removed_mm,
            "centre_change_mm": cut.centre_change_mm}


def repair_insert_length(inputs: dict[str, Any]) -> dict[str, Any]:
    """Piece that replaces a damaged length."""
    piece = splice.insert_piece(inputs["damaged_mm"], inputs["cleat_pitch_mm"], inputs["min_splice_spacing_mm"])
    return {"insert_mm": piece.length_mm, "pitches": piece.pitches}


def run_in_time(inputs: dict[str, Any]) -> dict[str, Any]:
    """Belt speed and the time for a number of revolutions."""
    run = belt.run_in(inputs["revolutions"], inputs["loop_mm"], inputs["drive_D_mm"], inputs["rpm"],
                      inputs.get("thickness_mm", 0.0))
    return {"belt_speed_m_s": run.belt_speed_m_per_s, "time_s": run.duration_minutes * 60}


def skew_drift(inputs: dict[str, Any]) -> dict[str, Any]:
    """Drift per pass over a skewed roller."""
    drift = tracking.skew_drift(inputs["bearing_offset_mm"], inputs["bearing_spacing_mm"], inputs["roller_D_mm"],
                                inputs["wrap_deg"])
    return {"skew_mm_per_m": drift.skew_mm_per_m, "drift_per_pass_mm": drift.drift_per_pass_mm}


def frame_out_of_square(inputs: dict[str, Any]) -> dict[str, Any]:
    """Offset from two diagonals."""
    square = belt.squareness_by_diagonals(inputs["diag1_mm"], inputs["diag2_mm"], inputs["length_mm"])
    return {"offset_mm": square.offset_mm}


def belt_sag_between_idlers(inputs: dict[str, Any]) -> dict[str, Any]:
    """Sag between supports."""
    sag = belt.sag_between_supports(inputs["mass_kg_per_m"], _length_mm(inputs, "spacing"), inputs["tension_N"])
    return {"sag_mm": sag.sag_mm, "sag_ratio_pct": sag.sag_percent}


def grip_ratio(inputs: dict[str, Any]) -> dict[str, Any]:
    """Largest ratio of strand tensions."""
    return {"T1_over_T2": belt.grip_ratio(inputs["mu"], inputs["wrap_deg"])}


def centre_out_sequence(inputs: dict[str, Any]) -> dict[str, Any]:
    """Bolts of a joint from the centre outward."""
    return {"order": list(sequence.centre_out_order(inputs["fasteners"]))}


ADAPTORS = {
    "open_belt_length": open_belt_length,
    "centre_from_length": centre_from_length,
    "takeup_from_growth": takeup_from_growth,
    "belt_strain": belt_strain,
    "cleat_splice_plan": cleat_splice_plan,
    "repair_insert_length": repair_insert_length,
    "run_in_time": run_in_time,
    "skew_drift": skew_drift,
    "frame_out_of_square": frame_out_of_square,
    "belt_sag_between_idlers": belt_sag_between_idlers,
    "grip_ratio": grip_ratio,
    "centre_out_sequence": centre_out_sequence,
}
