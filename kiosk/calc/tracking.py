"""The tracking adviser: which take-up to turn, which way, how far, and how long to run before measuring again.

It starts from the geometry and the trade's rule and learns what a turn does on this machine, in `steering`. Edges are
measured from the left frame side to the belt's left edge; 'raise' tightens that side.

Sources: the steering rule is printed in several conveyor guides (a belt moves toward the end of a roller that it meets
first); for two rollers the trade says it so: the belt runs to the slacker side, so raise the take-up of the side it
runs to (common practice, no source; it follows from the first).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from kiosk.calc import guards, steering
from kiosk.calc.steering import (
    HIDDEN_MM,
    SETTLING_SCATTER,
    Array,
    Belief,
    Leg,
    Move,
    SkewDrift,
    SteeringGain,
    TrackGeometry,
    TrackLimits,
    learned_gain,
    skew_drift,
)
from kiosk.language import number, tr

__all__ = ["BeltTrack", "Move", "SkewDrift", "SteeringGain", "TrackGeometry", "TrackLimits", "TrackingAdvice",
           "advise", "learned_gain", "skew_drift"]

TURN, LEAVE, LOWER_ROLLER, LOOK = "turn", "leave", "lower the roller", "look elsewhere"
MISS_PRICE = 0.5
MISS_CAP = 2.0
"""A move is worth its chance of the band, less this price for the miss that is left; a miss counts up to the cap."""
MAYBE_REVERSED = 0.3
"""Above this chance of a reversed sign the mechanic is told so. (our assumption)"""
WEAK_SHARE = 0.3
"""Below this share of the gain that the geometry gives, the take-ups are looked at first. (our assumption)"""

@dataclass(frozen=True)
class BeltTrack:
    """Where the belt runs now.

    Args:
        edge_top_mm: Edge to left frame side at the top. [mm] 0 where it touches
        edge_bottom_mm: The same at the bottom; None when not measured. [mm]
        takeup_left_out_mm: Travel the left take-up has left upwards; None when not measured. [mm]
        takeup_right_out_mm: Travel the right take-up has left upwards. [mm]
        lower_roller_offset_mm: How much lower the lower roller's left end stands already. [mm]
        wander_mm: How much the edge wanders to and fro in one belt revolution. [mm]
    """

    edge_top_mm: float
    edge_bottom_mm: float | None = None
    takeup_left_out_mm: float | None = None
    takeup_right_out_mm: float | None = None
    lower_roller_offset_mm: float = 0.0
    wander_mm: float = 0.0


@dataclass(frozen=True)
class TrackingAdvice:
    """What to do next.

    Args:
        action: 'turn', 'leave', 'lower the roller' or 'look elsewhere'.
        side: 'left' or 'right' take-up; '' when nothing is turned.
        direction: 'raise' or 'lower'; '' when nothing is turned.
        turns: How many turns. [-]
        flats: The same in flats of the nut. [count]
        travel_mm: The same as movement of that take-up. [mm]
        run_revolutions: Belt revolutions to run before measuring again. [-]
        expected_edge_top_mm: Where the edge should then run at the top. [mm]
        expected_uncertainty_mm: Its expanded uncertainty, k = 2. [mm]
        chance_in_band: Chance that the belt then runs in its band. [-]
        gain: What was learned of this machine.
        reasons: Why, in sentences.
        look_at: What else to look at, the likeliest first.
    """

    action: str
    side: str
    direction: str
    turns: float
    flats: int
    travel_mm: float
    run_revolutions: float
    expected_edge_top_mm: float
    expected_uncertainty_mm: float
    chance_in_band: float
    gain: SteeringGain
    reasons: tuple[str, ...]
    look_at: tuple[str, ...]


@dataclass(frozen=True)
class _Choice:
    """One possible move: turns of left over right, and what it should lead to."""

    turns: float
    chance: float
    top_mm: float
    uncertainty_mm: float


def advise(history: Sequence[Move], now: BeltTrack, limits: TrackLimits, geometry: TrackGeometry) -> TrackingAdvice:
    """Return the next adjustment of a belt that does not run where it should.

    Args:
        history: Logged moves since the belt or the roller was last changed, oldest first.
        now: Where the belt runs.
        limits: Where it may run, and how far one move may go.
        geometry: Of the steering roller.

    Returns:
        One move, or leave it, or lower the lower roller's left end, or what else to look at.

    Raises:
        OutOfRange: a reading, a move, a limit or the geometry is out of its range.

    Source:
        Direction: a belt moves toward the end of a roller that it meets first (published, several conveyor guides);
        the belt runs to the slacker side, raise the take-up of the side it runs to (common practice, no source).
        Size: `learned_gain`. One move at a time, then 150 revolutions; after four moves on one side the frame or the
        splice is wrong, not the screw; if the edge cannot be had at the top, the lower roller's left end goes 1 in
        lower (common practice, no source).
    """
    limits = steering.checked_limits(limits)
    now = _checked_track(now)
    history = [steering.checked_move(move) for move in history]
    legs = steering.legs(history, limits)
    held = steering.belief(legs, geometry, limits)
    gain = steering.summary(history, legs, held, limits)
    if _is_in_band(now.edge_top_mm, limits) and not _is_low(now.edge_bottom_mm, limits):
        return _rest(LEAVE, now, limits, gain, (tr("The belt runs where it should; leave the take-ups alone."),))
    choice = _best_choice(_outlook(now, legs, held, _bottom_belief(history, held, geometry, limits), limits))
    in_the_way = _is_bottom_in_the_way(now, limits)
    trouble = _trouble(history, now, limits, choice, in_the_way)
    if trouble:
        places = _places_to_look(now, limits, gain, steering.expected_gain_mm(geometry))
        return _rest(LOOK, now, limits, gain, trouble, places)
    if in_the_way:
        return _rest(LOWER_ROLLER, now, limits, gain, (
            tr("The top cannot come in without the bottom touching the frame: set the lower roller's left end "
               "{lower_roller_step_mm} mm lower, then run and measure again.").format(
                lower_roller_step_mm=number(limits.lower_roller_step_mm - now.lower_roller_offset_mm, ".0f")),))
    return _turn(now, limits, geometry, gain, choice)


def _is_in_band(edge: float, limits: TrackLimits) -> bool:
    return limits.edge_low_mm <= edge <= limits.edge_high_mm


def _is_low(edge: float | None, limits: TrackLimits) -> bool:
    return edge is not None and edge < limits.edge_low_mm


def _bottom_belief(history: Sequence[Move], held: Belief, geometry: TrackGeometry, limits: TrackLimits) -> Belief:
    """Return what is believed of the bottom edge's gain: from its own logs where there are any, else the top's."""
    logs = [replace(move, edge_top_before_mm=move.edge_bottom_before_mm, edge_top_after_mm=move.edge_bottom_after_mm)
            for move in history if move.edge_bottom_before_mm is not None and move.edge_bottom_after_mm is not None]
    return steering.belief(steering.legs(logs, limits), geometry, limits) if logs else held


@dataclass(frozen=True)
class _Outlook:
    """What a move is weighed with.

    Args:
        now: Where the belt runs.
        limits: Where it may run.
        top_mm: Where the top edge would run, for each gain; beyond the frame where it touches. [mm]
        top_uncertainty_mm: Standard uncertainty of that. [mm]
        top: Belief of the top edge's gain.
        bottom: Belief of the bottom edge's gain.
    """

    now: BeltTrack
    limits: TrackLimits
    top_mm: Array
    top_uncertainty_mm: float
    top: Belief
    bottom: Belief


def _outlook(now: BeltTrack, legs: Sequence[Leg], top: Belief, bottom: Belief, limits: TrackLimits) -> _Outlook:
    """Work out where the belt would run now if the frame did not stop it."""
    gains, noise = top.gains_mm, limits.reading_uncertainty_mm
    if now.edge_top_mm > 0.0:
        return _Outlook(now, limits, np.full_like(gains, now.edge_top_mm), noise, top, bottom)
    last = legs[-1] if legs and legs[-1].after <= 0.0 else Leg(0.0, 0.0, 0.0, (), 0)
    if last.before > 0.0:
        return _Outlook(now, limits, np.minimum(last.before + gains * last.turns, 0.0), noise, top, bottom)
    hidden = gains * last.turns - steering.hidden_mm(last, gains) - HIDDEN_MM
    return _Outlook(now, limits, hidden, HIDDEN_MM, top, bottom)


def _best_choice(outlook: _Outlook) -> _Choice:
    """Weigh every whole number of flats: the best chance of the band, less the price of the miss that is left."""
    limits = outlook.limits
    most = max(1, round(limits.largest_move_turns * limits.flats_per_turn))
    turns = np.array([number for number in range(-most, most + 1) if number]) / limits.flats_per_turn
    moved = turns[:, np.newaxis] * outlook.top.gains_mm
    spread = np.sqrt(outlook.top_uncertainty_mm**2 + (SETTLING_SCATTER * moved) ** 2)
    top = outlook.top_mm + moved
    chance = _chances(outlook, turns, top, spread)
    best = int(np.argmax(chance - MISS_PRICE * _misses(outlook, top)))
    weights = outlook.top.weights
    mean = float(top[best] @ weights)
    variance = float(((top[best] - mean) ** 2 + spread[best] ** 2) @ weights)
    return _Choice(float(turns[best]), float(chance[best]), mean, 2 * math.sqrt(variance))


def _chances(outlook: _Outlook, turns: Array, top: Array, spread: Array) -> Array:
    """Return the chance of each move that the top then runs in its band and the bottom clear of the frame."""
    low, high = outlook.limits.edge_low_mm, outlook.limits.edge_high_mm
    inside: Array = (_below((high - top) / spread) - _below((low - top) / spread)) @ outlook.top.weights
    if outlook.now.edge_bottom_mm is None:
        return inside
    room = outlook.now.edge_bottom_mm + turns[:, np.newaxis] * outlook.bottom.gains_mm - low
    clear: Array = _below(room / spread) @ outlook.bottom.weights
    return inside * clear


def _misses(outlook: _Outlook, top: Array) -> Array:
    """Return what each move leaves of the way to the middle of the band, as a share of the way there now."""
    middle = _middle(outlook.limits)
    start = np.abs(outlook.top_mm - middle)
    left_over = np.minimum(np.abs(top - middle), MISS_CAP * start)
    misses: Array = (left_over / (start + outlook.limits.reading_uncertainty_mm)) @ outlook.top.weights
    return misses


def _below(z: Array) -> Array:
    """Normal distribution function, by Page's logistic form (error below 2e-4)."""
    clipped = np.clip(z, -8.0, 8.0)
    return 1.0 / (1.0 + np.exp(-(1.5976 * clipped + 0.070566 * clipped**3)))


