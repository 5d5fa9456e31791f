"""Check values of topic 2, measurement and decision, put to kiosk.calc.tolerance, risk and temperature."""

from __future__ import annotations

import re
from typing import Any

from kiosk.calc import risk, temperature, tolerance

ZONES = {tolerance.WITHIN: "conform", tolerance.TOO_CLOSE: "undecided", tolerance.OUTSIDE: "nonconform"}


def conformance_probability(inputs: dict[str, Any]) -> dict[str, Any]:
    """Probability of being inside one or two limits."""
    return {"p_c": tolerance.conformance_probability(inputs["y"], inputs.get("lower"), inputs.get("upper"),
                                                     inputs["u"])}


def guarded_decision(inputs: dict[str, Any]) -> dict[str, Any]:
    """Zone and guard band for a guard factor."""
    judgement = tolerance.judge_with_factor(inputs["y"], inputs.get("lower"), inputs.get("upper"), inputs["u"],
                                            inputs["k"])
    return {"zone": ZONES[judgement.verdict], "guard_band": judgement.guard_band,
            "gauge_capable": judgement.gauge_capable}


def standard_uncertainty(inputs: dict[str, Any]) -> dict[str, Any]:
    """Standard uncertainty by kind; 'expanded_k2' carries its factor in the name."""
    kind = inputs["kind"].removeprefix("half_width_").replace("_shaped", "-shaped").casefold()
    factor = float(inputs.get("k", 2.0))
    if expanded := re.fullmatch(r"expanded(?:_k(?P<k>[\d.]+))?", kind):
        kind, factor = "expanded", float(expanded["k"] or factor)
    return {"u": tolerance.standard_uncertainty(kind, inputs["a"], factor)}


def combined_uncertainty(inputs: dict[str, Any]) -> dict[str, Any]:
    """Mean and uncertainty of repeat readings."""
    got = tolerance.combine_readings(inputs["readings"], inputs.get("resolution", 0.0), inputs.get("u_cal", 0.0))
    return {"mean": got.mean, "s": got.standard_deviation, "u_A": got.repeat_uncertainty,
            "u_c": got.standard_uncertainty}


def _spread(inputs: dict[str, Any]) -> risk.Spread:
    if inputs["process"] == "gamma":
        return risk.GammaSpread(inputs["shape"], inputs["scale"])
    assert inputs["process"] == "normal"
    return risk.NormalSpread(inputs["mean"], inputs["u0"])


def global_risk(inputs: dict[str, Any]) -> dict[str, Any]:
    """Share of bad parts, and the two wrong decisions when the uncertainty of a reading is given."""
    spread, lower, upper = _spread(inputs), inputs.get("lower"), inputs.get("upper")
    bad = risk.nonconforming_share(spread, lower, upper)
    answer = {"p_nonconform": bad, "p_conform_prior": 1.0 - bad}
    if "u_m" not in inputs:
        return answer
    guard = inputs.get("guard_band", 0.0)
    accept_lower = inputs.get("accept_lower", None if lower is None else lower + guard)
    accept_upper = inputs.get("accept_upper", None if upper is None else upper - guard)
    got = risk.population_risk(spread, lower, upper, inputs["u_m"], accept_lower, accept_upper)
    return {**answer, "consumer_risk": got.consumer_risk, "producer_risk": got.producer_risk}


def guard_band_for_risk(inputs: dict[str, Any]) -> dict[str, Any]:
    """Guard band for a wanted consumer's risk."""
    return {"guard_band": risk.guard_band_for_risk(_spread(inputs), inputs.get("lower"), inputs.get("upper"),
                                                   inputs["u_m"], inputs["target"])}


def tur_risk(inputs: dict[str, Any]) -> dict[str, Any]:
    """Wrong decisions for a test uncertainty ratio."""
    got = risk.uncertainty_ratio_risk(inputs["tur"], inputs["in_tolerance_prob"])
    return {"pfa": got.consumer_risk, "pfr": got.producer_risk}


def length_at_20(inputs: dict[str, Any]) -> dict[str, Any]:
    """Length at 20 °C."""
    alpha = inputs["alpha_per_K"] if "alpha_per_K" in inputs else \
        temperature.EXPANSION_PER_KELVIN[inputs["material"]]
    return {"length20_mm": temperature.length_at_20_mm(inputs["length_mm"], inputs["temp_C"], alpha)}


ADAPTORS = {
    "conformance_probability": conformance_probability,
    "guarded_decision": guarded_decision,
    "standard_uncertainty": standard_uncertainty,
    "combined_uncertainty": combined_uncertainty,
    "global_risk": global_risk,
    "guard_band_for_risk": guard_band_for_risk,
    "tur_risk": tur_risk,
    "length_at_20C": length_at_20,
}
