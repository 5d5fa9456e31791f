"""How a belt is steered, and what one turn of a take-up does on this very machine, learned from its logged moves.

What a turn does differs from machine to machine, in size and now and then in direction (a crowned roller reverses the
feel). The prior comes from the geometry and the trade's rule; the rest from the machine's own moves: Bayes' rule on a
grid of gains, with a likelihood that one bad log cannot sway (Student's t). Turns count positive upwards; edges are
measured from the left frame side to the belt's left edge; left raised more than right drives the belt away from the
left side, unless this machine is reversed. What to do with it is in `tracking`.

A belt that touches the frame shows a bound only: where it would run is hidden. Moves that begin and end at the frame
are joined, and each gain pays for the hidden movement it needs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from kiosk.calc import guards
from kiosk.calc.takeup import FLATS_PER_TURN

REVERSED_CHANCE = 0.1
"""Prior chance that this machine steers against the rule. (our assumption)"""
GAIN_SPREAD = 1.0
"""Prior spread of the logarithm of the gain: a factor of e either way, one sigma. (our assumption)"""
SETTLING_SCATTER = 0.15
"""Part of an edge movement that may be missing or too much when it is read. (our assumption)"""
DEGREES_OF_FREEDOM = 4.0
"""Of Student's t: a reading far off pulls less and less."""
DOUBTFUL_WEIGHT = 0.3
"""A log whose weight falls below this does not fit the others."""
HIDDEN_MM = 10.0
"""How far a belt that touches the frame would run beyond it, if it could, on the average. (our assumption)"""
MOST_TURNS = 50.0

Array = npt.NDArray[np.float64]
_GRID = np.linspace(-4.0, 4.0, 81)
_LOG_PRIOR = np.concatenate([-0.5 * _GRID**2 + math.log(REVERSED_CHANCE),
                             -0.5 * _GRID**2 + math.log(1 - REVERSED_CHANCE)])
_UNIT_GAINS = np.concatenate([-np.exp(GAIN_SPREAD * _GRID), np.exp(GAIN_SPREAD * _GRID)])


@dataclass(frozen=True)
class SkewDrift:
    """How far a skewed roller steers a belt that does not slip.

    Args:
        skew_mm_per_m: Skew of the roller. [mm/m]
        drift_per_pass_mm: Sideways movement each time round the roller. [mm]
    """

    skew_mm_per_m: float
    drift_per_pass_mm: float


@dataclass(frozen=True)
class TrackGeometry:
    """What is known of the steering roller.

    Args:
        bearing_spacing_mm: Distance between its two bearings. [mm]
        roller_diameter_mm: Its diameter. [mm]
        takeup_thread_pitch_mm: How far one turn moves a take-up. [mm]
        wrap_degrees: Wrap of the belt. [°]
        passes_to_settle: Passes after which the belt has found its new place. [-] (our assumption)
    """

    bearing_spacing_mm: float
    roller_diameter_mm: float
    takeup_thread_pitch_mm: float
    wrap_degrees: float = 180.0
    passes_to_settle: float = 10.0


@dataclass(frozen=True)
class TrackLimits:
    """Where the belt may run and how far one move may go.

    Args:
        edge_low_mm: Smallest distance from the left frame side, top and bottom. [mm]
        edge_high_mm: Largest distance at the top; half an inch. [mm] (common practice, no source)
        reading_uncertainty_mm: Standard uncertainty of one reading. [mm]
        flats_per_turn: Flats of the take-up's nut or bolt. [count]
        largest_move_turns: Most for one move. [-]
        settle_revolutions: Belt revolutions before the next reading. [-] (common practice, no source)
        moves_without_help: Moves in a row that may fail to help before the advice stops. [count]
        moves_on_one_side: Moves one way without help before the advice stops; twice as many stop it anyway. [count]
        lower_roller_step_mm: How much lower the lower roller's left end goes. [mm] (common practice, no source)
    """

    edge_low_mm: float = 2.0
    edge_high_mm: float = 12.7
    reading_uncertainty_mm: float = 1.0
    flats_per_turn: int = FLATS_PER_TURN
    largest_move_turns: float = 1.0
    settle_revolutions: float = 150.0
    moves_without_help: int = 3
    moves_on_one_side: int = 4
    lower_roller_step_mm: float = 25.4


