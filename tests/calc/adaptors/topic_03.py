"""Check values of topic 3, sagging strands and take-up, put to kiosk.calc.span, takeup and slack."""

from __future__ import annotations

from typing import Any

from kiosk.calc import slack, span, takeup


def level_span(inputs: dict[str, Any]) -> dict[str, Any]:
    """Tension and length of a level strand."""
    got = span.level_span(inputs["span_m"] * 1000.0, inputs["sag_m"] * 1000.0, inputs["w_N_per_m"])
    return {"H_parabola_N": got.horizontal_parabola_newton, "H_catenary_N": got.horizontal_newton,
            "T_support_catenary_N": got.support_newton, "arc_catenary_m": got.arc_mm / 1000.0,
            "arc_series_m": got.arc_series_mm / 1000.0}


def sag_from_excess(inputs: dict[str, Any]) -> dict[str, Any]:
    """Sag and hand movement from excess length."""
    got = span.slack_from_excess(inputs["span_mm"], inputs["excess_mm"])
    return {"sag_parabola_mm": got.sag_parabola_mm, "sag_catenary_mm": got.sag_mm,
            "total_midspan_movement_mm": got.movement_mm}


def takeup_for_sag(inputs: dict[str, Any]) -> dict[str, Any]:
    """Movement of the take-up for a wanted sag, one hanging strand unless said otherwise."""
    got = takeup.takeup_for_sag(inputs["span_mm"], inputs["sag_now_mm"], inputs["sag_wanted_mm"],
                                int(inputs.get("hanging_strands", inputs.get("strands", 1))),
                                inputs.get("angle_deg", 0.0))
    return {"delta_parabola_mm": got.movement_parabola_mm, "delta_exact_mm": got.movement_mm}


def inclined_span(inputs: dict[str, Any]) -> dict[str, Any]:
    """Tension and sag of an inclined strand."""
    got = span.inclined_span(inputs["chord_m"] * 1000.0, inputs["angle_deg"], inputs["excess_m"] * 1000.0,
                             inputs["w_N_per_m"])
    return {"H_N": got.horizontal_newton, "T_low_N": got.low_end_newton, "T_high_N": got.high_end_newton,
            "sag_vertical_m": got.sag_vertical_mm / 1000.0, "sag_normal_m": got.sag_mm / 1000.0,
            "H_parabola_N": got.horizontal_parabola_newton}


# Words of an entry that tell its case; the first line that matches decides.
CASES = (
    (("return", "10 %"), "conveyor return"),
    (("head", "at least 3 %"), "catenary at a conveyor's head"),
    (("> 1 m", "about 2 %"), "vertical, centres over 1 m, shock or reversing"),
    (("≤ 1 m", "<= 1 m", "about 4 %"), "ordinary, centres up to 1 m"),
    (("custom", "just free"), "horizontal, by custom"),
    (("revers", "impulse", "vertical", "shock", "high speed"), "reversing, shock or vertical"),
    (("slow", "medium", "horizontal"), "slow or medium speed, near horizontal"),
)


def movement_window(inputs: dict[str, Any]) -> dict[str, Any]:
    """Right slack by a printed rule."""
    condition = inputs["condition"].casefold()
    case = next(name for words, name in CASES if any(word in condition for word in words))
    got = slack.slack_window(inputs["centre_distance_mm"], case)
    return {"min_mm": got.lower_mm, "max_mm": got.upper_mm}


def movement_to_sag_ratio(inputs: dict[str, Any]) -> dict[str, Any]:
    """Movement over sag of a shallow strand."""
    assert inputs.get("limit", "shallow") == "shallow"
    return {"movement_over_sag": span.movement_over_sag()}


ADAPTORS = {
    "level_span": level_span,
    "sag_from_excess": sag_from_excess,
    "takeup_for_sag": takeup_for_sag,
    "inclined_span": inclined_span,
    "movement_window": movement_window,
    "movement_to_sag_ratio": movement_to_sag_ratio,
}