def _middle(limits: TrackLimits) -> float:
    return (limits.edge_low_mm + limits.edge_high_mm) / 2


def _has_helped(move: Move, limits: TrackLimits) -> bool | None:
    """Say whether a move brought the belt nearer, beyond the reading noise; None where the frame hid it."""
    if move.edge_top_before_mm <= 0.0 and move.edge_top_after_mm <= 0.0:
        return None
    before = abs(move.edge_top_before_mm - _middle(limits))
    return before - abs(move.edge_top_after_mm - _middle(limits)) > limits.reading_uncertainty_mm


def _last_attempts(history: Sequence[Move], limits: TrackLimits) -> list[Move]:
    """Return the moves since the belt last ran where it should, the latest first."""
    attempts = []
    for move in reversed(history):
        if _is_in_band(move.edge_top_after_mm, limits):
            break
        attempts.append(move)
    return attempts


def _run_length(answers: Sequence[bool]) -> int:
    """Return how many of the answers, from the first, are True without a break."""
    return next((place for place, answer in enumerate(answers) if not answer), len(answers))


def _trouble(history: Sequence[Move], now: BeltTrack, limits: TrackLimits, choice: _Choice,
             bottom_in_the_way: bool) -> tuple[str, ...]:
    """Return why no further turn is advised; empty when one is."""
    attempts = _last_attempts(history, limits)
    in_vain = _run_length([_has_helped(move, limits) is False for move in attempts])
    one_way = attempts[:_run_length([(move.turns_left - move.turns_right) * choice.turns > 0 for move in attempts])]
    without_help = sum(not _has_helped(move, limits) for move in one_way)
    found = []
    if now.wander_mm > limits.edge_high_mm - limits.edge_low_mm:
        found.append(tr("The edge wanders {wander_mm} mm in one revolution, more than the band is wide; no take-up "
                        "can cure that.").format(wander_mm=number(now.wander_mm, ".0f")))
    if in_vain >= limits.moves_without_help:
        found.append(tr("The last {in_vain} moves did not bring the belt nearer; do not turn further.").format(
                         in_vain=in_vain))
    if without_help >= limits.moves_on_one_side or len(one_way) >= 2 * limits.moves_on_one_side:
        found.append(tr("{count} moves the same way and the belt is still out: the frame or the splice is wrong, "
                        "not the screw.").format(count=len(one_way)))
    if bottom_in_the_way and now.lower_roller_offset_mm >= limits.lower_roller_step_mm - 1.0:
        found.append(tr("The top cannot come in without the bottom touching the frame, and the lower roller's left "
                        "end is down already."))
    return tuple(found)