@dataclass(frozen=True)
class Move:
    """One logged adjustment: what was turned, and where the belt ran before and after it had settled.

    Args:
        turns_left: Turns of the left take-up, upwards positive. [-]
        turns_right: Turns of the right take-up, upwards positive. [-]
        edge_top_before_mm: Edge to left frame side at the top. [mm] 0 where it touches
        edge_top_after_mm: The same afterwards. [mm]
        edge_bottom_before_mm: The same at the bottom; None when not measured. [mm]
        edge_bottom_after_mm: The same at the bottom afterwards. [mm]
        revolutions: Belt revolutions run in between. [-]
    """

    turns_left: float
    turns_right: float
    edge_top_before_mm: float
    edge_top_after_mm: float
    edge_bottom_before_mm: float | None = None
    edge_bottom_after_mm: float | None = None
    revolutions: float = 150.0


@dataclass(frozen=True)
class SteeringGain:
    """What one turn does on this machine: left raised by a turn more than right.

    Args:
        mm_per_turn: Edge movement, away from the left side positive. [mm]
        uncertainty_mm_per_turn: Standard uncertainty. [mm]
        reversed_chance: Chance that this machine steers against the rule. [-]
        moves_used: Logs it was learned from. [count]
        doubtful_moves: Places in the history, from 0, of logs that do not fit the others.
    """

    mm_per_turn: float
    uncertainty_mm_per_turn: float
    reversed_chance: float
    moves_used: int
    doubtful_moves: tuple[int, ...]


def skew_drift(bearing_offset_mm: float, bearing_spacing_mm: float, roller_diameter_mm: float,
               wrap_degrees: float = 180.0) -> SkewDrift:
    """Return how far a roller steers the belt when one of its bearings stands ahead of the other.

    Args:
        bearing_offset_mm: How far one bearing stands ahead. [mm] the sign is kept
        bearing_spacing_mm: Distance between the bearings. [mm] above 0
        roller_diameter_mm: Diameter of the roller. [mm] above 0
        wrap_degrees: Wrap of the belt. [°] above 0, at most 360

    Returns:
        Skew and drift per pass; the most it can be, for a belt that does not slip and is stiff in its plane.

    Raises:
        OutOfRange: an argument is out of its range.

    Source:
        Kinematics: tan(skew) = offset / spacing; drift = wrap length tan(skew).
    """
    offset = guards.number("bearing_offset_mm", bearing_offset_mm, "mm")
    spacing = guards.positive("bearing_spacing_mm", bearing_spacing_mm, "mm")
    diameter = guards.positive("roller_diameter_mm", roller_diameter_mm, "mm")
    wrap = math.radians(guards.positive("wrap_degrees", wrap_degrees, "°", 360.0)) * diameter / 2
    return SkewDrift(offset / spacing * 1000.0, wrap * offset / spacing)


def learned_gain(history: Sequence[Move], geometry: TrackGeometry, limits: TrackLimits | None = None) -> SteeringGain:
    """Return what one turn does on this machine, learned from its logged moves.

    Args:
        history: Moves since the belt or the roller was last changed, oldest first.
        geometry: Of the steering roller; gives the prior.
        limits: For the reading uncertainty and the settling revolutions.

    Returns:
        Gain with its uncertainty, the chance of a reversed sign, and logs that do not fit.

    Raises:
        OutOfRange: a move, the geometry or a limit is out of its range.

    Source:
        Bayes' rule on a grid; prior from `skew_drift`; Student's t likelihood with 4 degrees of freedom against bad
        logs (Lange, Little and Taylor 1989, from memory). Spread and sign of the prior are our assumptions.
    """
    limits = checked_limits(limits or TrackLimits())
    moves = [checked_move(move) for move in history]
    found = legs(moves, limits)
    return summary(moves, found, belief(found, geometry, limits), limits)


class Leg(NamedTuple):
    """One move, or several joined because the frame hid where the belt would have run in between.

    Args:
        before: Edge before the first move; 0 where it touched. [mm]
        turns: Turns of left over right since then, less what had not settled. [-]
        after: Edge after the last move. [mm]
        touched: Turns since the start at each reading that touched. [-]
        last: Place of the last move in the history, from 0.
    """

    before: float
    turns: float
    after: float
    touched: tuple[float, ...]
    last: int


class Belief(NamedTuple):
    """What is believed of a machine's gain.

    Args:
        gains_mm: float64, shape (162,): the grid of gains. [mm per turn]
        weights: float64, same shape: how likely each is; they sum to 1.
    """

    gains_mm: Array
    weights: Array


