"""A belt on two rollers that steers with a gain and a sign nobody is told, read with noise; and ways to adjust it.

For tests and benches only. After a move the edge creeps to its new place as the belt runs; the frame stops it on both
sides. The rule of thumb is the fitter's: half a turn up on the side it runs to, each time.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from kiosk.calc.tracking import TURN, BeltTrack, Move, TrackGeometry, TrackLimits, advise

GEOMETRY = TrackGeometry(bearing_spacing_mm=900.0, roller_diameter_mm=150.0, takeup_thread_pitch_mm=2.5)
LIMITS = TrackLimits()
NOMINAL_GAIN_MM = math.pi * 150.0 / 2 * 2.5 / 900.0 * 10
FRAME_CLEARANCE_MM = 60.0
CREEP_REVOLUTIONS = 50.0
MOST_MOVES = 12


@dataclass
class SimulatedBelt:
    """One machine.

    Args:
        gain_mm: True edge movement per turn; its sign may be against the rule.
        settled_mm: Where the belt would settle if no frame stopped it.
        noise: Source of the reading noise.
        noise_mm: Its standard deviation.
    """

    gain_mm: float
    settled_mm: float
    noise: random.Random
    noise_mm: float = 1.0
    edge_mm: float = field(init=False)

    def __post_init__(self) -> None:
        self.edge_mm = _stopped_by_frame(self.settled_mm)

    def turn(self, left: float, right: float, revolutions: float = 150.0) -> None:
        """Turn the take-ups and let the belt run."""
        self.settled_mm += self.gain_mm * (left - right)
        creep = math.exp(-revolutions / CREEP_REVOLUTIONS)
        self.edge_mm = _stopped_by_frame(self.settled_mm + (self.edge_mm - self.settled_mm) * creep)

    def read(self) -> float:
        """Read the edge with a rule; a belt that touches the frame is seen to touch."""
        noise = self.noise.gauss(0.0, self.noise_mm)
        return max(0.0, self.edge_mm + noise) if self.edge_mm > 0.0 else 0.0


def _stopped_by_frame(edge_mm: float) -> float:
    return min(max(edge_mm, 0.0), FRAME_CLEARANCE_MM)


def machine(seed: int, is_reversed: bool | None = None, noise_mm: float = 1.0) -> SimulatedBelt:
    """Return a seeded machine: gain from a third to three times the nominal one, one in seven reversed."""
    chance = random.Random(seed)
    gain = NOMINAL_GAIN_MM * math.exp(chance.uniform(-math.log(3), math.log(3)))
    against = chance.random() < 1 / 7 if is_reversed is None else is_reversed
    settled = chance.choice([chance.uniform(-20.0, 1.0), chance.uniform(14.0, 45.0)])
    return SimulatedBelt(-gain if against else gain, settled, chance, noise_mm)


Rule = Callable[[list[Move], float], tuple[float, float] | None]


def rule_of_thumb(_moves: list[Move], edge: float) -> tuple[float, float] | None:
    """Half a turn up on the side the belt runs to, each time."""
    return (0.5, 0.0) if edge < LIMITS.edge_low_mm else (0.0, 0.5)


def adviser(moves: list[Move], edge: float) -> tuple[float, float] | None:
    """What the adviser says, or None when it says to look elsewhere."""
    advice = advise(moves, BeltTrack(edge), LIMITS, GEOMETRY)
    if advice.action != TURN:
        return None
    turns = advice.turns if advice.direction == "raise" else -advice.turns
    return (turns, 0.0) if advice.side == "left" else (0.0, turns)


class Outcome(NamedTuple):
    """How an adjustment ended: after how many moves, in the band, and whether the advice was to look elsewhere."""

    moves: int
    is_in_band: bool
    is_stopped: bool


def adjusted(belt: SimulatedBelt, rule: Rule, known: Sequence[Move] = ()) -> Outcome:
    """Adjust until the edge reads inside its band, the rule stops, or MOST_MOVES are made."""
    moves = list(known)
    edge = belt.read()
    while not LIMITS.edge_low_mm <= edge <= LIMITS.edge_high_mm:
        turns = rule(moves, edge)
        made = len(moves) - len(known)
        if turns is None or made >= MOST_MOVES:
            return Outcome(made, False, turns is None)
        belt.turn(*turns)
        after = belt.read()
        moves.append(Move(*turns, edge_top_before_mm=edge, edge_top_after_mm=after))
        edge = after
    return Outcome(len(moves) - len(known), True, False)


def adjustments(belt: SimulatedBelt, rule: Rule, known: Sequence[Move] = ()) -> int:
    """Return how many moves it takes until the edge reads inside its band; MOST_MOVES when it never does."""
    outcome = adjusted(belt, rule, known)
    return outcome.moves if outcome.is_in_band else MOST_MOVES


def logged_moves(seed: int, is_reversed: bool | None, logs: int = 12) -> list[Move]:
    """Return moves of a seeded machine from earlier adjustments, the last of which ended in the band."""
    belt = machine(seed, is_reversed)
    twin = SimulatedBelt(belt.gain_mm, (LIMITS.edge_low_mm + LIMITS.edge_high_mm) / 2 + 20.0, random.Random(seed + 1))
    known = []
    for number in range(logs):
        turns = 0.25 if number % 2 else -0.25
        before = twin.read()
        twin.turn(turns, 0.0)
        known.append(Move(turns, 0.0, before, twin.read()))
    return [*known, Move(0.0, 0.0, 7.0, 7.0)]
