"""The order and the passes in which the bolts of a circle are tightened.

Bolts in a row, as in a belt splice, go from the centre outward and belong to the splice planner. Common practice
throughout, no source; a maker's sheet comes first.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from kiosk.calc import guards
from kiosk.errors import OutOfRange

USUAL_PASSES = (0.5, 0.75, 1.0)
"""Shares of the final torque. Common practice, no source."""


def circle_sequence(bolts: int) -> tuple[int, ...]:
    """Return the order for bolts on a circle, numbered round it from 1: each one followed by its opposite.

    Args:
        bolts: Number of bolts. 1 to 200

    Returns:
        The bolt numbers in order; with an odd count each is followed by its nearest opposite.

    Raises:
        OutOfRange: not a whole number of bolts.

    Source:
        Common practice, no source: opposite pairs, each pair about across the one before.

    Example, the usual star of eight:
        >>> circle_sequence(8)
        (1, 5, 3, 7, 2, 6, 4, 8)
    """
    count = guards.count("bolts", bolts, 1, 200)
    half = count // 2
    if count == 1:
        return (1,)
    if count % 2:
        return tuple(step * half % count + 1 for step in range(count))
    return tuple(bolt for start in circle_sequence(half) for bolt in (start, start + half))


def pass_torques_newton_metre(final_newton_metre: float,
                              fractions: Sequence[float] = USUAL_PASSES) -> tuple[float, ...]:
    """Return the torque of each pass.

    Args:
        final_newton_metre: Final torque. [N·m] above 0
        fractions: Rising shares of it, the last one 1. [-]

    Returns:
        One torque a pass. [N·m]

    Raises:
        OutOfRange: shares that do not rise to 1.

    Source:
        Two or three passes are common practice, no source.
    """
    final = guards.positive("final_newton_metre", final_newton_metre, "N·m", 1e6)
    shares = [guards.positive("fractions", share, "", 1.0) for share in guards.numbers("fractions", fractions)]
    if shares[-1] != 1 or any(late <= early for early, late in pairwise(shares)):
        raise OutOfRange("fractions", tuple(fractions), "", 0, 1, "they rise, and the last is 1")
    return tuple(share * final for share in shares)