def legs(history: Sequence[Move], limits: TrackLimits) -> list[Leg]:
    """Return the moves that turned something, joined where one begins at the frame and the one before ended there.

    Args:
        history: Logged moves, oldest first.
        limits: For the settling revolutions.

    Returns:
        Legs, oldest first.
    """
    found: list[Leg] = []
    for place, move in enumerate(history):
        start, turns = move.edge_top_before_mm, _settled_turns(move, limits)
        touched: tuple[float, ...] = ()
        if turns == 0.0:
            continue
        if found and start <= 0.0 and found[-1].after <= 0.0:
            start, turns, touched = found[-1].before, turns + found[-1].turns, found.pop().touched
        touched += (turns,) if move.edge_top_after_mm <= 0.0 else ()
        found.append(Leg(start, turns, move.edge_top_after_mm, touched, place))
    return found


def _settled_turns(move: Move, limits: TrackLimits) -> float:
    """Turns of left over right, less what had not settled yet when the belt was read; three time constants settle."""
    settled = 1.0 - math.exp(-3.0 * move.revolutions / limits.settle_revolutions)
    return (move.turns_left - move.turns_right) * settled


def belief(moves: Sequence[Leg], geometry: TrackGeometry, limits: TrackLimits) -> Belief:
    """Return what is believed of the gain after these moves.

    Args:
        moves: Legs, oldest first.
        geometry: Of the steering roller; gives the prior.
        limits: For the reading uncertainty.

    Returns:
        A weight for each gain of the grid.
    """
    gains = _UNIT_GAINS * expected_gain_mm(geometry)
    log_weight = _LOG_PRIOR - _cost_off_the_frame([leg for leg in moves if _is_clear(leg)], gains, limits)
    for leg in moves:
        if not _is_clear(leg):
            log_weight -= _cost_at_the_frame(leg, gains, limits)
    weights = np.exp(log_weight - log_weight.max())
    return Belief(gains, weights / weights.sum())


def expected_gain_mm(geometry: TrackGeometry) -> float:
    """Return the edge movement per turn that the geometry lets us expect.

    Args:
        geometry: Of the steering roller.

    Returns:
        Drift per pass for one turn, times the passes until the belt has settled. [mm]

    Raises:
        OutOfRange: a size of the geometry is out of its range.

    Source:
        `skew_drift`; the number of passes is our assumption.
    """
    pitch = guards.positive("takeup_thread_pitch_mm", geometry.takeup_thread_pitch_mm, "mm")
    passes = guards.positive("passes_to_settle", geometry.passes_to_settle)
    drift = skew_drift(pitch, geometry.bearing_spacing_mm, geometry.roller_diameter_mm, geometry.wrap_degrees)
    return drift.drift_per_pass_mm * passes


def _is_clear(leg: Leg) -> bool:
    """True when the belt never touched the frame."""
    return leg.before > 0.0 and not leg.touched


def _cost_off_the_frame(moves: Sequence[Leg], gains: Array, limits: TrackLimits) -> Array:
    """Return minus the log-likelihood of all legs that never touched the frame, for each gain."""
    predicted = np.array([[leg.turns] for leg in moves]).reshape(-1, 1) * gains
    observed = np.array([[leg.after - leg.before] for leg in moves]).reshape(-1, 1)
    variance = 2 * limits.reading_uncertainty_mm**2 + (SETTLING_SCATTER * predicted) ** 2
    cost: Array = _student_cost((observed - predicted) ** 2 / variance) + np.log(variance) / 2
    total: Array = cost.sum(axis=0)
    return total


def _student_cost(ratio_squared: Array) -> Array:
    cost: Array = (DEGREES_OF_FREEDOM + 1) / 2 * np.log1p(ratio_squared / DEGREES_OF_FREEDOM)
    return cost


def _cost_at_the_frame(leg: Leg, gains: Array, limits: TrackLimits) -> Array:
    """Return minus the log-likelihood of a leg that touched the frame, for each gain."""
    residual, scale = _residual(leg, gains, limits)
    cost = _student_cost((residual / scale) ** 2)
    if leg.before > 0.0:
        return cost + np.log(scale) if leg.after > 0.0 else cost
    return cost + hidden_mm(leg, gains) / HIDDEN_MM