def _is_bottom_in_the_way(now: BeltTrack, limits: TrackLimits) -> bool:
    """True when moving the top edge in would push the bottom edge against the frame."""
    if now.edge_bottom_mm is None or now.edge_top_mm <= limits.edge_high_mm:
        return False
    return now.edge_bottom_mm - (now.edge_top_mm - limits.edge_high_mm) < limits.edge_low_mm


def _places_to_look(now: BeltTrack, limits: TrackLimits, gain: SteeringGain, expected_gain: float) -> tuple[str, ...]:
    splice = tr("The splice: is it square to the belt? Then one spot of the belt is always off.")
    debris = tr("The rollers: debris or a worn strap? Then one spot of the frame always pushes the belt.")
    frame = tr("The frame: measure both diagonals; is one side ahead of the other?")
    takeup = tr("The take-ups: does the roller's end move when the nut is turned, on both sides alike?")
    places = [splice, debris, frame]
    if gain.reversed_chance > MAYBE_REVERSED:
        places.append(tr("The sign: this machine may steer the other way. Set the belt clear of the frame, then try "
                         "half a turn on the other side and log it."))
    places.insert(0 if abs(gain.mm_per_turn) < WEAK_SHARE * expected_gain else len(places), takeup)
    if now.edge_top_mm > limits.edge_high_mm and now.lower_roller_offset_mm < limits.lower_roller_step_mm - 1.0:
        places.append(tr("The lower roller: its left end may go {lower_roller_step_mm} mm lower.").format(
                          lower_roller_step_mm=number(limits.lower_roller_step_mm, ".0f")))
    return tuple(places)


