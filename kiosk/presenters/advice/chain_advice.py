"""Advice on chains: the take-ups for a wanted sag, and what wear means.

Both sides of an elevator are set alike: one shaft carries both chains, and a flight must stand square.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from kiosk.calc import chain, chain_wear, loop_balance, slack, span, takeup
from kiosk.entities import Side, Verdict
from kiosk.language import N_, number, tr
from kiosk.presenters.advice.core import (
    CHECK,
    DO,
    STOP,
    WHY,
    Advice,
    AdviceContext,
    Readings,
    by_side,
    line,
    mean,
    nothing_yet,
    side_word,
    value,
    values,
)
from kiosk.presenters.parts import AdviceLine
from kiosk.presenters.readings import Judged, standard_uncertainty

SAG_SOURCE = N_("Statics of a hanging strand (catenary); half turns, then measure again: common practice, no source.")
WEAR_SOURCE = N_("Chain maker's page on wear: 3 % in general, 200/N % above 67 teeth, 1.5 % for fixed centres.")
SAG, LENGTH, LINKS, CENTRE = "strand-sag", "length-over-pitches", "links-counted", "centre-distance"
_METRE = 1000.0
_AGREE = 2.0  # twice the uncertainty of a difference: below it two strands are alike


def sag_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return how far the take-ups go to bring the hanging strand to the wanted sag.

    Both take-ups go the same way by the mean of the sides; a side that hangs deeper is named.
    """
    sags = values(readings, SAG)
    if not sags:
        return nothing_yet(tr("Measure the sag at its lowest point, left and right."))
    length_mm, wanted_mm = float(parameters["span_mm"]), float(parameters["sag_wanted_mm"])
    strands = int(parameters.get("strands", 1))
    angle = float(parameters.get("angle_degrees", 0.0))
    moves = {side: takeup.takeup_for_sag(length_mm, sag, wanted_mm, strands, angle).movement_mm
             for side, sag in sags.items()}
    turns = {side: takeup.turning(move, float(parameters["takeup_thread_pitch_mm"])) for side, move in moves.items()}
    if parameters.get("grease_tensioner"):
        lines = [line(DO, takeup.grease_tensioner_words(mean(moves)))]
    else:
        lines = _turn_lines(turns)
    lines.append(line(WHY, tr("Wanted sag {wanted_mm}; found {found}.").format(
                               wanted_mm=context.length(wanted_mm), found=_found(sags, context))))
    lines += _after_half_a_turn(parameters, mean(sags), mean(moves), context)
    lines += _tension_line(parameters, mean(sags)) + _slack_lines(parameters, mean(sags), context)
    lines.append(line(CHECK, tr("Some sag must remain: a tight chain wears fast and pulls on the shaft bearings.")))
    details = {
        "movement_mm": {side.value: move for side, move in moves.items()},
        "flats": {side.value: _flats(turn) for side, turn in turns.items()},
    }
    return Advice(tuple(lines), details, tr(SAG_SOURCE))


def _flats(turn: takeup.Turning) -> int:
    """Return a turning as flats, out positive."""
    flats = turn.turns * takeup.FLATS_PER_TURN + turn.flats
    return -flats if turn.direction == "in" else flats


def _turn_lines(turns: Mapping[Side, takeup.Turning]) -> list[AdviceLine]:
    """Return what to turn: one line when both sides go alike, one a side otherwise."""
    if len({_flats(turn) for turn in turns.values()}) == 1:
        return [line(DO, next(iter(turns.values())).words)]
    lines = [line(DO, tr("{side_word} take-up: {turn_words}.").format(
                          side_word=side_word(side), turn_words=_turn_words(turn))) for side, turn in turns.items()]
    return [*lines, line(DO, tr("Go in half turns, both sides in step, and measure again after each half turn."))]


def _turn_words(turn: takeup.Turning) -> str:
    if turn.direction == "leave":
        return tr("leave it")
    return tr("{direction} by {in_turns_and_flats}").format(
               direction=turn.direction, in_turns_and_flats=takeup.in_turns_and_flats(abs(_flats(turn))))


def _found(sags: Mapping[Side, float], context: AdviceContext) -> str:
    if Side.BOTH in sags:
        return context.length(sags[Side.BOTH])
    return ", ".join(f"{tr(side.value)} {context.length(sag)}" for side, sag in sags.items())


