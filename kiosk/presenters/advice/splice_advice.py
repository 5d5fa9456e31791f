"""Advice on a bad length of a cleated belt: every way to cut it out, ranked, from what is on record of this belt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kiosk.calc.splice import CleatedLoop, SplicePlan, SplicePlans, SpliceRules, plan_splices
from kiosk.entities import Component
from kiosk.errors import NotFound
from kiosk.language import N_, tr
from kiosk.presenters.advice.core import CHECK, DO, STOP, WHY, Advice, AdviceContext, Readings, line, nothing_yet, value
from kiosk.presenters.parts import AdviceLine

WHEN_NEW = "belt_length_when_new_mm"
"""What a belt that was cut keeps on record of its own length when new; a new one is as long again."""
_UNMOVED_MM = 0.05
SOURCE = (N_("Plain geometry: the loop holds a whole number of cleat pitches, the rollers come together by half of "
             "what is taken out. Distance between splices: a setting, common practice, no source."))


def recorded_loop(parameters: Mapping[str, Any], component: Component) -> CleatedLoop:
    """Return the belt as the records and the sheet know it.

    Raises:
        NotFound: the belt's length is not on record.
    """
    known = component.properties
    if "belt_length_mm" not in known:
        raise NotFound(tr("This belt's length is not on record. Measure it and have it entered before planning a "
                          "splice."))
    return CleatedLoop(
        loop_length_mm=float(known["belt_length_mm"]), cleat_pitch_mm=float(parameters["cleat_pitch_mm"]),
        takeup_in_mm=float(parameters["takeup_travel_in_mm"]), takeup_out_mm=float(parameters["takeup_travel_out_mm"]),
        cleat_phase_mm=float(known.get("cleat_phase_mm", 0.0)),
        splice_positions_mm=tuple(float(place) for place in known.get("splices_mm", ())),
        loop_length_uncertainty_mm=float(parameters.get("length_uncertainty_mm", 1.0)),
    )


def shop_rules(parameters: Mapping[str, Any]) -> SpliceRules:
    """Return the shop's settings; what the sheet does not say keeps the planner's default."""
    usual, least_insert = SpliceRules(), parameters.get("min_insert_mm")
    return SpliceRules(
        minimum_splice_spacing_mm=float(parameters.get("min_splice_spacing_mm", usual.minimum_splice_spacing_mm)),
        minimum_insert_mm=None if least_insert is None else float(least_insert),
        largest_insert_sections=int(parameters.get("most_insert_sections", usual.largest_insert_sections)),
    )


def splice_plans(parameters: Mapping[str, Any], component: Component, start_mm: float, end_mm: float) -> SplicePlans:
    """Return every plan that gets a bad length out of this belt, the best first.

    Args:
        parameters: Of the computation, with the part's own properties over them.
        component: The belt.
        start_mm, end_mm: Where the bad length begins and ends, from the datum mark along the travel. [mm]
    """
    when_new = component.properties.get(WHEN_NEW)
    rules = replace(shop_rules(parameters), new_belt_length_mm=None if when_new is None else float(when_new))
    return plan_splices(recorded_loop(parameters, component), start_mm, end_mm, rules)


def plan_title(plan: SplicePlan, context: AdviceContext) -> str:
    """Return a plan in one line."""
    if plan.kind == "replace the belt":
        return tr("Put on a new belt")
    cut = tr("Cut out {cut_length_mm}").format(cut_length_mm=context.length(plan.cut_length_mm))
    if plan.insert_sections == 0:
        return tr("{cut} and close up").format(cut=cut)
    sections = (
        tr("one cleat section")
        if plan.insert_sections == 1
        else tr("{insert_sections} cleat sections").format(insert_sections=plan.insert_sections)
    )
    return tr("{cut}, put in {sections} ({insert_length_mm})").format(
               cut=cut, sections=sections, insert_length_mm=context.length(plan.insert_length_mm))


def takeup_text(plan: SplicePlan, context: AdviceContext) -> str:
    """Return what the take-ups must do, and what is left of their travel."""
    return f"{_takeup_way(plan, context)}; {_travel_left(plan, context)}."


def _takeup_way(plan: SplicePlan, context: AdviceContext) -> str:
    if abs(plan.centre_change_mm) < _UNMOVED_MM:
        return tr("Take-ups stay where they are")
    way = tr("in") if plan.centre_change_mm < 0 else tr("out")
    return tr("Take-ups go {way} by {centre_change_mm}").format(
               way=way, centre_change_mm=context.length(abs(plan.centre_change_mm)))


def _travel_left(plan: SplicePlan, context: AdviceContext) -> str:
    travels = ((tr("inwards"), plan.takeup_in_left_mm), (tr("outwards"), plan.takeup_out_left_mm))
    lacking = [tr("{left} too little {way}").format(
                   left=context.length(-left), way=way) for way, left in travels if left < 0]
    if lacking:
        return lacking[0]
    return tr("left then ") + ", ".join(f"{context.length(left)} {way}" for way, left in travels)


def splice_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return the best plan; first reading: start of the bad length, second: its end."""
    if len(readings) < 2:
        return nothing_yet(tr("Measure from the datum mark to where the bad length begins and ends."))
    plans = splice_plans(parameters, context.component, value(readings[0]), value(readings[1]))
    if not plans.feasible:
        return Advice((line(STOP, tr("No way to mend this belt as it is.")), *_refused(plans, context)), {}, tr(SOURCE))
    best = plans.feasible[0]
    lines = (line(DO, f"{plan_title(best, context)}."), line(WHY, takeup_text(best, context)),
             *(line(WHY, reason) for reason in best.reasons))
    details = {"new_loop_length_mm": best.new_loop_length_mm, "insert_sections": best.insert_sections}
    return Advice(lines, details, tr(SOURCE))


def _refused(plans: SplicePlans, context: AdviceContext) -> tuple[AdviceLine, ...]:
    return tuple(line(CHECK, f"{plan_title(plan, context)}: {plan.refusals[0]}") for plan in plans.refused)
