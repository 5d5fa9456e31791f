"""Advice on what holds an insert bearing and on the gun that greases it: screws, bolts, the gun's stroke."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc import fasteners, grease_gun, tightening
from kiosk.calc.insert_bearing import set_screw
from kiosk.presenters.advice.core import (
    CHECK,
    DO,
    STOP,
    WHY,
    Advice,
    AdviceContext,
    Readings,
    line,
    mean,
    nothing_yet,
    values,
)
from kiosk.presenters.parts import AdviceLine

WEIGHED = "grease-weighed"
# A gun that differs by more than this from the sheet is worth a word. Our figure, no source.
_GUN_MAY_DIFFER = 0.15


def fixing_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return the torques that hold the bearing, each from its own table, and the order and passes of the bolts."""
    screw = set_screw(str(parameters["bearing"]))
    bolt, count = str(parameters["housing_bolt"]), int(parameters["housing_bolts"])
    housing = fasteners.housing_bolt_torque(bolt)
    middle = (housing.least_newton_metre + housing.most_newton_metre) / 2
    doubt = fasteners.preload_uncertainty(middle, float(parameters["tool_percent"]), fasteners.PRELOAD_SPREAD_PERCENT)
    lines = (
        line(DO, f"Set screws {screw.thread}: {screw.torque_newton_metre:g} N·m each. {screw.procedure}"),
        line(DO, f"Housing bolts {bolt}: {housing.least_newton_metre:g} to {housing.most_newton_metre:g} N·m, "
                 f"{_passes(middle, count)}."),
        line(CHECK, "Never by the bolt's grade: a cast housing cracks, and a set screw has a table of its own."),
        line(WHY, f"A wrench good to {parameters['tool_percent']:g} % sets the clamping force to about "
                  f"± {doubt.expanded_percent:.0f} %: dirt and oil on the thread matter more than the wrench."),
    )
    details = {"set_screw_newton_metre": screw.torque_newton_metre,
               "housing_bolt_newton_metre": [housing.least_newton_metre, housing.most_newton_metre],
               "preload_expanded_percent": doubt.expanded_percent}
    return Advice(lines, details, f"{screw.source}; {housing.source}")


def _passes(final_newton_metre: float, bolts: int) -> str:
    """Return the order and the passes of the bolts as words."""
    order = " ".join(str(bolt) for bolt in tightening.circle_sequence(bolts))
    torques = tightening.pass_torques_newton_metre(final_newton_metre)
    return f"in the order {order}, in passes of {', '.join(f'{torque:.0f}' for torque in torques)} N·m"


def gun_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return what one stroke of this gun gives, and whether the sheet counts on the same."""
    weighed = values(readings, WEIGHED)
    strokes = int(parameters["strokes"])
    if not weighed:
        return nothing_yet(f"Pump {strokes} strokes onto a paper and weigh them.")
    output = grease_gun.output_from_weighing(mean(weighed), strokes)
    lines = [line(WHY, f"This gun gives {output.grams_per_stroke:.2f} g a stroke."),
             _compared(output.grams_per_stroke, float(parameters["grams_per_stroke"]))]
    lines += [line(CHECK, output.note)] if output.note else []
    return Advice(tuple(lines), {"grams_per_stroke": output.grams_per_stroke},
                  "Weight over strokes; what is usual of a hand gun: articles on grease guns.")


def _compared(found_grams: float, expected_grams: float) -> AdviceLine:
    if abs(found_grams - expected_grams) <= _GUN_MAY_DIFFER * expected_grams:
        return line(DO, f"Go on with it: the sheet counts on {expected_grams:g} g a stroke.")
    return line(STOP, f"The sheet counts on {expected_grams:g} g a stroke. Bleed the gun and weigh again; if it stays, "
                      "have the sheet changed before this gun greases a bearing.")
