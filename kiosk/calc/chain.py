"""Geometry of a roller chain on two sprockets: pitch diameter, length and centre distance, speed, flights.

Wear is in `chain_wear`, the balance of a whole loop in `loop_balance`, sizes in `chain_table`. Sources: exact
geometry; the short form of length and centre distance from the annexes of ISO 606 and ASME B29.1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.calc import guards

MOST_TEETH = 300
MOST_LINKS = 20_000
_MM_PER_M = 1000.0
_SECONDS_PER_MINUTE = 60.0


@dataclass(frozen=True)
class ChainLength:
    """Length of a chain for a centre distance.

    Args:
        pitches: By the short form. [pitches]
        pitches_exact: Around the pitch polygons' circles. [pitches]
        even_links: Next even number of links; an odd one needs a cranked link, weaker than the chain. [count]
        centre_for_even_mm: Centre distance for it, short form. [mm]
    """

    pitches: float
    pitches_exact: float
    even_links: int
    centre_for_even_mm: float


@dataclass(frozen=True)
class FlightSpacing:
    """Whether a link count carries evenly spaced flights.

    Args:
        is_even: The count needs no cranked link.
        is_whole: It is a whole number of flight spacings.
        flights: Whole flight spacings that fit in. [count]
        nearest_valid_links: The count itself when it is right, otherwise the next right ones. [count]
    """

    is_even: bool
    is_whole: bool
    flights: int
    nearest_valid_links: tuple[int, ...]


def pitch_diameter_mm(pitch_mm: float, teeth: int, elongation_percent: float = 0.0) -> float:
    """Return the diameter on which a chain rides.

    Args:
        pitch_mm: Pitch of the new chain. [mm] above 0
        teeth: Number of teeth. [count] 4 or more
        elongation_percent: Wear elongation; a worn chain rides higher. [%] -1 to 20

    Returns:
        Pitch diameter. [mm]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Exact geometry: D = p / sin(pi / N).

    Example, by hand: a hexagon's circle is twice its side:
        >>> round(pitch_diameter_mm(10.0, 6), 9)
        20.0
    """
    pitch = guards.positive("pitch_mm", pitch_mm, "mm")
    worn = 1.0 + guards.number("elongation_percent", elongation_percent, "%", -1.0, 20.0) / 100.0
    return pitch * worn / math.sin(math.pi / _teeth("teeth", teeth))


def chordal_speed_variation(teeth: int) -> float:
    """Return how much a chain's speed ripples as its links fall on the teeth.

    Args:
        teeth: Number of teeth. [count] 4 or more

    Returns:
        Ripple as a share of the speed. [-] Six teeth give 13 %: flights bang, and that is normal.

    Raises:
        OutOfRange: not a whole number in range.

    Source:
        Exact geometry: 1 - cos(pi / N).

    Example:
        >>> round(chordal_speed_variation(6), 4)
        0.134
    """
    # 1 - cos, written so that many teeth keep their digits
    return 2.0 * math.sin(math.pi / (2.0 * _teeth("teeth", teeth))) ** 2


def chain_length(centre_distance_mm: float, pitch_mm: float, driver_teeth: int, driven_teeth: int) -> ChainLength:
    """Return the chain length for a centre distance, and the centre distance for the next even length.

    Args:
        centre_distance_mm: [mm] more than the two sprockets need
        pitch_mm: [mm] above 0
        driver_teeth: [count] 4 or more
        driven_teeth: [count] 4 or more

    Returns:
        Short form, within 0.01 pitch for centres over 25 pitches, and the exact length.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        ISO 606 and ASME B29.1 annexes: X = 2C/p + (N1 + N2)/2 + ((N2 - N1)/2pi)**2 p/C.

    Example, by hand: equal sprockets, 2 x 800 / 20 + 17:
        >>> chain_length(800.0, 20.0, 17, 17).pitches
        97.0
    """
    pitch = guards.positive("pitch_mm", pitch_mm, "mm")
    one, other = _teeth("driver_teeth", driver_teeth), _teeth("driven_teeth", driven_teeth)
    closest = pitch * _touching(one, other)
    centre = guards.number("centre_distance_mm", centre_distance_mm, "mm", closest, MOST_LINKS * pitch) / pitch
    pitches = 2.0 * centre + (one + other) / 2.0 + _step(one, other) ** 2 / centre
    # a length that is even to a millionth of a pitch needs no two links more
    even = 2 * math.ceil(pitches / 2.0 - 1e-6)
    return ChainLength(pitches, _exact_pitches(centre, one, other), even,
                       centre_distance_mm_for(even, pitch, one, other))


def centre_distance_mm_for(links: float, pitch_mm: float, driver_teeth: int, driven_teeth: int) -> float:
    """Return the centre distance for a chain length, by the short form.

    Args:
        links: Length of the chain. [pitches] enough to go round
        pitch_mm: [mm] above 0
        driver_teeth: [count] 4 or more
        driven_teeth: [count] 4 or more

    Returns:
        Centre distance. [mm]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        ISO 606 and ASME B29.1 annexes: C = p/4 (k + sqrt(k**2 - 8 ((N2 - N1)/2pi)**2)), k = X - (N1 + N2)/2.

    Example, by hand: (97 - 17) x 20 / 2:
        >>> centre_distance_mm_for(97, 20.0, 17, 17)
        800.0
    """
    pitch, length, one, other = _loop(links, pitch_mm, driver_teeth, driven_teeth)
    straight = length - (one + other) / 2.0
    return pitch / 4.0 * (straight + math.sqrt(straight**2 - 8.0 * _step(one, other) ** 2))


def exact_centre_distance_mm(links: float, pitch_mm: float, driver_teeth: int, driven_teeth: int) -> float:
    """Return the centre distance for a chain length, exactly.

    Args:
        links: Length of the chain. [pitches] enough to go round
        pitch_mm: [mm] above 0
        driver_teeth: [count] 4 or more
        driven_teeth: [count] 4 or more

    Returns:
        Centre distance. [mm]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Exact geometry; the inverse of `chain_length`'s exact length.

    Example:
        >>> round(exact_centre_distance_mm(97, 20.0, 17, 17), 9)
        800.0
    """
    pitch, length, one, other = _loop(links, pitch_mm, driver_teeth, driven_teeth)
    centre = centre_distance_mm_for(length, 1.0, one, other)
    for _ in range(50):
        # a pitch more of centre distance takes very nearly two pitches more of chain
        miss = (_exact_pitches(centre, one, other) - length) / 2.0
        centre -= miss
        if abs(miss) <= 1e-13 * centre:
            break
    return centre * pitch


def chain_speed_m_per_s(teeth: int, pitch_mm: float, speed_rpm: float) -> float:
    """Return the speed of a chain.

    Args:
        teeth: Number of teeth of the sprocket. [count] 4 or more
        pitch_mm: [mm] above 0
        speed_rpm: Speed of that sprocket. [r/min] 0 or more

    Returns:
        Mean speed. [m/s]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        v = N p n.

    Example, by hand: 10 x 20 mm x 60 in a minute:
        >>> chain_speed_m_per_s(10, 20.0, 60.0)
        0.2
    """
    way_mm = _teeth("teeth", teeth) * guards.positive("pitch_mm", pitch_mm, "mm")
    return way_mm * guards.number("speed_rpm", speed_rpm, "r/min", 0.0, 1e5) / _SECONDS_PER_MINUTE / _MM_PER_M


def flight_spacing(links: int, links_per_flight: int) -> FlightSpacing:
    """Return whether a link count carries evenly spaced flights, and the counts that do.

    Args:
        links: Links of one strand. [count] 2 or more
        links_per_flight: Links from one flight to the next. [count] 1 or more

    Returns:
        The answer for this count, and the nearest counts that are even and whole. Both strands have the same
        count, from the same box.

    Raises:
        OutOfRange: not whole numbers in range.

    Source:
        Arithmetic.

    Example, by hand: 122 is twenty spacings of six and two links over:
        >>> flight_spacing(122, 6).nearest_valid_links
        (120, 126)
    """
    count = guards.count("links", links, 2, MOST_LINKS)
    spacing = guards.count("links_per_flight", links_per_flight, 1, MOST_LINKS)
    step = math.lcm(spacing, 2)
    below = count // step * step
    nearest = (count,) if below == count else tuple(valid for valid in (below, below + step) if valid)
    return FlightSpacing(count % 2 == 0, count % spacing == 0, count // spacing, nearest)


# --- in pitches ---


def _teeth(name: str, teeth: int) -> int:
    return guards.count(name, teeth, 4, MOST_TEETH)


def _radius(teeth: int) -> float:
    return 0.5 / math.sin(math.pi / teeth)


def _touching(one: int, other: int) -> float:
    """Return the centre distance at which the two pitch circles touch. [pitches]"""
    return _radius(one) + _radius(other)


def _step(one: int, other: int) -> float:
    return (other - one) / (2.0 * math.pi)


def _loop(links: float, pitch_mm: float, driver_teeth: int, driven_teeth: int) -> tuple[float, float, int, int]:
    pitch = guards.positive("pitch_mm", pitch_mm, "mm")
    one, other = _teeth("driver_teeth", driver_teeth), _teeth("driven_teeth", driven_teeth)
    shortest = _exact_pitches(_touching(one, other), one, other)
    return pitch, guards.number("links", links, "", shortest, MOST_LINKS * 3.0), one, other


def _exact_pitches(centre: float, one: int, other: int) -> float:
    """Return X = 2c cos(b) + (N1 + N2)/2 + b (N2 - N1)/pi with sin b = (r2 - r1)/c."""
    lean = math.asin((_radius(other) - _radius(one)) / centre)
    return 2.0 * centre * math.cos(lean) + (one + other) / 2.0 + lean * (other - one) / math.pi
