"""Wear of a chain: elongation with its uncertainty and limits, what it takes of the take-up, two strands compared.

Elongation is measured over many pitches on the tight strand of a machine that is locked out. Removing links
from a chain beyond its wear limit is no repair. Limits: a chain maker's public page; the rest is arithmetic.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.language import tr

GENERAL_LIMIT_PERCENT = 3.0
FIXED_CENTRES_LIMIT_PERCENT = 1.5
"""For fixed centres, parallel strands, or where smooth running matters. [%]"""

# 200/N per cent falls below 3 % from 67 teeth on.
_TOOTH_RULE_PERCENT = 200.0
# A longer chain has jumped its sprockets long ago; a shorter one was miscounted.
_LEAST_PERCENT, _MOST_PERCENT = -10.0, 20.0


@dataclass(frozen=True)
class Elongation:
    """Wear elongation of a chain against its limit.

    Args:
        elongation_percent: Above the new length. [%]
        standard_uncertainty_percent: u of it. [%]
        limit_percent: Where the chain is worn out. [%]
        limit_length_mm: What these pitches measure then. [mm]
        flag: '' or a sentence: the chain measures shorter than new.
    """

    elongation_percent: float
    standard_uncertainty_percent: float
    limit_percent: float
    limit_length_mm: float
    flag: str


@dataclass(frozen=True)
class WearGrowth:
    """What wear makes of a loop.

    Args:
        growth_mm: How much longer the loop is. [mm]
        takeup_movement_mm: How far the shaft moves to take that up. [mm]
        removable_links: Links that can come out, in pairs. [count]
    """

    growth_mm: float
    takeup_movement_mm: float
    removable_links: int


@dataclass(frozen=True)
class StrandDifference:
    """The two strands of an elevator against each other.

    Args:
        elongation_difference_percent: Left less right. [%]
        length_difference_mm: Left less right, over the strand. [mm]
        standard_uncertainty_mm: u of that. [mm]
        skew_mm_per_m: How far a flight leans across its width. [mm/m]
        longer: 'left', 'right', or 'alike' when the difference drowns in its uncertainty.
    """

    elongation_difference_percent: float
    length_difference_mm: float
    standard_uncertainty_mm: float
    skew_mm_per_m: float
    longer: str


def wear_limit_percent(largest_sprocket_teeth: int, fixed_centres: bool = False) -> float:
    """Return the elongation at which a chain is worn out.

    Args:
        largest_sprocket_teeth: Teeth of the larger sprocket. [count] 4 or more
        fixed_centres: The centres are fixed, the strands parallel, or smooth running matters.

    Returns:
        Limit. [%] A maker's own figure goes before it.

    Raises:
        OutOfRange: not a whole number in range.

    Source:
        Chain maker's questions page on wear: 3 % in general, 200/N % above 67 teeth, 1.5 % for fixed centres.

    Example:
        >>> wear_limit_percent(17), wear_limit_percent(100), wear_limit_percent(17, fixed_centres=True)
        (3.0, 2.0, 1.5)
    """
    teeth = guards.count("largest_sprocket_teeth", largest_sprocket_teeth, 4, 300)
    general = FIXED_CENTRES_LIMIT_PERCENT if fixed_centres else GENERAL_LIMIT_PERCENT
    return min(general, _TOOTH_RULE_PERCENT / teeth)


def elongation(measured_mm: float, pitch_mm: float, pitches: int, length_uncertainty_mm: float,
               elongation_limit_percent: float = GENERAL_LIMIT_PERCENT) -> Elongation:
    """Return the wear elongation of a chain from a length over several pitches.

    Args:
        measured_mm: Length over the pitches, on the tight strand. [mm] above 0
        pitch_mm: Pitch of the new chain. [mm] above 0
        pitches: How many pitches were measured; 24 or more with a tape. [count] 1 or more
        length_uncertainty_mm: Standard uncertainty of the length. [mm] 0 or more
        elongation_limit_percent: Where the chain is worn out, from `wear_limit_percent` or its maker. [%]
            above 0, up to 20

    Returns:
        Elongation; a negative one is flagged, not clipped: the count or the pitch is wrong.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range, or the length is more than 10
            % short or 20 % long.

    Source:
        e = (M - n p) / (n p).

    Example, by hand: 0.36 over 24:
        >>> round(elongation(24.36, 1.0, 24, 0.0).elongation_percent, 9)
        1.5
    """
    count = guards.count("pitches", pitches, 1, 20_000)
    new_mm = count * guards.positive("pitch_mm", pitch_mm, "mm")
    least, most = new_mm * (1.0 + _LEAST_PERCENT / 100.0), new_mm * (1.0 + _MOST_PERCENT / 100.0)
    measured = guards.number("measured_mm", measured_mm, "mm", least, most,
                             f"{count} pitches of this chain are {new_mm:g} mm when new")
    u = guards.number("length_uncertainty_mm", length_uncertainty_mm, "mm", 0.0)
    limit = guards.positive("elongation_limit_percent", elongation_limit_percent, "%", _MOST_PERCENT)
    percent = (measured - new_mm) / new_mm * 100.0
    return Elongation(percent, u / new_mm * 100.0, limit, new_mm * (1.0 + limit / 100.0), _flag(percent))


def _flag(percent: float) -> str:
    if percent >= 0.0:
        return ""
    return tr("Shorter than a new chain: count the pitches again, and check the chain's number.")


def pitches_needed(pitch_mm: float, length_uncertainty_mm: float, wanted_uncertainty_percent: float) -> int:
    """Return over how many pitches to measure for a wanted uncertainty of the elongation.

    Args:
        pitch_mm: Pitch of the new chain. [mm] above 0
        length_uncertainty_mm: Standard uncertainty of the length. [mm] 0 or more
        wanted_uncertainty_percent: u wanted. [%] above 0

    Returns:
        Pitches, rounded up. [count]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        u(e) = u(M) / (n p).

    Example, by hand: 0.3 mm over 0.1 % of 10 mm a pitch:
        >>> pitches_needed(10.0, 0.3, 0.1)
        30
    """
    pitch = guards.positive("pitch_mm", pitch_mm, "mm")
    u = guards.number("length_uncertainty_mm", length_uncertainty_mm, "mm", 0.0)
    wanted = guards.positive("wanted_uncertainty_percent", wanted_uncertainty_percent, "%")
    return max(1, math.ceil(u / (pitch * wanted / 100.0) - 1e-9))


def wear_growth(links: int, pitch_mm: float, elongation_percent: float) -> WearGrowth:
    """Return what a wear elongation makes of a loop.

    Args:
        links: Links of the loop. [count] 2 or more
        pitch_mm: Pitch of the new chain. [mm] above 0
        elongation_percent: Wear elongation. [%] 0 to 20

    Returns:
        Growth, movement of the shaft, and the links that can come out: a pair when the loop grew by two
        pitches.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range; a negative elongation is a
            finding.

    Source:
        Growth e X p, shaft movement half of it.

    Example, by hand: 1 % of 100 pitches of 20 mm:
        >>> wear_growth(100, 20.0, 1.0)
        WearGrowth(growth_mm=20.0, takeup_movement_mm=10.0, removable_links=0)
    """
    count = guards.count("links", links, 2, 20_000)
    pitch = guards.positive("pitch_mm", pitch_mm, "mm")
    percent = guards.number("elongation_percent", elongation_percent, "%", 0.0, _MOST_PERCENT)
    growth = percent * count * pitch / 100.0
    # a billionth: a growth of exactly two pitches lets a pair out
    return WearGrowth(growth, growth / 2.0, 2 * math.floor(growth / (2.0 * pitch) + 1e-9))


def takeup_reserve_mm(pitch_mm: float) -> float:
    """Return the least take-up travel that lets two pitches come out.

    Args:
        pitch_mm: Pitch of the new chain. [mm] above 0

    Returns:
        Travel of the shaft: one pitch. [mm]

    Raises:
        OutOfRange: not an ordinary number above zero.

    Source:
        Chain handbook: the adjustment should allow the removal of two pitches.

    Example:
        >>> takeup_reserve_mm(19.05)
        19.05
    """
    return guards.positive("pitch_mm", pitch_mm, "mm")


def compare_strands(left_elongation_percent: float, right_elongation_percent: float, strand_length_mm: float,
                    strand_distance_mm: float, elongation_uncertainty_percent: float) -> StrandDifference:
    """Return how far the two strands of an elevator differ, and how a flight between them leans.

    Args:
        left_elongation_percent: Wear elongation of the left strand. [%] -10 to 20
        right_elongation_percent: Wear elongation of the right strand. [%] -10 to 20
        strand_length_mm: Chain between the driving sprocket and the flight. [mm] above 0
        strand_distance_mm: Distance between the strands, across the flight. [mm] above 0
        elongation_uncertainty_percent: Standard uncertainty of each elongation. [%] 0 or more

    Returns:
        Differences, left less right. They are alike when the difference is below twice its uncertainty.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Arithmetic; u of a difference is sqrt(2) u.

    Example, by hand: 0.5 % of 3 m is 15 mm, over a flight of 0.75 m:
        >>> compare_strands(1.5, 1.0, 3000.0, 750.0, 0.05).skew_mm_per_m
        20.0
    """
    left = guards.number("left_elongation_percent", left_elongation_percent, "%", _LEAST_PERCENT, _MOST_PERCENT)
    right = guards.number("right_elongation_percent", right_elongation_percent, "%", _LEAST_PERCENT, _MOST_PERCENT)
    length = guards.positive("strand_length_mm", strand_length_mm, "mm")
    width = guards.positive("strand_distance_mm", strand_distance_mm, "mm")
    u_percent = guards.number("elongation_uncertainty_percent", elongation_uncertainty_percent, "%", 0.0)
    longer_by = (left - right) / 100.0 * length
    u = math.sqrt(2.0) * u_percent / 100.0 * length
    longer = "alike" if abs(longer_by) <= 2.0 * u else "left" if longer_by > 0.0 else "right"
    return StrandDifference(left - right, longer_by, u, longer_by / width * 1000.0, longer)
