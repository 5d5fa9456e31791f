"""Advice on where a cleated belt runs; it learns from the belt's own earlier adjustments, read out of the records.

Loads numpy, so it is imported only when a tracking form is open.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc import belt, tracking
from kiosk.calc.steering import Move, TrackGeometry, TrackLimits
from kiosk.calc.takeup import FLATS_PER_TURN, in_turns_and_flats
from kiosk.entities import Phase, ServiceRecord, Side, Verdict
from kiosk.language import N_, number, tr, trn
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
    nothing_yet,
    value,
)
from kiosk.presenters.advice.turns import CYCLES, TURNS_MADE
from kiosk.presenters.parts import AdviceLine
from kiosk.presenters.readings import Judged, standard_uncertainty
from kiosk.presenters.words import side_text

SOURCE = (N_("A belt moves toward the end of a roller that it meets first: published in several conveyor guides. It "
             "runs to the slacker side, so raise the take-up of that side: common practice, no source."))
EDGE_TOP, EDGE_BOTTOM = "belt-edge-top", "belt-edge-bottom"


def tracking_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return which take-up, which way and how many turns, then how long to run before measuring again."""
    edge = _left_edge(readings, EDGE_TOP)
    if edge is None:
        return nothing_yet(tr("Measure from the left frame side to the belt's left edge, at the top."))
    bottom = _left_edge(readings, EDGE_BOTTOM)
    limits = _limits(parameters, edge.spec.lower, edge.spec.upper, standard_uncertainty(edge.spec))
    now = tracking.BeltTrack(value(edge), None if bottom is None else value(bottom),
                             lower_roller_offset_mm=float(parameters.get("lower_offset_mm", 0.0)))
    advised = tracking.advise(logged_moves(context.history), now, limits, _geometry(parameters))
    odd = [reading for reading in readings if reading.verdict is Verdict.OUTSIDE]
    if advised.action == tracking.LEAVE and odd:
        return Advice((_odd_line(odd[0]),), _track_details(advised), tr(SOURCE))
    return Advice(tuple(_track_lines(advised, parameters, limits, context)), _track_details(advised), tr(SOURCE))


def _odd_line(reading: Judged) -> AdviceLine:
    """Return what to do where one edge is outside although the edge that the advice goes by is not."""
    name = " ".join(part for part in (reading.spec.title, side_text(reading.side)) if part)
    return line(STOP, tr("{name} is outside, and the edges do not fit together. Measure both sides again; if it "
                         "stays, look for a bent frame or a torn edge before turning anything.").format(name=name))


def _left_edge(readings: Readings, quantity: str) -> Judged | None:
    """Return the reading from the left frame side; what the right one says follows from the belt's width."""
    found = by_side(readings, quantity)
    return found.get(Side.LEFT) or found.get(Side.BOTH)


def _geometry(parameters: Mapping[str, Any]) -> TrackGeometry:
    return TrackGeometry(float(parameters["bearing_spacing_mm"]), float(parameters["roller_diameter_mm"]),
                         float(parameters["takeup_thread_pitch_mm"]), float(parameters.get("wrap_degrees", 180.0)))


def _limits(parameters: Mapping[str, Any], lower: float | None, upper: float | None, u_mm: float) -> TrackLimits:
    """Return the sheet's limits for the edge; what it does not say keeps the trade's figure."""
    usual = TrackLimits()
    return TrackLimits(
        edge_low_mm=usual.edge_low_mm if lower is None else lower,
        edge_high_mm=usual.edge_high_mm if upper is None else upper,
        reading_uncertainty_mm=max(u_mm, 0.1),
        settle_revolutions=float(parameters["settle_revolutions"]),
    )


def _track_lines(advised: tracking.TrackingAdvice, parameters: Mapping[str, Any], limits: TrackLimits,
                 context: AdviceContext) -> list[AdviceLine]:
    weight = STOP if advised.action == tracking.LOOK else DO
    lines = [line(weight, _track_words(advised, parameters, limits))]
    lines += [line(WHY, reason) for reason in advised.reasons if reason != lines[0].text]
    if advised.action == tracking.TURN:
        lines += [_gain_line(advised, context)] if advised.gain.moves_used else []
        lines.append(_chance_line(advised))
    return lines + [line(CHECK, tr("Look at: {place}.").format(place=place)) for place in advised.look_at]


