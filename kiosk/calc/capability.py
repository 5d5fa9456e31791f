"""How well a setting is repeated: take-up or sag as left after service, against its two limits.

Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from kiosk.calc import guards
from kiosk.errors import OutOfRange


@dataclass(frozen=True)
class Capability:
    """Capability of a repeated setting.

    Args:
        spread: C_p, width of the limits over six standard deviations.
        upper: Room to the upper limit over three standard deviations.
        lower: Room to the lower limit over three standard deviations.
        nearer: C_pk, the smaller of the two; negative when the mean is outside.
    """

    spread: float
    upper: float
    lower: float
    nearer: float


def capability(lower_limit: float, upper_limit: float, mean: float, standard_deviation: float) -> Capability:
    """Return how well a setting with this mean and scatter keeps its limits.

    Args:
        lower_limit: LSL.
        upper_limit: USL, above LSL.
        mean: Of the settings.
        standard_deviation: Of the settings. above 0

    Raises:
        OutOfRange: limits the wrong way round, or no scatter.

    Source:
        NIST/SEMATECH e-Handbook 6.1.6: C_p = (USL - LSL) / 6s, C_pk = min(USL - mean, mean - LSL) / 3s

    Example, by hand: limits 8 and 20, mean 16, s 2
        >>> capability(8, 20, 16, 2).spread
        1.0
    """
    low = guards.number("lower_limit", lower_limit)
    width = guards.number("upper_limit", upper_limit, "", low) - low
    if width == 0:
        raise OutOfRange("upper_limit", upper_limit, "", low, None, "above the lower limit")
    centre = guards.number("mean", mean)
    scatter = guards.positive("standard_deviation", standard_deviation)
    upper, lower = (upper_limit - centre) / (3 * scatter), (centre - low) / (3 * scatter)
    return Capability(width / (6 * scatter), upper, lower, min(upper, lower))


def capability_of(values: Sequence[float], lower_limit: float, upper_limit: float) -> Capability:
    """Return the capability of settings as left.

    Args:
        values: The settings, three or more that are not all alike.
        lower_limit: LSL.
        upper_limit: USL, above LSL.

    Raises:
        OutOfRange: too few settings, all alike, or limits the wrong way round.

    Source:
        As `capability`; s with n - 1.
    """
    settings = guards.numbers("values", values, at_least=3)
    return capability(lower_limit, upper_limit, fmean(settings), stdev(settings))