def _rest(action: str, now: BeltTrack, limits: TrackLimits, gain: SteeringGain, reasons: tuple[str, ...],
          look_at: tuple[str, ...] = ()) -> TrackingAdvice:
    """Return advice that turns nothing."""
    run = limits.settle_revolutions if action == LOWER_ROLLER else 0.0
    return TrackingAdvice(
        action=action, side="", direction="", turns=0.0, flats=0, travel_mm=0.0, run_revolutions=run,
        expected_edge_top_mm=now.edge_top_mm, expected_uncertainty_mm=2 * limits.reading_uncertainty_mm,
        chance_in_band=float(_is_in_band(now.edge_top_mm, limits)), gain=gain,
        reasons=_touching(now) + reasons, look_at=look_at)


def _touching(now: BeltTrack) -> tuple[str, ...]:
    touches = now.edge_top_mm <= 0.0 or (now.edge_bottom_mm is not None and now.edge_bottom_mm <= 0.0)
    if not touches:
        return ()
    return (tr("The belt touches the frame: a hard touch tears it. Move it clear before it runs on."),)


def _turn(now: BeltTrack, limits: TrackLimits, geometry: TrackGeometry, gain: SteeringGain,
          choice: _Choice) -> TrackingAdvice:
    """Put a choice into the mechanic's words: raise the side it runs to, or lower the other where travel is out."""
    side, other = ("left", "right") if choice.turns > 0 else ("right", "left")
    travel = abs(choice.turns) * geometry.takeup_thread_pitch_mm
    left = now.takeup_left_out_mm if side == "left" else now.takeup_right_out_mm
    direction = "raise" if left is None or left >= travel else "lower"
    reasons = _touching(now) + tuple(_why_turn(now, limits, gain, side, direction))
    return TrackingAdvice(
        action=TURN, side=side if direction == "raise" else other, direction=direction, turns=abs(choice.turns),
        flats=round(abs(choice.turns) * limits.flats_per_turn), travel_mm=travel,
        run_revolutions=limits.settle_revolutions, expected_edge_top_mm=choice.top_mm,
        expected_uncertainty_mm=choice.uncertainty_mm, chance_in_band=choice.chance, gain=gain, reasons=reasons,
        look_at=())


def _why_turn(now: BeltTrack, limits: TrackLimits, gain: SteeringGain, side: str, direction: str) -> list[str]:
    runs_to = "right" if now.edge_top_mm > limits.edge_high_mm else "left"
    why = [tr("The belt runs to the {runs_to}; ").format(runs_to=runs_to)
           + (tr("it runs to the slacker side, so that side is tightened.") if runs_to == side
              else tr("on this machine the logs show that the other side must be tightened."))]
    if direction == "lower":
        why.append(
            tr("The {side} take-up has no travel left for this, so the other one is lowered; watch for slip.").format(
                side=side
            )
        )
    if not gain.moves_used:
        why.append(tr("No moves are logged yet: this one follows the geometry and shows what the machine does."))
    if gain.doubtful_moves:
        why.append(tr("{count} logged moves do not fit the others and count for little.").format(
                       count=len(gain.doubtful_moves)))
    return why


def _checked_track(now: BeltTrack) -> BeltTrack:
    guards.number("edge_top_mm", now.edge_top_mm, "mm", 0.0)
    guards.number_or_none("edge_bottom_mm", now.edge_bottom_mm, "mm", 0.0)
    guards.number_or_none("takeup_left_out_mm", now.takeup_left_out_mm, "mm", 0.0)
    guards.number_or_none("takeup_right_out_mm", now.takeup_right_out_mm, "mm", 0.0)
    guards.number("wander_mm", now.wander_mm, "mm", 0.0)
    guards.number("lower_roller_offset_mm", now.lower_roller_offset_mm, "mm")
    return now
