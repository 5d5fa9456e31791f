"""The load on a shaft's bearings: from the drive's pull, shared between the two, with an axial part, and over time.

An overhung sprocket can lift the far bearing: a negative share is a finding and never clipped. What the load means for
the bearing's life is in `bearing_life`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.tables import load
from kiosk.errors import NoTableRow, OutOfRange

_TABLE = "bearing_factors"


@dataclass(frozen=True)
class Reactions:
    """Loads on the two bearings of a shaft.

    Args:
        at_a_newton: On bearing A; negative lifts it.
        at_b_newton: On bearing B; negative lifts it.
        lifted: 'A' or 'B' where the load lifts a bearing, '' where it presses on both.
    """

    at_a_newton: float
    at_b_newton: float
    lifted: str


@dataclass(frozen=True)
class EquivalentLoad:
    """Equivalent dynamic load of a bearing with radial and axial load.

    Args:
        load_newton: Equivalent dynamic load P.
        limit_ratio: e, up to which the axial load does not count.
        axial_factor: Y.
        outside_table: True when the table's end value was held.
        source: Whose table.
    """

    load_newton: float
    limit_ratio: float
    axial_factor: float
    outside_table: bool
    source: str


@dataclass(frozen=True)
class StaticSafety:
    """Static safety of a bearing that stands or turns slowly.

    Args:
        static_load_newton: Equivalent static load P0.
        safety: s0 = C0 / P0.
        least: What the kind of service asks for.
        enough: True when `safety` reaches it.
        source: Whose rule.
    """

    static_load_newton: float
    safety: float
    least: float
    enough: bool
    source: str


def drive_pull_newton(power_kilowatt: float, pitch_diameter_mm: float, speed_rpm: float, shock_factor: float,
                      drive_factor: float) -> float:
    """Return the pull of a chain or belt on its shaft.

    Args:
        power_kilowatt: Power that is carried. [kW] above 0
        pitch_diameter_mm: Pitch diameter of sprocket or pulley. [mm] above 0
        speed_rpm: Rotational speed of the shaft. [r/min] above 0
        shock_factor: f_w, 1 to 1.2 smooth, 1.2 to 2 ordinary, 2 to 3 shock. [-] 1 to 3
        drive_factor: f_b, 1.2 to 1.5 chain, 2 to 2.5 V-belt, 4 to 5 flat belt. [-] 1 to 5

    Returns:
        The pull. [N]

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        Mounted-unit makers' catalogue: F = 19.1e6 * W / (D * n) * f_w * f_b
    """
    power = guards.positive("power_kilowatt", power_kilowatt, "kW", 10_000)
    diameter = guards.positive("pitch_diameter_mm", pitch_diameter_mm, "mm", 10_000)
    speed = guards.positive("speed_rpm", speed_rpm, "r/min", 100_000)
    shock = guards.number("shock_factor", shock_factor, "", 1, 3)
    drive = guards.number("drive_factor", drive_factor, "", 1, 5)
    return 19.1e6 * power / (diameter * speed) * shock * drive


def drive_factors(drive: str) -> tuple[float, float]:
    """Return the least and largest printed drive factor f_b of a kind of drive.

    Args:
        drive: 'chain', 'V-belt', 'flat belt with tensioner' or 'flat belt'.

    Raises:
        NoTableRow: the kind of drive is not in the table.

    Source:
        Mounted-unit makers' catalogue.
    """
    table = load(_TABLE)["drive_factor"]
    if drive not in table:
        raise NoTableRow("drive factors", drive, tuple(table))
    low, high = table[drive]
    return float(low), float(high)


def two_bearing_reactions(loads_newton: Sequence[float], positions_mm: Sequence[float], span_mm: float) -> Reactions:
    """Return what each of a shaft's two bearings carries.

    Args:
        loads_newton: Loads across the shaft, all in one plane; negative for the other direction. [N]
        positions_mm: Where each acts, from bearing A towards B; below 0 or beyond the span is overhung. [mm]
        span_mm: Distance of the two bearings. [mm] above 0

    Raises:
        OutOfRange: no load, unequal counts, or an impossible span.

    Source:
        Moments about A; two worked examples of a mounted-unit makers' catalogue.

    Example, from that catalogue's first: an overhung 4.5 kN lifts bearing A by 0.5 kN:
        >>> two_bearing_reactions([1500, 4500], [300, 1200], 900).at_a_newton
        -500.0
    """
    loads = guards.numbers("loads_newton", loads_newton, "N")
    positions = guards.numbers("positions_mm", positions_mm, "mm")
    if len(loads) != len(positions):
        raise OutOfRange("number of positions_mm", len(positions), "", len(loads), len(loads))
    span = guards.positive("span_mm", span_mm, "mm", 1e6)
    at_b = sum(force * place for force, place in zip(loads, positions, strict=True)) / span
    at_a = sum(loads) - at_b
    direction = 1.0 if sum(loads) >= 0 else -1.0
    lifted = "A" if at_a * direction < 0 else "B" if at_b * direction < 0 else ""
    return Reactions(at_a, at_b, lifted)


def equivalent_load(radial_load_newton: float, axial_load_newton: float, static_rating_newton: float,
                    geometry_factor: float) -> EquivalentLoad:
    """Return the equivalent dynamic load of an insert (deep-groove) ball bearing.

    Args:
        radial_load_newton: Radial load Fr. [N] 0 or more
        axial_load_newton: Axial load Fa, without sign. [N] 0 or more
        static_rating_newton: Basic static load rating C0. [N] above 0
        geometry_factor: f0 of the bearing, 12 to 16, from its table. [-]

    Raises:
        OutOfRange: an argument is not possible, or both loads are zero.

    Source:
        Mounted-unit makers' catalogue: P = Fr where Fa/Fr <= e, otherwise 0.56 Fr + Y Fa; e and Y between rows by
        straight lines. Beyond the table its end value is held and said so, which is our rule.
    """
    radial = guards.number("radial_load_newton", radial_load_newton, "N", 0)
    axial = guards.number("axial_load_newton", axial_load_newton, "N", 0)
    if radial + axial == 0:
        raise OutOfRange("radial_load_newton", radial_load_newton, "N", 0)
    rating = guards.positive("static_rating_newton", static_rating_newton, "N")
    relative = guards.number("geometry_factor", geometry_factor, "", 8, 20) * axial / rating
    table = load(_TABLE)["equivalent_load"]
    steps = table["relative_axial_load"]
    limit = _between(relative, steps, table["limit_ratio"])
    factor = _between(relative, steps, table["axial_factor"])
    counts = axial > limit * radial
    load_newton = 0.56 * radial + factor * axial if counts else radial
    outside = axial > 0 and not steps[0] <= relative <= steps[-1]
    return EquivalentLoad(load_newton, limit, factor, outside, load(_TABLE)["source"]["equivalent_load"])


def _between(x: float, steps: Sequence[float], values: Sequence[float]) -> float:
    """Interpolate in straight lines; hold the end values."""
    if x <= steps[0]:
        return values[0]
    for left, right, low, high in zip(steps, steps[1:], values, values[1:], strict=False):
        if x <= right:
            return low + (high - low) * (x - left) / (right - left)
    return values[-1]


def mean_equivalent_load_newton(loads_newton: Sequence[float], speeds_rpm: Sequence[float], shares: Sequence[float],
                                life_exponent: float = 3.0) -> float:
    """Return the steady load that wears a bearing as much as a varying one.

    Args:
        loads_newton: Equivalent load of each state. [N] 0 or more
        speeds_rpm: Speed in each state. [r/min] 0 or more
        shares: Share of the time in each state; they need not add up to 1. [-] 0 or more
        life_exponent: p, 3 for ball and 10/3 for roller bearings. [-] 1 to 5

    Returns:
        P_m = (sum(P**p n t) / sum(n t))**(1/p). [N]

    Raises:
        OutOfRange: unequal counts, or the shaft never turns.

    Source:
        Mounted-unit catalogue, formula (5.10).
    """
    loads = guards.numbers("loads_newton", loads_newton, "N", 0)
    speeds = guards.numbers("speeds_rpm", speeds_rpm, "r/min", 0)
    times = guards.numbers("shares", shares, "", 0)
    exponent = guards.number("life_exponent", life_exponent, "", 1, 5)
    if not len(loads) == len(speeds) == len(times):
        raise OutOfRange("number of shares", len(times), "", len(loads), len(loads))
    turns = [speed * time for speed, time in zip(speeds, times, strict=True)]
    if sum(turns) == 0:
        raise OutOfRange("speeds_rpm", speeds_rpm, "r/min", 0)
    largest = max(loads) or 1.0  # loads are scaled by the largest, so that their powers stay small
    weighted = sum((value / largest) ** exponent * turn for value, turn in zip(loads, turns, strict=True))
    return float(largest * (weighted / sum(turns)) ** (1 / exponent))


def static_safety(radial_load_newton: float, axial_load_newton: float, static_rating_newton: float,
                  service: str = "ordinary") -> StaticSafety:
    """Return the static safety of a bearing; below 10 r/min this sizes it, and not its life.

    Args:
        radial_load_newton: Radial load Fr. [N] 0 or more
        axial_load_newton: Axial load Fa, without sign. [N] 0 or more
        static_rating_newton: Basic static load rating C0. [N] above 0
        service: 'hardly turns', 'ordinary', 'impact' or 'precise'.

    Raises:
        OutOfRange: an argument is not possible, or both loads are zero.
        NoTableRow: the service is not in the table.

    Source:
        Insert-bearing catalogue; ISO 76: P0 = max(Fr, 0.6 Fr + 0.5 Fa), s0 = C0 / P0.
    """
    radial = guards.number("radial_load_newton", radial_load_newton, "N", 0)
    axial = guards.number("axial_load_newton", axial_load_newton, "N", 0)
    if radial + axial == 0:
        raise OutOfRange("radial_load_newton", radial_load_newton, "N", 0)
    rating = guards.positive("static_rating_newton", static_rating_newton, "N")
    table = load(_TABLE)
    if service not in table["static_safety"]:
        raise NoTableRow("static safety", service, tuple(table["static_safety"]))
    static_load = max(radial, 0.6 * radial + 0.5 * axial)
    least = table["static_safety"][service]
    return StaticSafety(static_load, rating / static_load, least, rating / static_load >= least,
                        table["source"]["static"])
