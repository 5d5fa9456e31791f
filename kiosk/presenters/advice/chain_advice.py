"""Advice on chains: the take-ups for a wanted sag, and what wear means.

Both sides of an elevator are set alike: one shaft carries both chains, and a flight must stand square.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from kiosk.calc import chain, chain_wear, span, takeup
from kiosk.entities import Side, Verdict
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

SAG_SOURCE = "Statics of a hanging strand (catenary); half turns, then measure again: common practice, no source."
WEAR_SOURCE = "Chain maker's page on wear: 3 % in general, 200/N % above 67 teeth, 1.5 % for fixed centres."
SAG, LENGTH = "strand-sag", "length-over-pitches"
_AGREE = 2.0  # twice the uncertainty of a difference: below it two strands are alike


def sag_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return how far the take-ups go to bring the hanging strand to the wanted sag.

    Both take-ups go the same way by the mean of the sides; a side that hangs deeper is named.
    """
    sags = values(readings, SAG)
    if not sags:
        return nothing_yet("Measure the sag at its lowest point, left and right.")
    length_mm, wanted_mm = float(parameters["span_mm"]), float(parameters["sag_wanted_mm"])
    strands = int(parameters.get("strands", 1))
    moves = {side: takeup.takeup_for_sag(length_mm, sag, wanted_mm, strands).movement_mm for side, sag in sags.items()}
    turns = {side: takeup.turning(move, float(parameters["takeup_thread_pitch_mm"])) for side, move in moves.items()}
    if parameters.get("grease_tensioner"):
        lines = [line(DO, takeup.grease_tensioner_words(mean(moves)))]
    else:
        lines = _turn_lines(turns)
    lines.append(line(WHY, f"Wanted sag {context.length(wanted_mm)}; found {_found(sags, context)}."))
    lines += _tension_line(parameters, mean(sags))
    lines.append(line(CHECK, "Some sag must remain: a tight chain wears fast and pulls on the shaft bearings."))
    details = {
        "movement_mm": {side.value: move for side, move in moves.items()},
        "flats": {side.value: _flats(turn) for side, turn in turns.items()},
    }
    return Advice(tuple(lines), details, SAG_SOURCE)


def _flats(turn: takeup.Turning) -> int:
    """Return a turning as flats, out positive."""
    flats = turn.turns * takeup.FLATS_PER_TURN + turn.flats
    return -flats if turn.direction == "in" else flats


def _turn_lines(turns: Mapping[Side, takeup.Turning]) -> list[AdviceLine]:
    """Return what to turn: one line when both sides go alike, one a side otherwise."""
    if len({_flats(turn) for turn in turns.values()}) == 1:
        return [line(DO, next(iter(turns.values())).words)]
    lines = [line(DO, f"{side_word(side)} take-up: {_turn_words(turn)}.") for side, turn in turns.items()]
    return [*lines, line(DO, "Go in half turns, both sides in step, and measure again after each half turn.")]


def _turn_words(turn: takeup.Turning) -> str:
    if turn.direction == "leave":
        return "leave it"
    return f"{turn.direction} by {takeup.in_turns_and_flats(abs(_flats(turn)))}"


def _found(sags: Mapping[Side, float], context: AdviceContext) -> str:
    if Side.BOTH in sags:
        return context.length(sags[Side.BOTH])
    return ", ".join(f"{side.value} {context.length(sag)}" for side, sag in sags.items())


def _tension_line(parameters: Mapping[str, Any], sag_mm: float) -> list[AdviceLine]:
    """Return the strand's pull where its mass is known."""
    mass = parameters.get("chain_mass_kg_per_m")
    if mass is None or sag_mm <= 0:
        return []
    weight = span.strand_weight_newton_per_metre(float(mass))
    pull = span.level_span(float(parameters["span_mm"]), sag_mm, weight).horizontal_newton
    return [line(WHY, f"At this sag the hanging strand pulls with about {pull:.0f} N by its own weight.")]


