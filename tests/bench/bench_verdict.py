"""One live verdict with advice, from keystroke to numbers; plans and tracking advice; the tracking comparison.

The peer of each time is an empty function called with the same arguments in the same run.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable
from typing import Any

from figures import Figure, beside, median_ms
from simulated_belt import (
    GEOMETRY,
    LIMITS,
    MOST_MOVES,
    Outcome,
    Rule,
    adjusted,
    adviser,
    logged_moves,
    machine,
    rule_of_thumb,
)

from kiosk.calc import takeup, tolerance
from kiosk.calc.splice import CleatedLoop, SpliceRules, plan_splices
from kiosk.calc.tracking import BeltTrack, Move, advise
from kiosk.units import parse_length

CASES = 400
SEEDS = range(1000, 1400)
EMPTY = "empty call of the same shape"


def _sag_verdict(text: str, unit: str, lower_mm: float, upper_mm: float) -> tuple[Any, Any]:
    """What one keystroke in a sag reading sets off: the length, its verdict, and turns for both take-ups."""
    sag = parse_length(text, unit).mm
    uncertainty = tolerance.standard_uncertainty("resolution", 25.4 / 16)
    verdict = tolerance.judge(sag, lower_mm, upper_mm, uncertainty)
    movement = takeup.takeup_for_sag(1016.0, sag, (lower_mm + upper_mm) / 2)
    return verdict, takeup.turning(movement.movement_mm, 2.5)


def _edge_verdict(text: str, unit: str, lower_mm: float, upper_mm: float) -> tuple[Any, Any]:
    """What one keystroke in a belt-edge reading sets off: the length, its verdict, and the tracking advice."""
    edge = parse_length(text, unit).mm
    verdict = tolerance.judge(edge, lower_mm, upper_mm, 1.0)
    return verdict, advise(HISTORY, BeltTrack(edge, edge), LIMITS, GEOMETRY)


def _empty(text: str, unit: str, lower_mm: float, upper_mm: float) -> None:
    return None


HISTORY = [Move(0.5, 0.0, 30.0, 34.0, 28.0, 32.0), Move(0.0, 0.5, 34.0, 30.0, 32.0, 28.0)] * 10
LOOP = CleatedLoop(7200.0, 300.0, 400.0, 300.0, 40.0, (150.0, 4000.0))
LONG_LOOP = CleatedLoop(20000.0, 100.0, 2000.0, 2000.0, 30.0, (150.0, 4000.0, 8000.0, 12345.0))


def _timed(figure: str, call: Callable[..., object], arguments: tuple[Any, ...], empty: Callable[..., object],
           cases: int = CASES) -> Figure:
    return beside("verdict", figure, median_ms(lambda: call(*arguments), cases), "ms", EMPTY,
                  median_ms(lambda: empty(*arguments), cases), cases)


def _times() -> list[Figure]:
    keys = ("1 5/8", "in", 25.4, 50.8)
    return [
        _timed("sag typed to verdict and turns, median", _sag_verdict, keys, _empty),
        _timed("edge typed to verdict and tracking advice (20 logs), median", _edge_verdict, keys, _empty),
        _timed("tracking advice (20 logs), median", advise, (HISTORY, BeltTrack(30.0, 25.0), LIMITS, GEOMETRY), _empty),
        _timed("splice plans, 24 cleats, two sections, median", plan_splices,
               (LOOP, 1000.0, 1400.0, SpliceRules()), _empty),
        _timed("splice plans, 200 cleats, twenty sections, median", plan_splices,
               (LONG_LOOP, 19900.0, 700.0, SpliceRules(largest_insert_sections=20, section_length_mm=200.0)), _empty,
               60),
    ]


def _one_turn(_moves: list[Move], edge: float) -> tuple[float, float]:
    """The bolder fitter: a whole turn up on the side it runs to, each time."""
    return (1.0, 0.0) if edge < LIMITS.edge_low_mm else (0.0, 1.0)


def _outcomes(rule: Rule, is_reversed: bool | None) -> list[Outcome]:
    return [adjusted(machine(seed, is_reversed), rule) for seed in SEEDS]


def _compared(who: str, advised: list[Outcome], peer: str, ruled: list[Outcome]) -> list[Figure]:
    """Compare two ways on the same machines; one not brought in, or given up, counts as the most moves."""
    both = [(one.moves, other.moves) for one, other in zip(advised, ruled, strict=True)
            if one.is_in_band and other.is_in_band]
    rows = [("adjustments, mean of all", "moves", _mean_moves(advised), _mean_moves(ruled), len(advised)),
            ("brought into the band", "%", _share(advised), _share(ruled), len(advised))]
    if both:
        means = [statistics.mean(counts) for counts in zip(*both, strict=True)]
        rows.insert(1, ("adjustments, mean where both bring it in", "moves", means[0], means[1], len(both)))
    return [beside("verdict", f"{who}: {figure}", value, unit, peer, peer_value, cases)
            for figure, unit, value, peer_value, cases in rows]


def _mean_moves(outcomes: list[Outcome]) -> float:
    return statistics.mean(one.moves if one.is_in_band else MOST_MOVES for one in outcomes)


def _share(outcomes: list[Outcome]) -> float:
    return 100.0 * statistics.mean(one.is_in_band for one in outcomes)


def _comparison() -> list[Figure]:
    half, whole = "rule of thumb: half a turn each time", "rule of thumb: one turn each time"
    figures: list[Figure] = []
    for who, is_reversed in (("all machines", None), ("machines by the rule", False), ("reversed machines", True)):
        advised = _outcomes(adviser, is_reversed)
        figures += _compared(who, advised, half, _outcomes(rule_of_thumb, is_reversed))
        figures += _compared(who, advised, whole, _outcomes(_one_turn, is_reversed))
        stopped = 100.0 * statistics.mean(one.is_stopped for one in advised)
        figures.append(Figure("verdict", f"{who}: advice ends, with what else to look at", stopped, "%",
                              cases=len(advised)))
    known = [adjusted(machine(seed, True), adviser, logged_moves(seed, True)) for seed in SEEDS]
    return figures + _compared("reversed machines with 12 logs", known, "adviser without logs",
                               _outcomes(adviser, True))


def run() -> list[Figure]:
    """Measure the times, then compare the adviser with the rules of thumb on simulated belts."""
    return _times() + _comparison()
