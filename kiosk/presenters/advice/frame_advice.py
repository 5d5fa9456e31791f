"""Advice on what must stand straight and how much is left: sprockets in line, shafts, frames, belt strain, take-ups."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc import alignment, belt, chain_wear, span, takeup
from kiosk.entities import Side
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
from kiosk.presenters.readings import Judged, standard_uncertainty

OUT_OF_LINE, RUN_OUT, DIAGONAL, MARK_GAP, THREAD = (
    "out-of-line", "shaft-run-out", "frame-diagonal", "mark-gap", "thread-left")
_COVERAGE = 2.0


def alignment_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return whether the two faces are in line by the handbook's limit, beside the sheet's own."""
    found = values(readings, OUT_OF_LINE)
    if not found:
        return nothing_yet(tr("Straight edge along both sprocket faces; read the gap at the far one."))
    gap_mm, limit_mm = mean(found), alignment.offset_limit_mm(float(parameters["centre_distance_mm"]))
    if gap_mm <= limit_mm:
        first = line(DO, tr("Leave the sprockets as they are."))
    else:
        first = line(DO, tr("Move one sprocket by {gap_mm}, then measure again.").format(gap_mm=context.length(gap_mm)))
    own = readings[0].spec.upper
    lines = [first, line(WHY, tr("The chain handbook allows {limit_mm} at this centre distance.").format(
                                  limit_mm=context.length(limit_mm)))]
    if own is not None:
        lines.append(line(WHY, tr("The sheet allows {own}. Both are kept: the sheet's decides, as it speaks for "
                                  "this machine; the handbook's is what to aim at.").format(own=context.length(own))))
    lines.append(line(CHECK, tr("Out of line, the chain's side plates and the teeth's flanks shine: look there too.")))
    return Advice(tuple(lines), {"handbook_limit_mm": limit_mm, "gap_mm": gap_mm},
                  tr("Chain handbook: 1 mm up to 1 m of centre distance, a thousandth of it above."))


def run_out_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return how far the shaft's middle is off, and how far the sag swings with it in one turn."""
    found = values(readings, RUN_OUT)
    if not found:
        return nothing_yet(tr("Dial half way between the bearings; read the whole swing of one turn."))
    off_mm = alignment.eccentricity_mm(mean(found))
    span_mm, sag_mm = float(parameters["span_mm"]), float(parameters["sag_wanted_mm"])
    excess_mm = span.excess_from_sag_mm(span_mm, sag_mm)
    deep, shallow = (span.slack_from_excess(span_mm, max(excess_mm + move, 0.0)).sag_mm for move in (off_mm, -off_mm))
    lines = (
        line(WHY, tr("The shaft's middle is off by half the swing: {off_mm}.").format(off_mm=context.length(off_mm))),
        line(CHECK, tr("In one turn a sag of {sag_mm} then swings between {shallow} and {deep}: measure the sag "
                       "where the chain is tightest.").format(
                        sag_mm=context.length(sag_mm), shallow=context.length(shallow), deep=context.length(deep))),
    )
    return Advice(lines, {"eccentricity_mm": off_mm, "sag_between_mm": [shallow, deep]},
                  tr("Geometry; sag from excess length by the catenary."))