def _track_words(advised: tracking.TrackingAdvice, parameters: Mapping[str, Any], limits: TrackLimits) -> str:
    if advised.action == tracking.TURN:
        minutes = _run_minutes(advised.run_revolutions, parameters)
        return (tr("{capitalize} the {side} take-up by {in_turns_and_flats}, run {run_revolutions} belt revolutions "
                   "({minutes} minutes at {float} engine r/min), then measure again.").format(
                    capitalize=advised.direction.capitalize(), side=advised.side,
                    in_turns_and_flats=in_turns_and_flats(advised.flats),
                    run_revolutions=number(advised.run_revolutions, ".0f"), minutes=number(minutes, ".0f"),
                    float=number(float(parameters["engine_rpm"]), ".0f")))
    if advised.action == tracking.LEAVE:
        return tr("The belt runs where it should; leave the take-ups alone.")
    if advised.action == tracking.LOWER_ROLLER and advised.reasons:
        return advised.reasons[0]
    return tr("Turn no more: moving the take-ups does not help. Look elsewhere first.")


def _run_minutes(revolutions: float, parameters: Mapping[str, Any]) -> float:
    """Return how long the belt runs for so many revolutions at the working speed. [min]"""
    rpm = belt.roller_speed_rpm(float(parameters["engine_rpm"]), float(parameters["engine_to_roller_ratio"]))
    return belt.run_in(revolutions, float(parameters["belt_length_mm"]), float(parameters["drive_roller_diameter_mm"]),
                       rpm).duration_minutes


def _gain_line(advised: tracking.TrackingAdvice, context: AdviceContext) -> AdviceLine:
    """Return what a turn does on this very machine, in the person's units."""
    gain = advised.gain
    text = trn("{moves_used} logged move: one turn moves the edge {gain}, give or take {doubt}.",
               "{moves_used} logged moves: one turn moves the edge {gain}, give or take {doubt}.", gain.moves_used)
    return line(WHY, text.format(moves_used=gain.moves_used, gain=context.length(abs(gain.mm_per_turn)),
                                 doubt=context.length(2 * gain.uncertainty_mm_per_turn)))


def _chance_line(advised: tracking.TrackingAdvice) -> AdviceLine:
    return line(WHY, tr("Chance that it then runs in its band: {chance_in_band}.").format(
                         chance_in_band=number(advised.chance_in_band, ".0%")))


def _track_details(advised: tracking.TrackingAdvice) -> dict[str, Any]:
    return {
        "action": advised.action, "side": advised.side, "direction": advised.direction, "flats": advised.flats,
        "run_revolutions": advised.run_revolutions, "expected_edge_top_mm": advised.expected_edge_top_mm,
        "gain_mm_per_turn": advised.gain.mm_per_turn,
        "gain_uncertainty_mm_per_turn": advised.gain.uncertainty_mm_per_turn,
    }


def logged_moves(history: tuple[ServiceRecord, ...]) -> list[Move]:
    """Return the adjustments that the records tell, oldest first: edges as found and as left, and what was turned."""
    moves = [move for record in reversed(history) for move in (*_cycle_moves(record), _logged_move(record))]
    return [move for move in moves if move is not None]


def _cycle_moves(record: ServiceRecord) -> list[Move | None]:
    """Return what each turn of a session did on this machine, one after the other."""
    return [_cycle_move(cycle) for cycle in record.details.get(CYCLES, ())]


def _cycle_move(cycle: Mapping[str, Any]) -> Move | None:
    turned, before, after = cycle["turned"], cycle["before"], cycle["after"]
    top = _left_value(before, EDGE_TOP), _left_value(after, EDGE_TOP)
    if not any(turned.values()) or top[0] is None or top[1] is None:
        return None
    return Move(turned.get("left", 0) / FLATS_PER_TURN, turned.get("right", 0) / FLATS_PER_TURN, top[0], top[1],
                _left_value(before, EDGE_BOTTOM), _left_value(after, EDGE_BOTTOM),
                revolutions=float(cycle.get("revolutions") or Move.revolutions))


def _left_value(measured: Mapping[str, Any], quantity: str) -> float | None:
    """Return a measurement from the left frame side, as the cycles keep it; None if it was not taken."""
    found = (measured.get(f"{quantity}|{side.value}") for side in (Side.LEFT, Side.BOTH))
    return next((float(one) for one in found if one is not None), None)


def _logged_move(record: ServiceRecord) -> Move | None:
    turned = record.details.get(TURNS_MADE)
    top_before, top_after = _edge(record, EDGE_TOP, Phase.AS_FOUND), _edge(record, EDGE_TOP, Phase.AS_LEFT)
    if not turned or top_before is None or top_after is None:
        return None
    return Move(
        turned.get("left", 0) / FLATS_PER_TURN, turned.get("right", 0) / FLATS_PER_TURN, top_before, top_after,
        _edge(record, EDGE_BOTTOM, Phase.AS_FOUND), _edge(record, EDGE_BOTTOM, Phase.AS_LEFT),
    )


def _edge(record: ServiceRecord, key: str, phase: Phase) -> float | None:
    return next((one.value for one in record.readings
                 if one.quantity == key and one.phase == phase and one.side is not Side.RIGHT), None)
