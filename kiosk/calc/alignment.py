"""Alignment of sprockets and shafts, and run-out.

Limits by a public chain handbook, 7.1.2.2. Head and tail of a two-strand elevator match in teeth as well as
in faces (common practice, no source).
"""

from __future__ import annotations

from kiosk.calc import guards

LEVEL_LIMIT = 1.0 / 300.0
"""Largest slope of a shaft, and of one shaft to the other, mm per mm. [-] Chain handbook 7.1.2.2."""


def offset_limit_mm(centre_distance_mm: float) -> float:
    """Return how far two sprocket faces may be out of line.

    Args:
        centre_distance_mm: [mm] above 0

    Returns:
        Limit to either side: 1 mm up to 1 m, a thousandth of the distance up to 10 m, 10 mm above. [mm]

    Raises:
        OutOfRange: not an ordinary number above zero.

    Source:
        Chain handbook 7.1.2.2.

    Example:
        >>> offset_limit_mm(800.0), offset_limit_mm(2600.0), offset_limit_mm(12000.0)
        (1.0, 2.6, 10.0)
    """
    centre = guards.positive("centre_distance_mm", centre_distance_mm, "mm")
    return min(max(centre / 1000.0, 1.0), 10.0)


def eccentricity_mm(run_out_mm: float) -> float:
    """Return how far a shaft's middle is off, from its run-out.

    Args:
        run_out_mm: Full movement of the indicator over one turn; limits are quoted as this. [mm] 0 or more

    Returns:
        Half of it. [mm]

    Raises:
        OutOfRange: not an ordinary number, or negative.

    Source:
        Geometry.

    Example:
        >>> eccentricity_mm(0.3)
        0.15
    """
    return guards.number("run_out_mm", run_out_mm, "mm", 0.0) / 2.0
