"""Belts on two rollers: loop length, centre distance, growth, strain, run-in, grip, squareness, sag, cleat height.

Lengths run along the belt's neutral line (roller radius plus half the belt's thickness). The loop is taken as taut and
open, without snub rollers. Cutting and splicing are in `splice`, steering in `tracking`. Sources stand with each
function; the geometry is plain trigonometry.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.constants import GRAVITY_M_PER_S2
from kiosk.errors import NoTableRow, OutOfRange

MM_PER_METRE = 1000.0
SETTLING_REVOLUTIONS = 150
"""Belt revolutions until a belt has settled after an adjustment. (common practice, no source)"""
WORKING_ENGINE_RPM = 1500.0
BELT_REVOLUTIONS_PER_MINUTE = 10.0
"""What a belt makes at 1500 engine r/min: 150 revolutions take 15 minutes. (common practice, no source)"""
SHOP_RULE_FACTOR = 1.6
"""The shop rule's rounded pi/2."""
NEWTON_STEPS = 200
"""Far more than the handful it takes away from the limit where one roller nearly lies inside the other."""
ROUNDING_SLACK = 1e-9
"""Computed strains a hair beside a window's edge count as on it."""

# Initial elongation of a new or re-tensioned belt, lowest and highest. [%] A belt maker's published article,
# 'Correct initial elongation for conveyor and drive belts'.
STRAIN_WINDOWS: dict[str, tuple[float, float]] = {"polyester": (0.3, 1.0), "polyamide": (0.5, 3.0)}


@dataclass(frozen=True)
class BeltLoop:
    """A taut open belt on two rollers.

    Args:
        length_mm: Exact loop length on the neutral line. [mm]
        approximate_length_mm: The handbook approximation, for comparison. [mm]
        wrap_small_degrees: Wrap on the smaller roller. [°]
        wrap_large_degrees: Wrap on the larger roller. [°]
    """

    length_mm: float
    approximate_length_mm: float
    wrap_small_degrees: float
    wrap_large_degrees: float


@dataclass(frozen=True)
class GrowthReserve:
    """Whether the take-ups can follow the growth that is expected until the next service.

    Args:
        travel_needed_mm: Travel that the growth uses up. [mm]
        travel_remaining_mm: Travel left after it; below zero it does not reach. [mm]
        is_enough: True when the travel suffices.
    """

    travel_needed_mm: float
    travel_remaining_mm: float
    is_enough: bool


@dataclass(frozen=True)
class BeltStrain:
    """How far a belt is stretched, against its carcass's window.

    Args:
        strain_percent: Strain between the two marks. [%]
        strain_uncertainty_percent: Standard uncertainty from reading both gaps. [%]
        window_percent: Lowest and highest initial elongation. [%]
        verdict: 'below', 'within' or 'above' the window.
    """

    strain_percent: float
    strain_uncertainty_percent: float
    window_percent: tuple[float, float]
    verdict: str


@dataclass(frozen=True)
class RunIn:
    """How long a belt takes for a number of revolutions.

    Args:
        belt_speed_m_per_s: Speed on the neutral line. [m/s]
        belt_rpm: Revolutions of the loop. [r/min]
        duration_minutes: Time for the revolutions asked for. [min]
    """

    belt_speed_m_per_s: float
    belt_rpm: float
    duration_minutes: float


@dataclass(frozen=True)
class Squareness:
    """How far a frame is out of square.

    Args:
        offset_mm: One side's lead over the other along the frame; the sign follows the first diagonal. [mm]
        offset_uncertainty_mm: Standard uncertainty from reading both diagonals. [mm]
    """

    offset_mm: float
    offset_uncertainty_mm: float


@dataclass(frozen=True)
class BeltSag:
    """Sag between two supports.

    Args:
        sag_mm: Sag in the middle. [mm]
        sag_percent: Sag as a share of the spacing. [%]
    """

    sag_mm: float
    sag_percent: float


