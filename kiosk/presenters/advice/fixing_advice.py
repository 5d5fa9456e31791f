"""Advice on what holds an insert bearing and on the gun that greases it: screws, bolts, the gun's stroke."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc import fasteners, grease_gun, tightening
from kiosk.calc.insert_bearing import set_screw
from kiosk.language import number, tr
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
        line(DO, tr("Set screws {thread}: {torque_newton_metre} N·m each. {procedure}").format(
                     thread=screw.thread, torque_newton_metre=number(screw.torque_newton_metre, "g"),
                     procedure=screw.procedure)),
        line(DO, tr("Housing bolts {bolt}: {least_newton_metre} to {most_newton_metre} N·m, {passes}.").format(
                     bolt=bolt, least_newton_metre=number(housing.least_newton_metre, "g"),
                     most_newton_metre=number(housing.most_newton_metre, "g"), passes=_passes(middle, count))),
        line(CHECK, tr("Never by the bolt's grade: a cast housing cracks, and a set screw has a table of its own.")),
        line(WHY, tr("A wrench good to {parameters} % sets the clamping force to about ± {expanded_percent} %: dirt "
                     "and oil on the thread matter more than the wrench.").format(
                      parameters=number(parameters["tool_percent"], "g"),
                      expanded_percent=number(doubt.expanded_percent, ".0f"))),
    )
    details = {"set_screw_newton_metre": screw.torque_newton_metre,
               "housing_bolt_newton_metre": [housing.least_newton_metre, housing.most_newton_metre],
               "preload_expanded_percent": doubt.expanded_percent}
    return Advice(lines, details, f"{screw.source}; {housing.source}")


def _passes(final_newton_metre: float, bolts: int) -> str:
    """Return the order and the passes of the bolts as words."""
    order = " ".join(str(bolt) for bolt in tightening.circle_sequence(bolts))
    torques = tightening.pass_torques_newton_metre(final_newton_metre)
    return tr("in the order {order}, in passes of {value} N·m").format(
               order=order, value=", ".join(f"{torque:.0f}" for torque in torques))


def gun_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return what one stroke of this gun gives, and whether the sheet counts on the same."""
    weighed = values(readings, WEIGHED)
    strokes = int(parameters["strokes"])
    if not weighed:
        return nothing_yet(tr("Pump {strokes} strokes onto a paper and weigh them.").format(strokes=strokes))
    output = grease_gun.output_from_weighing(mean(weighed), strokes)
    lines = [line(WHY, tr("This gun gives {grams_per_stroke} g a stroke.").format(
                           grams_per_stroke=number(output.grams_per_stroke, ".2f"))),
             _compared(output.grams_per_stroke, float(parameters["grams_per_stroke"]))]
    lines += [line(CHECK, output.note)] if output.note else []
    return Advice(tuple(lines), {"grams_per_stroke": output.grams_per_stroke},
                  tr("Weight over strokes; what is usual of a hand gun: articles on grease guns."))


def _compared(found_grams: float, expected_grams: float) -> AdviceLine:
    if abs(found_grams - expected_grams) <= _GUN_MAY_DIFFER * expected_grams:
        return line(DO, tr("Go on with it: the sheet counts on {expected_grams} g a stroke.").format(
                            expected_grams=number(expected_grams, "g")))
    return line(STOP, tr("The sheet counts on {expected_grams} g a stroke. Bleed the gun and weigh again; if it "
                         "stays, have the sheet changed before this gun greases a bearing.").format(
                          expected_grams=number(expected_grams, "g")))