def _residual(leg: Leg, gains: Array, limits: TrackLimits) -> tuple[Array, Array]:
    """Return by how much a leg contradicts each gain, and the scale to judge it by.

    A reading off the frame contradicts both ways; one at the frame only where the belt should have come clear.
    """
    scale = np.sqrt(2 * limits.reading_uncertainty_mm**2 + (SETTLING_SCATTER * gains * leg.turns) ** 2)
    hidden = hidden_mm(leg, gains) if leg.before <= 0.0 else np.zeros_like(gains)
    residual = np.zeros_like(gains)
    for turns in leg.touched:
        residual = np.maximum(residual, leg.before - hidden + gains * turns)
    if leg.after > 0.0:
        residual = np.maximum(residual, np.abs(leg.after - leg.before + hidden - gains * leg.turns))
    return residual, scale


def hidden_mm(leg: Leg, gains: Array) -> Array:
    """Return how far beyond the frame a belt that touched it at first must have wanted to run.

    Args:
        leg: The leg.
        gains: float64, any shape. [mm per turn]

    Returns:
        The least hidden movement for each gain, same shape. [mm]
    """
    if leg.after > 0.0:
        return np.maximum(gains * leg.turns - leg.after, 0.0)
    farthest = np.zeros_like(gains)
    for turns in leg.touched:
        farthest = np.maximum(farthest, gains * turns)
    return farthest


def summary(history: Sequence[Move], moves: Sequence[Leg], held: Belief, limits: TrackLimits) -> SteeringGain:
    """Return a belief as one gain with its uncertainty, and the logs that do not fit it.

    Args:
        history: Logged moves.
        moves: The same as legs.
        held: What is believed after them.
        limits: For the reading uncertainty.

    Returns:
        The gain.
    """
    mean = float(held.weights @ held.gains_mm)
    spread = math.sqrt(max(0.0, float(held.weights @ (held.gains_mm - mean) ** 2)))
    used = sum(move.turns_left != move.turns_right for move in history)
    doubtful = tuple(leg.last for leg in moves if _pull(leg, mean, limits) < DOUBTFUL_WEIGHT)
    return SteeringGain(mean, spread, float(held.weights[held.gains_mm < 0].sum()), used, doubtful)


def _pull(leg: Leg, gain: float, limits: TrackLimits) -> float:
    """Return the weight that Student's t gives a leg at this gain; 1 and a bit where it fits."""
    if _is_clear(leg):
        variance = 2 * limits.reading_uncertainty_mm**2 + (SETTLING_SCATTER * gain * leg.turns) ** 2
        squared = (leg.after - leg.before - gain * leg.turns) ** 2 / variance
    else:
        residual, scale = _residual(leg, np.array([gain]), limits)
        squared = float(residual[0] / scale[0]) ** 2
    return (DEGREES_OF_FREEDOM + 1) / (DEGREES_OF_FREEDOM + squared)


def checked_limits(limits: TrackLimits) -> TrackLimits:
    """Return the limits, or refuse the one that is out of its range.

    Args:
        limits: As given.

    Returns:
        The same.

    Raises:
        OutOfRange: names the limit.
    """
    low = guards.number("edge_low_mm", limits.edge_low_mm, "mm", 0.0)
    guards.positive("edge_high_mm", limits.edge_high_mm, "mm")
    guards.number("edge_high_mm", limits.edge_high_mm, "mm", low)
    guards.positive("reading_uncertainty_mm", limits.reading_uncertainty_mm, "mm")
    guards.count("flats_per_turn", limits.flats_per_turn, 1, 24)
    guards.positive("largest_move_turns", limits.largest_move_turns, "", 10.0)
    guards.positive("settle_revolutions", limits.settle_revolutions)
    guards.count("moves_without_help", limits.moves_without_help, 1)
    guards.count("moves_on_one_side", limits.moves_on_one_side, 1)
    guards.number("lower_roller_step_mm", limits.lower_roller_step_mm, "mm", 0.0)
    return limits


def checked_move(move: Move) -> Move:
    """Return the move, or refuse what is out of its range.

    Args:
        move: As logged.

    Returns:
        The same.

    Raises:
        OutOfRange: names the number.
    """
    guards.number("turns_left", move.turns_left, "", -MOST_TURNS, MOST_TURNS)
    guards.number("turns_right", move.turns_right, "", -MOST_TURNS, MOST_TURNS)
    guards.number("edge_top_before_mm", move.edge_top_before_mm, "mm", 0.0)
    guards.number("edge_top_after_mm", move.edge_top_after_mm, "mm", 0.0)
    guards.number_or_none("edge_bottom_before_mm", move.edge_bottom_before_mm, "mm", 0.0)
    guards.number_or_none("edge_bottom_after_mm", move.edge_bottom_after_mm, "mm", 0.0)
    guards.number("revolutions", move.revolutions, "", 0.0)
    return move