@dataclass(frozen=True)
class CleatHeight:
    """What both take-ups must do for the cleats' height over the pan.

    Args:
        height_mm: Height now, the mean of both sides. [mm]
        side_difference_mm: Left less right; a job for tracking and squareness, not for this advice. [mm]
        travel_mm: How far BOTH take-ups go up evenly; below zero, down. [mm]
        turns: The same in turns of the take-up's thread. [-]
    """

    height_mm: float
    side_difference_mm: float
    travel_mm: float
    turns: float


def _neutral_radii(upper_roller_diameter_mm: float, lower_roller_diameter_mm: float,
                   belt_thickness_mm: float) -> tuple[float, float]:
    """Return the larger and the smaller radius of the neutral line."""
    upper = guards.positive("upper_roller_diameter_mm", upper_roller_diameter_mm, "mm")
    lower = guards.positive("lower_roller_diameter_mm", lower_roller_diameter_mm, "mm")
    thickness = guards.number("belt_thickness_mm", belt_thickness_mm, "mm", 0.0)
    radii = ((upper + thickness) / 2, (lower + thickness) / 2)
    return max(radii), min(radii)


def _exact_length(centre: float, large: float, small: float) -> float:
    angle = math.asin(min(1.0, (large - small) / centre))
    return 2 * centre * math.cos(angle) + math.pi * (large + small) + 2 * angle * (large - small)


def belt_loop(centre_distance_mm: float, upper_roller_diameter_mm: float, lower_roller_diameter_mm: float,
              belt_thickness_mm: float = 0.0) -> BeltLoop:
    """Return the length of a taut open belt on two rollers, and its wrap on each.

    Args:
        centre_distance_mm: Distance of the roller shafts C. [mm] at least the difference of the neutral radii
        upper_roller_diameter_mm: Diameter of one roller, bare. [mm] above 0
        lower_roller_diameter_mm: Diameter of the other, bare. [mm] above 0; order does not matter
        belt_thickness_mm: Thickness t of a symmetric belt. [mm] 0 or more

    Returns:
        Exact and approximate length and both wraps.

    Raises:
        OutOfRange: a size is not above zero, or one roller lies wholly inside the other.

    Source:
        Trigonometry: sin a = (R - r)/C; L = 2 C cos a + pi (R + r) + 2 a (R - r), radii to the neutral line.
        The approximation is the handbooks' 2C + pi/2 (D + d) + (D - d)**2/(4C).

    Example, by hand: two 200 mm rollers, 6 mm belt, 1500 mm: 3000 + 206 pi:
        >>> round(belt_loop(1500, 200, 200, 6).length_mm, 3)
        3647.168
    """
    large, small = _neutral_radii(upper_roller_diameter_mm, lower_roller_diameter_mm, belt_thickness_mm)
    centre = guards.positive("centre_distance_mm", centre_distance_mm, "mm")
    guards.number("centre_distance_mm", centre, "mm", large - small)
    approximate = 2 * centre + math.pi * (large + small) + (large - small) ** 2 / centre
    lean = 2 * math.degrees(math.asin((large - small) / centre))
    return BeltLoop(_exact_length(centre, large, small), approximate, 180.0 - lean, 180.0 + lean)


def shop_rule_belt_length_mm(centre_distance_mm: float, upper_roller_diameter_mm: float,
                             lower_roller_diameter_mm: float) -> float:
    """Return the belt length by the shop rule; use it to check a tape reading, not to cut.

    Args:
        centre_distance_mm: Distance of the roller shafts C. [mm] above 0
        upper_roller_diameter_mm: Diameter of one roller. [mm] above 0
        lower_roller_diameter_mm: Diameter of the other. [mm] above 0

    Returns:
        Length, some millimetres short of the exact one. [mm]

    Raises:
        OutOfRange: a size is not above zero.

    Source:
        Published shop rule: L = 2C + 1.6 (D + d); 1.6 stands for pi/2.
    """
    centre = guards.positive("centre_distance_mm", centre_distance_mm, "mm")
    upper = guards.positive("upper_roller_diameter_mm", upper_roller_diameter_mm, "mm")
    lower = guards.positive("lower_roller_diameter_mm", lower_roller_diameter_mm, "mm")
    return 2 * centre + SHOP_RULE_FACTOR * (upper + lower)


