"""Check values of topic 8, bolts."""

from __future__ import annotations

import re
from typing import Any

from kiosk.calc import fasteners, threads, tightening
from kiosk.calc.conversion import convert

# A diameter on each side of the place where class 8.8 changes, for entries that name the side and not the bolt.
THIN_MM, THICK_MM = 12.0, 20.0


def _stress_area(inputs: dict[str, Any]) -> dict[str, Any]:
    area_mm2 = threads.stress_area_mm2(inputs["thread"])
    return {"As_mm2": area_mm2, "At_in2": convert(area_mm2, "mm²", "in²")}


def _class_name(text: str) -> str:
    """Return '8.8' for '8.8 (d>16)': which of the two holds follows from the diameter."""
    return re.split(r"[\s(]", text.strip())[0]


def _proof_stress(inputs: dict[str, Any]) -> dict[str, Any]:
    text = str(inputs["class"])
    diameter = inputs.get("d_mm", THICK_MM if ">" in text else THIN_MM)
    if sae := re.search(r"grade\s*(\d+)", text):
        strength = fasteners.proof_stress(f"SAE {sae[1]}", diameter)
    else:
        strength = fasteners.proof_stress(_class_name(text), diameter)
    yield_mpa = strength.yield_stress_mpa
    return {
        "Sp_MPa": strength.proof_stress_mpa, "Sp_ksi": convert(strength.proof_stress_mpa, "MPa", "ksi"),
        "Sy_ksi": None if yield_mpa is None else convert(yield_mpa, "MPa", "ksi"),
    }


def _torque_inch(inputs: dict[str, Any]) -> dict[str, Any]:
    stress_mpa = convert(inputs["stress_psi"], "psi", "MPa")
    factors = inputs["K"] if isinstance(inputs["K"], list) else [inputs["K"]]
    torques = [convert(fasteners.tightening(inputs["thread"], stress_mpa, factor).torque_newton_metre,
                       "N·m", "lbf·ft") for factor in factors]
    return {"torque_lbfft": torques if isinstance(inputs["K"], list) else torques[0]}


def _torque_metric(inputs: dict[str, Any]) -> dict[str, Any]:
    diameter = threads.thread(inputs["thread"]).diameter_mm
    proof = fasteners.proof_stress(_class_name(str(inputs["class"])), diameter).proof_stress_mpa
    fraction = inputs.get("fraction_of_proof", fasteners.FRACTION_OF_PROOF)
    aimed = fasteners.tightening(inputs["thread"], fraction * proof, inputs["K"])
    return {"preload_kN": aimed.preload_newton / 1000, "torque_Nm": aimed.torque_newton_metre}


def _preload_uncertainty(inputs: dict[str, Any]) -> dict[str, Any]:
    result = fasteners.preload_uncertainty(inputs["torque_Nm"], inputs["tool_pct"], inputs["K_spread_pct"])
    return {
        "u_torque_Nm": result.torque_newton_metre, "u_preload_rel_pct": result.preload_percent,
        "U_preload_k2_pct": result.expanded_percent,
    }


def _circle_sequence(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"order": list(tightening.circle_sequence(inputs["bolts"]))}


def _pass_torques(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"torques": list(tightening.pass_torques_newton_metre(inputs["final_Nm"], inputs["fractions"]))}


def _housing_bolt_torque(inputs: dict[str, Any]) -> dict[str, Any]:
    torque = fasteners.housing_bolt_torque(inputs["thread"])
    return {"min_Nm": torque.least_newton_metre, "max_Nm": torque.most_newton_metre}


ADAPTORS = {
    "stress_area": _stress_area,
    "proof_stress": _proof_stress,
    "torque_TKD": _torque_inch,
    "torque_metric": _torque_metric,
    "preload_uncertainty": _preload_uncertainty,
    "circle_sequence": _circle_sequence,
    "pass_torques": _pass_torques,
    "housing_bolt_torque": _housing_bolt_torque,
}