def _after_half_a_turn(parameters: Mapping[str, Any], sag_mm: float, move_mm: float, context: AdviceContext
                       ) -> list[AdviceLine]:
    """Return what the rule must show after the first half turn; another sag is a slip of measuring."""
    half_mm = float(parameters["takeup_thread_pitch_mm"]) / 2
    if parameters.get("grease_tensioner") or abs(move_mm) <= half_mm:
        return []
    after = takeup.sag_after_takeup_mm(float(parameters["span_mm"]), sag_mm, half_mm if move_mm > 0 else -half_mm,
                                       int(parameters.get("strands", 1)), float(parameters.get("angle_degrees", 0.0)))
    return [line(CHECK, tr("After the first half turn it must hang about {after}; if not, measure again before "
                           "turning on.").format(after=context.length(after)))]


def _slack_lines(parameters: Mapping[str, Any], sag_mm: float, context: AdviceContext) -> list[AdviceLine]:
    """Return the same slack as moved by hand, and the printed rule that the sheet names."""
    by_hand = span.slack_from_measurement(float(parameters["span_mm"]), sag_mm, span.HANGING).movement_mm
    lines = [line(CHECK, tr("Left alone it hangs {sag_mm}; moved up and down by hand the strand goes {by_hand}, "
                            "{movement_over_sag} times as far. Do not mix them.").format(
                             sag_mm=context.length(sag_mm), by_hand=context.length(by_hand),
                             movement_over_sag=number(span.movement_over_sag(), ".1f")))]
    if "slack_case" in parameters:
        window = slack.slack_window(float(parameters["span_mm"]), str(parameters["slack_case"]))
        to = (
            ""
            if window.upper_mm in (None, window.lower_mm)
            else tr(" to {value}").format(value=context.length(window.upper_mm or 0.0))
        )
        lines.append(line(WHY, tr("Printed for '{rule}': {lower_mm}{to} of {measured} ({source}). Rules differ; "
                                  "this sheet's own sag decides, and the part's figures show them all.").format(
                                   rule=window.rule.name, lower_mm=context.length(window.lower_mm), to=to,
                                   measured=window.rule.measured, source=window.rule.source)))
    return lines


def _tension_line(parameters: Mapping[str, Any], sag_mm: float) -> list[AdviceLine]:
    """Return the strand's pull where its mass is known."""
    mass = parameters.get("chain_mass_kg_per_m")
    if mass is None or sag_mm <= 0:
        return []
    weight = span.strand_weight_newton_per_metre(float(mass))
    pull = span.level_span(float(parameters["span_mm"]), sag_mm, weight).horizontal_newton
    return [line(WHY, tr("At this sag the hanging strand pulls with about {pull} N by its own weight.").format(
                          pull=number(pull, ".0f")))]