def centre_distance_from_length_mm(loop_length_mm: float, upper_roller_diameter_mm: float,
                                   lower_roller_diameter_mm: float, belt_thickness_mm: float = 0.0) -> float:
    """Return the centre distance at which a belt of this length is taut.

    Args:
        loop_length_mm: Loop length L on the neutral line. [mm] at least the larger roller's girth
        upper_roller_diameter_mm: Diameter of one roller, bare. [mm] above 0
        lower_roller_diameter_mm: Diameter of the other, bare. [mm] above 0
        belt_thickness_mm: Belt thickness t. [mm] 0 or more

    Returns:
        Centre distance C. [mm]

    Raises:
        OutOfRange: a size is not above zero, or the belt is too short to go round the larger roller.

    Source:
        The exact length of `belt_loop`, solved for C by Newton's method from above.
    """
    large, small = _neutral_radii(upper_roller_diameter_mm, lower_roller_diameter_mm, belt_thickness_mm)
    length = guards.positive("loop_length_mm", loop_length_mm, "mm")
    shortest = 2 * math.pi * large
    if length < shortest * (1 - 1e-12):
        raise OutOfRange("loop_length_mm", loop_length_mm, "mm", shortest)
    return _solve_centre(max(length, shortest), large, small)


def _solve_centre(length: float, large: float, small: float) -> float:
    """Newton from above: the length rises with the centre distance and is convex, so no step overshoots."""
    centre = max(length / 2, large)
    for _ in range(NEWTON_STEPS):
        excess = _exact_length(centre, large, small) - length
        slope = 2 * math.cos(math.asin(min(1.0, (large - small) / centre)))
        if excess <= 1e-12 * length or slope == 0.0:
            break
        centre = max(centre - excess / slope, large - small, 1e-9)
    return centre


def takeup_travel_for_growth_mm(growth_mm: float) -> float:
    """Return how far the take-ups must move to take up a longer belt.

    Args:
        growth_mm: How much longer the loop has become. [mm] 0 or more

    Returns:
        Travel. [mm]

    Raises:
        OutOfRange: the growth is negative or not a number; a belt that got shorter is a finding, not growth.

    Source:
        Published conveyor page on take-ups and belt stretch (400 ft at 1.5 % grow 6 ft and need 3 ft): two equal
        strands, so travel = growth / 2.
    """
    return guards.number("growth_mm", growth_mm, "mm", 0.0) / 2


def growth_from_takeup_travel_mm(travel_mm: float) -> float:
    """Return how much belt the take-ups have taken up over a travel.

    Args:
        travel_mm: Movement of both take-ups. [mm] 0 or more

    Returns:
        Growth of the loop. [mm]

    Raises:
        OutOfRange: the travel is negative or not a number.

    Source:
        Inverse of `takeup_travel_for_growth_mm`: growth = 2 travel.
    """
    return 2 * guards.number("travel_mm", travel_mm, "mm", 0.0)


def growth_reserve(growth_mm: float, takeup_out_mm: float) -> GrowthReserve:
    """Say whether the take-ups can follow the growth expected until the next service.

    Args:
        growth_mm: Growth expected. [mm] 0 or more
        takeup_out_mm: Travel left outwards, to tighten. [mm] 0 or more

    Returns:
        Travel needed, travel remaining, and whether it is enough.

    Raises:
        OutOfRange: an argument is negative or not a number.

    Source:
        Two equal strands: twice the travel left must exceed the growth.
    """
    needed = takeup_travel_for_growth_mm(growth_mm)
    remaining = guards.number("takeup_out_mm", takeup_out_mm, "mm", 0.0) - needed
    return GrowthReserve(needed, remaining, remaining > 0 or needed == 0)