def square_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return how far one side leads the other, and which side to bring back."""
    found = values(readings, DIAGONAL)
    if Side.LEFT not in found or Side.RIGHT not in found:
        return nothing_yet(tr("Measure both diagonals, from the left and from the right end of the lower roller."))
    square = belt.squareness_by_diagonals(found[Side.LEFT], found[Side.RIGHT], float(parameters["frame_length_mm"]),
                                          standard_uncertainty(readings[0].spec))
    doubt_mm = _COVERAGE * square.offset_uncertainty_mm
    if abs(square.offset_mm) <= doubt_mm:
        first = line(DO, tr("Square as far as can be measured: leave both take-ups."))
    else:
        first = line(DO, _bring_back(square.offset_mm, parameters, context))
    lines = (
        first,
        line(WHY, tr("The diagonals say {offset_mm} ± {doubt_mm} of lead.").format(
                      offset_mm=context.length(square.offset_mm), doubt_mm=context.length(doubt_mm))),
        line(CHECK, tr("Square first, track after: the tracking adviser cannot steer a belt on a crooked frame.")),
    )
    return Advice(lines, {"offset_mm": square.offset_mm, "uncertainty_mm": square.offset_uncertainty_mm},
                  tr("Geometry of the parallelogram: the squares of the diagonals differ by four times length times "
                     "lead."))


def _bring_back(offset_mm: float, parameters: Mapping[str, Any], context: AdviceContext) -> str:
    """Return which take-up goes which way; a longer left diagonal ends at an upper right corner that stands ahead."""
    ahead = "right" if offset_mm > 0 else "left"
    turns = takeup.turning(-abs(offset_mm), float(parameters["takeup_thread_pitch_mm"]))
    return (tr("The {ahead} end of the upper roller stands {offset_mm} ahead: bring it in by {in_turns_and_flats}, "
               "then measure again.").format(
                ahead=ahead, offset_mm=context.length(abs(offset_mm)),
                in_turns_and_flats=takeup.in_turns_and_flats(turns.turns * takeup.FLATS_PER_TURN + turns.flats)))


def strain_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return the belt's strain from the gap of its two marks, and which way the take-ups go."""
    found = [reading for reading in readings if reading.spec.key == MARK_GAP]
    relaxed_mm, carcass = float(parameters["mark_gap_mm"]), str(parameters["tension_member"])
    if not found:
        return nothing_yet(tr("Measure the gap of both marks under tension; relaxed it was {relaxed_mm}.").format(
                               relaxed_mm=context.length(relaxed_mm)))
    strain = belt.belt_strain(relaxed_mm, _mean_gap(found), carcass, standard_uncertainty(found[0].spec))
    low, high = strain.window_percent
    act = {"below": line(DO, tr("Tighten both take-ups alike, half a turn, and measure again.")),
           "within": line(DO, tr("Leave both take-ups: the belt is stretched as it should be.")),
           "above": line(STOP, tr("Slacken both take-ups alike: this strain wears the splice and the shaft bearings."))}
    lines = (
        act[strain.verdict],
        line(WHY, tr("Strain {strain_percent} % ± {coverage} %; for {carcass} {low} to {high} % is right.").format(
                      strain_percent=number(strain.strain_percent, ".2f"),
                      coverage=number(_COVERAGE * strain.strain_uncertainty_percent, ".2f"), carcass=carcass,
                      low=number(low, "g"), high=number(high, "g"))),
        line(CHECK, tr("Without marks: tight enough not to slip on the upper roller, slack enough that the spiral "
                       "strap does not cut the inside.")),
    )
    return Advice(lines, {"strain_percent": strain.strain_percent,
                          "standard_uncertainty_percent": strain.strain_uncertainty_percent},
                  tr("Belt maker's published article on initial elongation; without marks: common practice, no "
                     "source."))


def _mean_gap(found: list[Judged]) -> float:
    return sum(reading.value or 0.0 for reading in found) / len(found)


def reserve_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return whether the thread that is left follows the growth to come, and lets two pitches come out."""
    found = values(readings, THREAD)
    if not found:
        return nothing_yet(tr("Rule from the nut to the end of the thread."))
    left_mm, growth_mm = mean(found), float(parameters["growth_mm"])
    reserve = belt.growth_reserve(growth_mm, left_mm)
    two_pitches_mm = chain_wear.takeup_reserve_mm(float(parameters["pitch_mm"]))
    travel = context.length(reserve.travel_needed_mm)
    if reserve.is_enough:
        first = line(DO, tr("Enough: the growth to come takes {travel}; {travel_remaining_mm} stays.").format(
                             travel=travel, travel_remaining_mm=context.length(reserve.travel_remaining_mm)))
    else:
        first = line(STOP, tr("Too little: the growth to come takes {travel}, and {left_mm} is left. Take a pair of "
                              "links out, or plan the change.").format(travel=travel, left_mm=context.length(left_mm)))
    lines = [first, line(WHY, tr("Expected until the next service: the loop {growth_mm} longer; the shaft moves "
                                 "half of that.").format(growth_mm=context.length(growth_mm)))]
    if left_mm < two_pitches_mm:
        lines.append(line(CHECK, tr("On a chain: less than {two_pitches_mm} is left, so a worn pair of links is "
                                    "what the take-up no longer reaches.").format(
                                     two_pitches_mm=context.length(two_pitches_mm))))
    return Advice(tuple(lines), {"travel_remaining_mm": reserve.travel_remaining_mm},
                  tr("Two equal strands, travel is half the growth; chain handbook: room to take out two pitches."))