def wear_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return wear elongation against its limit, from the length over the counted pitches of the tight strand."""
    found = by_side(readings, LENGTH)
    if not found:
        return nothing_yet(tr("Measure over {parameters} pitches of the tight strand.").format(
                               parameters=parameters["pitches_measured"]))
    limit = chain_wear.wear_limit_percent(int(parameters["largest_sprocket_teeth"]),
                                          bool(parameters.get("fixed_centres", False)))
    worn = {
        side: chain_wear.elongation(value(reading), float(parameters["pitch_mm"]), int(parameters["pitches_measured"]),
                                    standard_uncertainty(reading.spec), limit)
        for side, reading in found.items()
    }
    worst = max(worn.values(), key=lambda one: one.elongation_percent)
    lines = [_wear_verdict(worst, parameters), *_sheet_line(found.values())]
    lines += [_wear_line(side, one, context) for side, one in worn.items()]
    lines += _growth_lines(parameters, worst.elongation_percent, context)
    lines += _strand_lines(worn, parameters, context) + _flight_lines(parameters)
    lines += _reserve_lines(parameters, context)
    details = {"elongation_percent": {side.value: one.elongation_percent for side, one in worn.items()},
               "standard_uncertainty_percent": worst.standard_uncertainty_percent, "limit_percent": limit}
    return Advice(tuple(lines), details, tr(WEAR_SOURCE))


def _wear_verdict(worst: chain_wear.Elongation, parameters: Mapping[str, Any]) -> AdviceLine:
    spread = _AGREE * worst.standard_uncertainty_percent
    if worst.flag:
        return line(CHECK, worst.flag)
    if worst.elongation_percent - spread > worst.limit_percent:
        return line(STOP, tr("Worn out: change both chains together, and look at the sprockets. Taking links out of "
                             "a worn-out chain is no repair."))
    if worst.elongation_percent + spread >= worst.limit_percent:
        return line(CHECK, tr("Too close to its wear limit to call: measure over {pitches} pitches.").format(
                               pitches=_pitches(worst, parameters)))
    return line(DO, tr("The wear is below the general limit of {limit_percent} %.").format(
                        limit_percent=number(worst.limit_percent, "g")))


def _pitches(worst: chain_wear.Elongation, parameters: Mapping[str, Any]) -> int:
    """Return over how many pitches the same rule would tell, at most eight times as many."""
    pitch_mm, measured = float(parameters["pitch_mm"]), int(parameters["pitches_measured"])
    rule_mm = worst.standard_uncertainty_percent / 100 * measured * pitch_mm
    gap = abs(worst.limit_percent - worst.elongation_percent) / _AGREE
    return min(max(chain_wear.pitches_needed(pitch_mm, rule_mm, max(gap, 0.01)), 2 * measured), 8 * measured)


def _sheet_line(found: Iterable[Judged]) -> list[AdviceLine]:
    """Return that the sheet's own limit, where it is stricter than the trade's, comes first."""
    if all(reading.verdict is not Verdict.OUTSIDE for reading in found):
        return []
    return [line(STOP, tr("Outside this sheet's own limit, which comes before the general one: plan the change now."))]


def _wear_line(side: Side, one: chain_wear.Elongation, context: AdviceContext) -> AdviceLine:
    name = tr("Elongation") if side is Side.BOTH else tr("{side_word} elongation").format(side_word=side_word(side))
    return line(WHY, tr("{name} {elongation_percent} % ± {agree} %; limit {limit_percent} %, {limit_length_mm} over "
                        "these pitches.").format(
                         name=name, elongation_percent=number(one.elongation_percent, ".2f"),
                         agree=number(_AGREE * one.standard_uncertainty_percent, ".2f"),
                         limit_percent=number(one.limit_percent, "g"),
                         limit_length_mm=context.length(one.limit_length_mm)))


def _growth_lines(parameters: Mapping[str, Any], percent: float, context: AdviceContext) -> list[AdviceLine]:
    if percent <= 0:
        return []
    growth = chain_wear.wear_growth(int(parameters["links"]), float(parameters["pitch_mm"]), percent)
    lines = [line(WHY, tr("The loop has grown by {growth_mm}: the take-ups have followed by about "
                          "{takeup_movement_mm}.").format(
                           growth_mm=context.length(growth.growth_mm),
                           takeup_movement_mm=context.length(growth.takeup_movement_mm)))]
    if growth.removable_links:
        lines.append(
            line(
                CHECK,
                tr("{removable_links} links could come out of each strand, both strands alike.").format(
                    removable_links=growth.removable_links
                ),
            )
        )
    return lines


def _strand_lines(worn: Mapping[Side, chain_wear.Elongation], parameters: Mapping[str, Any], context: AdviceContext
                  ) -> list[AdviceLine]:
    """Return which strand is longer, when the difference is more than its uncertainty, and how a flight leans."""
    if Side.LEFT not in worn or Side.RIGHT not in worn:
        return []
    left, right = worn[Side.LEFT], worn[Side.RIGHT]
    found = chain_wear.compare_strands(
        left.elongation_percent, right.elongation_percent, float(parameters.get("centre_distance_mm", _METRE)),
        float(parameters.get("strand_distance_mm", _METRE)),
        math.hypot(left.standard_uncertainty_percent, right.standard_uncertainty_percent) / math.sqrt(2.0))
    if found.longer == "alike":
        return [line(CHECK, tr("Both strands are alike as far as can be measured."))]
    lean = (tr(" A flight leans by {skew_mm_per_m} mm in a metre of its width.").format(
                skew_mm_per_m=number(abs(found.skew_mm_per_m), ".1f"))
            if "strand_distance_mm" in parameters else "")
    return [line(STOP, tr("The {longer} strand is worn {elongation_difference_percent} % more: the flights "
                          "lean.{lean} Change chains in pairs, from one box.").format(
                           longer=found.longer,
                           elongation_difference_percent=number(abs(found.elongation_difference_percent), ".2f"),
                           lean=lean))]


def _flight_lines(parameters: Mapping[str, Any]) -> list[AdviceLine]:
    if "links_per_flight" not in parameters:
        return []
    spacing = chain.flight_spacing(int(parameters["links"]), int(parameters["links_per_flight"]))
    if spacing.is_even and spacing.is_whole:
        return []
    right = tr(" or ").join(str(count) for count in spacing.nearest_valid_links)
    return [line(CHECK, tr("{parameters} links do not carry evenly spaced flights; {right} would. Count again.").format(
                            parameters=parameters["links"], right=right))]


def _reserve_lines(parameters: Mapping[str, Any], context: AdviceContext) -> list[AdviceLine]:
    reserve = chain_wear.takeup_reserve_mm(float(parameters["pitch_mm"]))
    return [line(CHECK, tr("Keep {reserve} of take-up travel: it lets two pitches come out.").format(
                            reserve=context.length(reserve)))]


def loop_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return whether counted links, wear, centre distance and sag fit together; a wrong link count shows here."""
    counted, centres, sags = (by_side(readings, key) for key in (LINKS, CENTRE, SAG))
    worn = by_side(readings, LENGTH)
    if not (counted and centres and sags and worn):
        return nothing_yet(tr("Count the links, and measure centre distance, sag and the length over the pitches."))
    lines, details = [], {}
    for side, reading in counted.items():
        found = _balance(parameters, reading, _beside(centres, side), _beside(sags, side), _beside(worn, side))
        lines += _loop_lines(side, found, context)
        details[side.value] = {"finding": found.finding, "links_off": found.links_off,
                               "difference_mm": found.difference_mm}
    return Advice((*lines, *_flight_lines({**parameters, "links": next(iter(counted.values())).value})),
                  {"loop": details}, tr("Exact geometry: links times worn pitch against the way round plus the slack."))