def belt_strain(mark_gap_mm: float, stretched_gap_mm: float, tension_member: str,
                reading_uncertainty_mm: float = 0.5) -> BeltStrain:
    """Return a belt's strain from two marks, against the window of its carcass.

    Args:
        mark_gap_mm: Gap of the marks on the relaxed belt, 1 m or more is best. [mm] above 0
        stretched_gap_mm: The same gap under tension. [mm] above 0
        tension_member: 'polyester' or 'polyamide'.
        reading_uncertainty_mm: Standard uncertainty of each gap. [mm] 0 or more; 0.5 for a tape

    Returns:
        Strain with its uncertainty, the window and the verdict.

    Raises:
        OutOfRange: a gap is not above zero.
        NoTableRow: no window is published for this carcass.

    Source:
        strain = (l1 - l0)/l0; windows from a belt maker's published article 'Correct initial elongation for conveyor
        and drive belts': polyester 0.3 to 1.0 %, polyamide 0.5 to 3.0 %.
    """
    before = guards.positive("mark_gap_mm", mark_gap_mm, "mm")
    after = guards.positive("stretched_gap_mm", stretched_gap_mm, "mm")
    reading = guards.number("reading_uncertainty_mm", reading_uncertainty_mm, "mm", 0.0)
    window = STRAIN_WINDOWS.get(tension_member)
    if window is None:
        raise NoTableRow("belt strain window", tension_member, tuple(STRAIN_WINDOWS))
    strain = (after - before) / before * 100
    uncertainty = 100 * reading * math.hypot(1.0, after / before) / before
    return BeltStrain(strain, uncertainty, window, _beside(strain, window))


def _beside(value: float, window: tuple[float, float]) -> str:
    if value < window[0] - ROUNDING_SLACK:
        return "below"
    return "above" if value > window[1] + ROUNDING_SLACK else "within"


def roller_speed_rpm(engine_rpm: float, engine_to_roller_ratio: float) -> float:
    """Return the drive roller's speed from the engine's.

    Args:
        engine_rpm: Engine speed. [r/min] above 0
        engine_to_roller_ratio: Engine turns for one turn of the roller. [-] above 0

    Returns:
        Roller speed. [r/min]

    Raises:
        OutOfRange: an argument is not above zero.

    Source:
        Ratio of speeds, no slip.
    """
    engine = guards.positive("engine_rpm", engine_rpm, "r/min")
    return engine / guards.positive("engine_to_roller_ratio", engine_to_roller_ratio)


def run_in(revolutions: float, loop_length_mm: float, drive_roller_diameter_mm: float, roller_rpm: float,
           belt_thickness_mm: float = 0.0) -> RunIn:
    """Return how long a belt must run for a number of its own revolutions.

    Args:
        revolutions: Revolutions of the belt; 150 let it settle (common practice, no source). [-] 0 or more
        loop_length_mm: Loop length L. [mm] above 0
        drive_roller_diameter_mm: Diameter of the driving roller D, bare. [mm] above 0
        roller_rpm: Speed of the driving roller n. [r/min] above 0
        belt_thickness_mm: Belt thickness t. [mm] 0 or more

    Returns:
        Belt speed, revolutions a minute and the time. No slip is assumed, so the time is the shortest.

    Raises:
        OutOfRange: an argument is out of its range.

    Source:
        v = pi (D + t) n; time = revolutions L / v, on the neutral line.
    """
    turns = guards.number("revolutions", revolutions, "", 0.0)
    length = guards.positive("loop_length_mm", loop_length_mm, "mm")
    diameter = guards.positive("drive_roller_diameter_mm", drive_roller_diameter_mm, "mm")
    thickness = guards.number("belt_thickness_mm", belt_thickness_mm, "mm", 0.0)
    mm_per_minute = math.pi * (diameter + thickness) * guards.positive("roller_rpm", roller_rpm, "r/min")
    rpm = mm_per_minute / length
    return RunIn(mm_per_minute / MM_PER_METRE / 60.0, rpm, turns / rpm)


