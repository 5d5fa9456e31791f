"""The tracking adviser against the fixed rule of thumb, on seeded machines with unknown gain and sign, 1 mm noise."""

from __future__ import annotations

import statistics

from simulated_belt import LIMITS, MOST_MOVES, adjustments, adviser, logged_moves, machine, rule_of_thumb

SEEDS = range(150)


def _both(is_reversed: bool | None) -> tuple[list[int], list[int]]:
    return tuple([adjustments(machine(seed, is_reversed), rule) for seed in SEEDS]  # type: ignore[return-value]
                 for rule in (adviser, rule_of_thumb))


def test_adviser_needs_fewer_adjustments_than_the_rule_of_thumb() -> None:
    """Over machines of which one in seven steers against the rule, it needs at least a fifth fewer."""
    advised, ruled = _both(None)
    assert statistics.mean(advised) < 0.8 * statistics.mean(ruled)
    assert statistics.median(advised) < statistics.median(ruled)


def test_adviser_needs_fewer_adjustments_where_the_rule_is_right() -> None:
    """On machines that all steer by the rule it still needs at least a fifth fewer."""
    advised, ruled = _both(False)
    assert statistics.mean(advised) < 0.8 * statistics.mean(ruled)


def test_adviser_is_seldom_the_slower_one() -> None:
    """Machine by machine it is faster at least five times as often as it is slower."""
    advised, ruled = _both(None)
    faster = sum(one < other for one, other in zip(advised, ruled, strict=True))
    slower = sum(one > other for one, other in zip(advised, ruled, strict=True))
    assert faster > 5 * slower


def test_rule_of_thumb_never_brings_a_reversed_machine_in() -> None:
    """The simulation is what it says: on a reversed machine the fixed rule runs the belt away."""
    counts = [adjustments(machine(seed, True), rule_of_thumb) for seed in SEEDS]
    assert statistics.mean(count == MOST_MOVES for count in counts) > 0.95


def test_adviser_brings_reversed_machines_off_the_right_side_in() -> None:
    """A reversed machine whose belt shows its movement is learned and brought in, nearly always."""
    machines = [machine(seed, True) for seed in SEEDS]
    counts = [adjustments(belt, adviser) for belt in machines if 14.0 <= belt.edge_mm < 30.0 and -belt.gain_mm > 6.0]
    assert len(counts) >= 10
    assert statistics.mean(count < MOST_MOVES for count in counts) > 0.8


def test_logs_of_a_reversed_machine_save_adjustments() -> None:
    """With twelve logged moves of the same reversed machine the next adjustment takes a fifth fewer than without."""
    known = [adjustments(machine(seed, True), adviser, logged_moves(seed, True)) for seed in SEEDS]
    new = [adjustments(machine(seed, True), adviser) for seed in SEEDS]
    assert statistics.mean(known) < 0.8 * statistics.mean(new)


def test_the_band_is_the_trades() -> None:
    """The simulated band ends half an inch from the frame."""
    assert LIMITS.edge_high_mm == 12.7