def _beside(found: Mapping[Side, Judged], side: Side) -> Judged:
    """Return the reading of the same side, or the one there is."""
    return found.get(side) or next(iter(found.values()))


def _balance(parameters: Mapping[str, Any], links: Judged, centre: Judged, sag: Judged, length: Judged
             ) -> loop_balance.LoopBalance:
    pitch_mm = float(parameters["pitch_mm"])
    worn = chain_wear.elongation(value(length), pitch_mm, int(parameters["pitches_measured"]),
                                 standard_uncertainty(length.spec))
    centre_mm, sag_mm, u_sag = value(centre), value(sag), standard_uncertainty(sag.spec)
    excess_mm, more_mm = (span.excess_from_sag_mm(centre_mm, depth) for depth in (sag_mm, sag_mm + u_sag))
    loop = loop_balance.Loop(int(value(links)), pitch_mm, int(parameters["driver_teeth"]),
                             int(parameters["driven_teeth"]), centre_mm, worn.elongation_percent, excess_mm)
    return loop_balance.balance(loop, standard_uncertainty(centre.spec), worn.standard_uncertainty_percent,
                                more_mm - excess_mm)


def _loop_lines(side: Side, found: loop_balance.LoopBalance, context: AdviceContext) -> list[AdviceLine]:
    name = "" if side is Side.BOTH else f"{side_word(side)}: "
    weight = DO if found.finding == loop_balance.FITS else STOP
    return [
        line(weight, f"{name}{found.words}"),
        line(
            WHY,
            tr("{name}{chain_mm} of chain on a way of {path_mm}, apart by {difference_mm} ± {agree} mm.").format(
                name=name,
                chain_mm=context.length(found.chain_mm),
                path_mm=context.length(found.path_mm),
                difference_mm=number(found.difference_mm, ".1f"),
                agree=number(_AGREE * found.standard_uncertainty_mm, ".1f"),
            ),
        ),
    ]