def revolutions_run(duration_minutes: float, loop_length_mm: float, drive_roller_diameter_mm: float,
                    roller_rpm: float, belt_thickness_mm: float = 0.0) -> float:
    """Return how many revolutions a belt makes in a time.

    Args:
        duration_minutes: Time it runs. [min] 0 or more
        loop_length_mm: Loop length L. [mm] above 0
        drive_roller_diameter_mm: Diameter of the driving roller D, bare. [mm] above 0
        roller_rpm: Speed of the driving roller n. [r/min] above 0
        belt_thickness_mm: Belt thickness t. [mm] 0 or more

    Returns:
        Revolutions of the belt. [-]

    Raises:
        OutOfRange: an argument is out of its range.

    Source:
        Inverse of `run_in`: revolutions = v time / L.
    """
    minutes = guards.number("duration_minutes", duration_minutes, "min", 0.0)
    one = run_in(1, loop_length_mm, drive_roller_diameter_mm, roller_rpm, belt_thickness_mm)
    return minutes * one.belt_rpm


def settling_time_minutes(engine_rpm: float = WORKING_ENGINE_RPM,
                          revolutions: float = SETTLING_REVOLUTIONS) -> float:
    """Return the time between adjustments where roller and ratio are not known.

    Args:
        engine_rpm: Engine speed. [r/min] above 0
        revolutions: Belt revolutions wanted. [-] 0 or more

    Returns:
        Time. [min]

    Raises:
        OutOfRange: an argument is out of its range.

    Source:
        common practice, no source: 150 belt revolutions take 15 minutes at 1500 engine r/min, so 10 a minute; in
        proportion at another engine speed.

    Example, the trade's own figure:
        >>> settling_time_minutes(1500, 150)
        15.0
    """
    turns = guards.number("revolutions", revolutions, "", 0.0)
    engine = guards.positive("engine_rpm", engine_rpm, "r/min")
    return turns / (BELT_REVOLUTIONS_PER_MINUTE * engine / WORKING_ENGINE_RPM)


def grip_ratio(friction_coefficient: float, wrap_degrees: float) -> float:
    """Return the largest ratio of tight to slack strand tension that the drive roller can hold.

    Args:
        friction_coefficient: Belt on roller mu. [-] above 0, at most 2; bare steel 0.2 to 0.3 dry, lagged 0.35 and
            up, wet half of that (from memory)
        wrap_degrees: Angle of wrap. [°] above 0, at most 720

    Returns:
        T1/T2. [-]

    Raises:
        OutOfRange: an argument is out of its range.

    Source:
        Euler and Eytelwein: T1/T2 = e**(mu theta).
    """
    friction = guards.positive("friction_coefficient", friction_coefficient, "", 2.0)
    return math.exp(friction * math.radians(guards.positive("wrap_degrees", wrap_degrees, "°", 720.0)))


