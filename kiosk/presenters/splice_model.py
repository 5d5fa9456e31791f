"""A splice without its screen: the belt drawn flat, plans as rows, what the belt is afterwards. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kiosk.calc.sequence import centre_out_order
from kiosk.calc.splice import CleatedLoop, SplicePlan, SplicePlans
from kiosk.calc.splice_plan import is_travel_in_doubt
from kiosk.language import number, tr
from kiosk.presenters.advice.core import AdviceContext
from kiosk.presenters.advice.splice_advice import WHEN_NEW, plan_title, takeup_text
from kiosk.presenters.parts import BeltAfter, BeltDrawing, BoltState, PlanRow

NEW_BELT = "replace the belt"
MOST_CLEATS_DRAWN = 200
INSERT_SLACK_MM = 1.0


def keyed(plans: SplicePlans) -> dict[str, SplicePlan]:
    """Return every plan under the key that its row bears, the feasible ones first."""
    feasible = {f"plan-{place}": plan for place, plan in enumerate(plans.feasible, start=1)}
    return feasible | {f"refused-{place}": plan for place, plan in enumerate(plans.refused, start=1)}


def plan_rows(plans: SplicePlans, chosen: str, context: AdviceContext) -> tuple[PlanRow, ...]:
    """Return the plans as rows: feasible ones ranked, then the refused ones with why."""
    return tuple(
        PlanRow(
            key=key, rank=rank, title=plan_title(plan, context), new_length=_new_length(plan, context),
            takeup=takeup_text(plan, context), reasons=plan.reasons if plan.is_feasible else plan.refusals,
            feasible=plan.is_feasible, chosen=key == chosen, cuts=cuts_text(plan, context),
        )
        for rank, (key, plan) in enumerate(keyed(plans).items(), start=1)
    )


def cuts_text(plan: SplicePlan, context: AdviceContext) -> str:
    """Return where to cut and what to mind before it, '' for a new belt."""
    if plan.kind == NEW_BELT:
        return ""
    minds = ("" if plan.is_pitch_whole else tr(" One gap between cleats will be odd."),
             tr(" Measure the loop again first.") if is_travel_in_doubt(plan) else "")
    return (tr("Cut at {cut_from_mm} and {cut_to_mm} from the datum mark.").format(
                cut_from_mm=context.length(plan.cut_from_mm), cut_to_mm=context.length(plan.cut_to_mm))
            + "".join(minds))


def _new_length(plan: SplicePlan, context: AdviceContext) -> str:
    return tr("new length {both} ± {new_loop_uncertainty_mm} mm").format(
               both=context.both(plan.new_loop_length_mm),
               new_loop_uncertainty_mm=number(plan.new_loop_uncertainty_mm, ".1f"))


def belt_drawing(loop: CleatedLoop, damage: tuple[float, float] | None, plan: SplicePlan | None,
                 context: AdviceContext) -> BeltDrawing:
    """Return the belt laid flat from its datum mark; a stretch whose end is below its start runs over the datum."""
    length = loop.loop_length_mm

    def at(place_mm: float) -> float:
        return (place_mm % length) / length

    cleats = min(int(length // loop.cleat_pitch_mm), MOST_CLEATS_DRAWN)
    cut = None if plan is None or plan.kind == NEW_BELT else (at(plan.cut_from_mm), at(plan.cut_to_mm))
    return BeltDrawing(
        cleats=tuple(at(loop.cleat_phase_mm + number * loop.cleat_pitch_mm) for number in range(cleats)),
        splices=tuple(at(place) for place in loop.splice_positions_mm),
        damage=None if damage is None else (at(damage[0]), at(damage[1])), cut=cut,
        new_splices=cut if cut is not None else (), length_text=context.length(length),
        after=_belt_after(length, loop.cleat_pitch_mm, plan, context) if plan is not None and cut is not None else None,
    )


def _belt_after(length_mm: float, pitch_mm: float, plan: SplicePlan, context: AdviceContext) -> BeltAfter:
    """Return the loop as a plan leaves it, to the scale of the loop as it is."""
    new_mm = plan.new_loop_length_mm
    cleats = min(int(new_mm // pitch_mm), MOST_CLEATS_DRAWN)
    return BeltAfter(
        length=new_mm / length_mm,
        cleats=tuple((plan.cleat_phase_after_mm + number * pitch_mm) % new_mm / length_mm for number in range(cleats)),
        splices=tuple(place % new_mm / length_mm for place in plan.splice_positions_after_mm),
        insert=_insert(plan, length_mm), text=tr("then {length}").format(length=context.length(new_mm)),
    )


def _insert(plan: SplicePlan, length_mm: float) -> tuple[float, float] | None:
    """Return where the piece that goes in lies: between the two joints that are as far apart as it is long."""
    if not plan.insert_sections:
        return None
    places, new_mm = plan.splice_positions_after_mm, plan.new_loop_length_mm
    for start in places:
        for end in places:
            if abs((end - start) % new_mm - plan.insert_length_mm) < INSERT_SLACK_MM:
                return start % new_mm / length_mm, end % new_mm / length_mm
    return None


def bolt_states(bolts: int, tightened: int) -> tuple[BoltState, ...]:
    """Return the joint's bolts from left to right with their place in the order and whether they are tight."""
    order = centre_out_order(bolts)
    turn_of = {bolt: turn for turn, bolt in enumerate(order, start=1)}
    return tuple(
        BoltState(bolt, turn_of[bolt], turn_of[bolt] <= tightened, turn_of[bolt] == tightened + 1)
        for bolt in range(1, bolts + 1)
    )


def next_bolt(bolts: int, tightened: int) -> int | None:
    """Return the number of the bolt that comes next, None when all are tight."""
    order: Sequence[int] = centre_out_order(bolts)
    return order[tightened] if tightened < bolts else None


def properties_after(loop: CleatedLoop, plan: SplicePlan, own: dict[str, Any]) -> dict[str, object]:
    """Return what is on record of the belt from now on; its length when new is kept for the next belt."""
    return {
        "belt_length_mm": round(plan.new_loop_length_mm, 3),
        "splices_mm": [round(place, 3) for place in plan.splice_positions_after_mm],
        "cleat_phase_mm": round(plan.cleat_phase_after_mm, 3),
        "takeup_travel_in_mm": round(plan.takeup_in_left_mm, 3),
        "takeup_travel_out_mm": round(plan.takeup_out_left_mm, 3),
        WHEN_NEW: own.get(WHEN_NEW, loop.loop_length_mm),
    }


def plan_details(plan: SplicePlan, damage: tuple[float, float]) -> dict[str, object]:
    """Return what the record keeps of the plan that was carried out."""
    return {
        "kind": plan.kind, "damage_from_mm": damage[0], "damage_to_mm": damage[1], "cut_from_mm": plan.cut_from_mm,
        "cut_to_mm": plan.cut_to_mm, "cut_length_mm": plan.cut_length_mm, "insert_sections": plan.insert_sections,
        "insert_length_mm": plan.insert_length_mm, "new_loop_length_mm": plan.new_loop_length_mm,
        "new_loop_uncertainty_mm": plan.new_loop_uncertainty_mm, "takeup_in_left_mm": plan.takeup_in_left_mm,
        "takeup_out_left_mm": plan.takeup_out_left_mm, "parts": list(plan.parts),
    }


def finding_texts(plan: SplicePlan) -> tuple[str, ...]:
    """Return the findings that saving opens: what the plan leaves wrong."""
    return () if plan.is_pitch_whole else (tr("Belt spliced with one odd gap between cleats; it thumps there."),)