def wear_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return wear elongation against its limit, from the length over the counted pitches of the tight strand."""
    found = by_side(readings, LENGTH)
    if not found:
        return nothing_yet(f"Measure over {parameters['pitches_measured']} pitches of the tight strand.")
    limit = chain_wear.wear_limit_percent(int(parameters["largest_sprocket_teeth"]),
                                          bool(parameters.get("fixed_centres", False)))
    worn = {
        side: chain_wear.elongation(value(reading), float(parameters["pitch_mm"]), int(parameters["pitches_measured"]),
                                    standard_uncertainty(reading.spec), limit)
        for side, reading in found.items()
    }
    worst = max(worn.values(), key=lambda one: one.elongation_percent)
    lines = [_wear_verdict(worst), *_sheet_line(found.values())]
    lines += [_wear_line(side, one, context) for side, one in worn.items()]
    lines += _growth_lines(parameters, worst.elongation_percent, context)
    lines += _strand_lines(worn) + _flight_lines(parameters)
    details = {"elongation_percent": {side.value: one.elongation_percent for side, one in worn.items()},
               "standard_uncertainty_percent": worst.standard_uncertainty_percent, "limit_percent": limit}
    return Advice(tuple(lines), details, WEAR_SOURCE)


def _wear_verdict(worst: chain_wear.Elongation) -> AdviceLine:
    spread = _AGREE * worst.standard_uncertainty_percent
    if worst.flag:
        return line(CHECK, worst.flag)
    if worst.elongation_percent - spread > worst.limit_percent:
        return line(STOP, "Worn out: change both chains together, and look at the sprockets. Taking links out of a "
                          "worn-out chain is no repair.")
    if worst.elongation_percent + spread >= worst.limit_percent:
        return line(CHECK, "Too close to its wear limit to call: measure over more pitches.")
    return line(DO, f"The wear is below the general limit of {worst.limit_percent:g} %.")


def _sheet_line(found: Iterable[Judged]) -> list[AdviceLine]:
    """Return that the sheet's own limit, where it is stricter than the trade's, comes first."""
    if all(reading.verdict is not Verdict.OUTSIDE for reading in found):
        return []
    return [line(STOP, "Outside this sheet's own limit, which comes before the general one: plan the change now.")]


def _wear_line(side: Side, one: chain_wear.Elongation, context: AdviceContext) -> AdviceLine:
    name = "Elongation" if side is Side.BOTH else f"{side_word(side)} elongation"
    return line(WHY, f"{name} {one.elongation_percent:.2f} % ± {_AGREE * one.standard_uncertainty_percent:.2f} %; "
                     f"limit {one.limit_percent:g} %, {context.length(one.limit_length_mm)} over these pitches.")


def _growth_lines(parameters: Mapping[str, Any], percent: float, context: AdviceContext) -> list[AdviceLine]:
    if percent <= 0:
        return []
    growth = chain_wear.wear_growth(int(parameters["links"]), float(parameters["pitch_mm"]), percent)
    lines = [line(WHY, f"The loop has grown by {context.length(growth.growth_mm)}: the take-ups have followed by about "
                       f"{context.length(growth.takeup_movement_mm)}.")]
    if growth.removable_links:
        lines.append(line(CHECK, f"{growth.removable_links} links could come out of each strand, both strands alike."))
    return lines


def _strand_lines(worn: Mapping[Side, chain_wear.Elongation]) -> list[AdviceLine]:
    """Return which strand is longer, when the difference is more than its uncertainty."""
    if Side.LEFT not in worn or Side.RIGHT not in worn:
        return []
    left, right = worn[Side.LEFT], worn[Side.RIGHT]
    difference = left.elongation_percent - right.elongation_percent
    doubt = _AGREE * (left.standard_uncertainty_percent**2 + right.standard_uncertainty_percent**2) ** 0.5
    if abs(difference) <= doubt:
        return [line(CHECK, "Both strands are alike as far as can be measured.")]
    longer = "left" if difference > 0 else "right"
    return [line(STOP, f"The {longer} strand is worn {abs(difference):.2f} % more: the flights lean. Change chains in "
                       "pairs, from one box.")]


def _flight_lines(parameters: Mapping[str, Any]) -> list[AdviceLine]:
    if "links_per_flight" not in parameters:
        return []
    spacing = chain.flight_spacing(int(parameters["links"]), int(parameters["links_per_flight"]))
    if spacing.is_even and spacing.is_whole:
        return []
    right = " or ".join(str(count) for count in spacing.nearest_valid_links)
    return [line(CHECK, f"{parameters['links']} links do not carry evenly spaced flights; {right} would. Count again.")]