def squareness_by_diagonals(diagonal_one_mm: float, diagonal_two_mm: float, frame_length_mm: float,
                            reading_uncertainty_mm: float = 0.5) -> Squareness:
    """Return how far a frame is out of square, from its two diagonals.

    Args:
        diagonal_one_mm: First diagonal d1. [mm] above 0
        diagonal_two_mm: Second diagonal d2. [mm] above 0
        frame_length_mm: Length L of the frame's side. [mm] above 0
        reading_uncertainty_mm: Standard uncertainty of each diagonal. [mm] 0 or more; 0.5 for a tape

    Returns:
        Offset of one side against the other, with its uncertainty.

    Raises:
        OutOfRange: a size is not above zero, or the diagonals cannot belong to one frame.

    Source:
        Parallelogram: d1**2 - d2**2 = 4 L e. Exact.
    """
    one = guards.positive("diagonal_one_mm", diagonal_one_mm, "mm")
    two = guards.positive("diagonal_two_mm", diagonal_two_mm, "mm")
    length = guards.positive("frame_length_mm", frame_length_mm, "mm")
    reading = guards.number("reading_uncertainty_mm", reading_uncertainty_mm, "mm", 0.0)
    if abs(one - two) >= 2 * length:
        raise OutOfRange("diagonal_one_mm", diagonal_one_mm, "mm", max(0.0, two - 2 * length), two + 2 * length)
    return Squareness((one - two) * (one + two) / (4 * length), reading * math.hypot(one, two) / (2 * length))


def sag_between_supports(belt_mass_kg_per_m: float, support_spacing_mm: float, tension_newton: float) -> BeltSag:
    """Return the sag of a belt between two supports.

    Args:
        belt_mass_kg_per_m: Mass of belt and load m. [kg/m] above 0
        support_spacing_mm: Distance of the supports l. [mm] above 0
        tension_newton: Belt tension T. [N] above 0

    Returns:
        Sag and its share of the spacing. Above a tenth of the spacing the parabola is too flat.

    Raises:
        OutOfRange: an argument is not above zero.

    Source:
        Parabola: s = m g l**2 / (8 T), g = 9.80665 m/s². ISO 5048 and DIN 22101 keep s/l to about 0.5 to 2 % (from
        memory).
    """
    spacing = guards.positive("support_spacing_mm", support_spacing_mm, "mm")
    mass = guards.positive("belt_mass_kg_per_m", belt_mass_kg_per_m, "kg/m")
    tension = guards.positive("tension_newton", tension_newton, "N")
    share = mass * GRAVITY_M_PER_S2 * (spacing / MM_PER_METRE) / (8 * tension)
    return BeltSag(share * spacing, share * 100)


def takeup_travel_for_cleat_height(height_left_mm: float, height_right_mm: float, height_wanted_mm: float,
                                   takeup_thread_pitch_mm: float,
                                   takeup_angle_degrees: float = 90.0) -> CleatHeight:
    """Return how far both take-ups go up, evenly, to bring the cleats to their height over the pan.

    Args:
        height_left_mm: Cleat to pan on the left, 0 where it touches. [mm] 0 or more
        height_right_mm: Cleat to pan on the right. [mm] 0 or more
        height_wanted_mm: Height wanted. [mm] above 0
        takeup_thread_pitch_mm: Pitch of the take-up's thread. [mm] above 0
        takeup_angle_degrees: Angle between the take-up's travel and the pan. [°] above 0, at most 90; 90 lifts the
            roller square to the pan

    Returns:
        Height now, its difference between the sides, and the travel in mm and turns. Where the belt sags over the
        pan the height rises faster than this: measure again after half of it.

    Raises:
        OutOfRange: an argument is out of its range.

    Source:
        common practice, no source: a cleat that touches the pan is lifted by raising both take-ups evenly. The
        travel is trigonometry: travel = missing height / sin(angle).
    """
    left = guards.number("height_left_mm", height_left_mm, "mm", 0.0)
    right = guards.number("height_right_mm", height_right_mm, "mm", 0.0)
    wanted = guards.positive("height_wanted_mm", height_wanted_mm, "mm")
    pitch = guards.positive("takeup_thread_pitch_mm", takeup_thread_pitch_mm, "mm")
    angle = guards.number("takeup_angle_degrees", takeup_angle_degrees, "°", 1.0, 90.0)
    travel = (wanted - (left + right) / 2) / math.sin(math.radians(angle))
    return CleatHeight((left + right) / 2, left - right, travel, travel / pitch)
