"""The order in which the bolts of a belt joint are tightened: from the centre outward, in passes.

Circles of bolts, and the torque that each pass gets, are in `tightening`. A joint maker's own sheet takes precedence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc import guards

MOST_BOLTS = 200
"""More bolts than any joint in the yard has; a larger count is a typing slip."""


@dataclass(frozen=True)
class TighteningPass:
    """One pass over all the bolts.

    Args:
        number: 1 for the first pass.
        torque_newton_metre: What each bolt gets in this pass. [N·m]
        order: Bolt numbers in the order they are tightened.
    """

    number: int
    torque_newton_metre: float
    order: tuple[int, ...]


def centre_out_order(bolts: int) -> tuple[int, ...]:
    """Return the tightening order of a straight joint: the middle first, then alternately outward.

    Args:
        bolts: Number of bolts, numbered from the left. [count] 1 to 200

    Returns:
        Bolt numbers in order; of two equally far from the middle the lower comes first.

    Raises:
        OutOfRange: not a whole number from 1 to 200.

    Source:
        Published rule for bolts in a row: start in the middle and work outward alternately, in two or three passes.
        Of a belt joint: all bolts loose until all are in; tightened from one side, the belt will not track (common
        practice, no source).

    Example, an odd count and an even one:
        >>> centre_out_order(7), centre_out_order(8)
        ((4, 3, 5, 2, 6, 1, 7), (4, 5, 3, 6, 2, 7, 1, 8))
    """
    total = guards.count("bolts", bolts, 1, MOST_BOLTS)
    return tuple(sorted(range(1, total + 1), key=lambda bolt: abs(2 * bolt - total - 1)))


def tightening_passes(order: Sequence[int], pass_torques_newton_metre: Sequence[float]) -> tuple[TighteningPass, ...]:
    """Return the passes over a bolt order, each with its torque.

    Args:
        order: Bolt numbers in the order they are tightened, each once.
        pass_torques_newton_metre: Torque of each pass, rising. [N·m] above 0

    Returns:
        One pass for each torque.

    Raises:
        OutOfRange: a bolt comes twice, or a torque is below the one before it.

    Source:
        Published rule: two or three passes over the same order, the last at the full torque.
    """
    bolts = tuple(guards.count("order", bolt, 1, MOST_BOLTS) for bolt in order)
    for place, bolt in enumerate(bolts):
        guards.count(f"how often bolt {bolt} comes before in the order", bolts[:place].count(bolt), 0, 0)
    guards.numbers("pass_torques_newton_metre", pass_torques_newton_metre, "N·m", 0.0)
    passes, lowest = [], 0.0
    for number, torque in enumerate(pass_torques_newton_metre, start=1):
        guards.positive("pass_torques_newton_metre", torque, "N·m")
        lowest = guards.number("pass_torques_newton_metre", torque, "N·m", lowest)
        passes.append(TighteningPass(number, lowest, bolts))
    return tuple(passes)
