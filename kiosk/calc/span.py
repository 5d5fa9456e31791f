"""The hanging strand: sag, excess length, tension and the movement by hand, level and inclined.

A strand hangs as a catenary; the parabola beside it is what a manual prints. Sag is measured from the
straight line between the supports, at mid-span and at right angles to that line. Two things are called sag:
how deep the strand hangs, and how far it moves when it is pushed up and down by hand; the second is 2.31
times the first, so every measurement says which it is. Source: any statics text.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.constants import GRAVITY_M_PER_S2
from kiosk.errors import NoTableRow

HANGING = "hanging"
MOVEMENT = "movement"
MEASURED = (HANGING, MOVEMENT)

# A strand that hangs deeper than its span is long is off its sprockets.
_DEEPEST = 1.0
# Steeper strands do not hang beside their chord any more: look at the slack at the boot instead.
STEEPEST_DEGREES = 85.0
_MM_PER_M = 1000.0


@dataclass(frozen=True)
class LevelSpan:
    """A level strand at rest.

    Args:
        horizontal_newton: Tension at the lowest point, catenary. [N]
        support_newton: Tension at the supports, catenary. [N]
        arc_mm: Length of the strand, catenary. [mm]
        horizontal_parabola_newton: Tension at the lowest point, parabola. [N]
        arc_series_mm: Length of the strand, first term of the series. [mm]
    """

    horizontal_newton: float
    support_newton: float
    arc_mm: float
    horizontal_parabola_newton: float
    arc_series_mm: float


@dataclass(frozen=True)
class Slack:
    """One slack, in all the ways it can be measured.

    Args:
        excess_mm: Strand length beyond the straight line. [mm]
        sag_mm: How deep the strand hangs, catenary. [mm]
        sag_parabola_mm: How deep the strand hangs, parabola. [mm]
        movement_mm: Total movement at mid-span by hand. [mm]
    """

    excess_mm: float
    sag_mm: float
    sag_parabola_mm: float
    movement_mm: float


@dataclass(frozen=True)
class InclinedSpan:
    """A strand between supports of unequal height.

    Args:
        horizontal_newton: Horizontal part of the tension, the same all along. [N]
        low_end_newton: Tension at the lower support. [N]
        high_end_newton: Tension at the upper support. [N]
        sag_vertical_mm: Depth under the middle of the chord, plumb. [mm]
        sag_mm: The same, square to the chord. [mm]
        horizontal_parabola_newton: Horizontal tension by the parabola, from the plumb sag. [N]
    """

    horizontal_newton: float
    low_end_newton: float
    high_end_newton: float
    sag_vertical_mm: float
    sag_mm: float
    horizontal_parabola_newton: float


# --- level ---


def strand_weight_newton_per_metre(chain_mass_kg_per_m: float) -> float:
    """Return the weight of a metre of strand.

    Args:
        chain_mass_kg_per_m: Mass of a metre of chain with its flights. [kg/m] above 0

    Returns:
        Weight. [N/m]

    Raises:
        OutOfRange: not an ordinary number above zero.

    Source:
        Standard gravity, 9.80665 m/s**2.

    Example:
        >>> strand_weight_newton_per_metre(1.0)
        9.80665
    """
    return guards.positive("chain_mass_kg_per_m", chain_mass_kg_per_m, "kg/m") * GRAVITY_M_PER_S2


def level_span(span_mm: float, sag_mm: float, weight_newton_per_metre: float) -> LevelSpan:
    """Return tension and length of a level strand from its hanging sag.

    Args:
        span_mm: Distance between the supports. [mm] above 0
        sag_mm: How deep the strand hangs. [mm] above 0, up to the span
        weight_newton_per_metre: Weight of a metre of strand. [N/m] above 0

    Returns:
        Catenary, and the parabola beside it: its tension is 0.05 % low at 2 % sag, 1.3 % at 10 %.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Statics: s = a (cosh(L/2a) - 1), S = 2a sinh(L/2a), H = w a, T = H + w s; H = w L**2 / (8 s).

    Example, by hand: 14.6 x 1 x 1 / (8 x 0.04):
        >>> level_span(1000.0, 40.0, 14.6).horizontal_parabola_newton
        45.625
    """
    span, sag = _span_and_sag(span_mm, sag_mm)
    guards.positive("sag_mm", sag_mm, "mm")
    weight = guards.positive("weight_newton_per_metre", weight_newton_per_metre, "N/m") / _MM_PER_M
    half = _half_from_sag(sag / span)
    horizontal = weight * span / (2.0 * half)
    return LevelSpan(
        horizontal_newton=horizontal,
        support_newton=horizontal + weight * sag,
        arc_mm=span + span * _sinhc_less_one(half),
        horizontal_parabola_newton=weight * span**2 / (8.0 * sag),
        arc_series_mm=span * (1.0 + 8.0 / 3.0 * (sag / span) ** 2),
    )


def slack_from_excess(span_mm: float, excess_mm: float) -> Slack:
    """Return hanging sag and hand movement of a level strand from its excess length.

    Args:
        span_mm: Distance between the supports. [mm] above 0
        excess_mm: Strand length less span. [mm] 0 up to the span

    Returns:
        The slack in all its measures.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Statics: sinh x / x = S / L; parabola s = sqrt(3 L e / 8); movement sqrt(S**2 - L**2), two straight
            legs.

    Example, by hand: 3 x 900 x 6 / 8 is 45 squared:
        >>> slack_from_excess(900.0, 6.0).sag_parabola_mm
        45.0
    """
    span = guards.positive("span_mm", span_mm, "mm")
    excess = guards.number("excess_mm", excess_mm, "mm", 0.0, _DEEPEST * span)
    half = _half_from_excess(excess / span)
    return Slack(
        excess_mm=excess,
        sag_mm=span * _sag_ratio(half),
        sag_parabola_mm=math.sqrt(3.0 * span * excess / 8.0),
        movement_mm=math.sqrt(excess * (2.0 * span + excess)),
    )


def slack_from_measurement(span_mm: float, measured_mm: float, measured: str) -> Slack:
    """Return the slack of a level strand from what the mechanic measured.

    Args:
        span_mm: Distance between the supports. [mm] above 0
        measured_mm: The measurement. [mm] 0 up to the span
        measured: Which it is: 'hanging' (left alone) or 'movement' (pushed up and down by hand, total).

    Returns:
        The slack in all its measures.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.
        NoTableRow: `measured` is neither of the two.

    Source:
        Statics; see `level_span` and `slack_from_excess`.

    Example: the same 40 mm is a far deeper sag when the strand was left alone:
        >>> [round(slack_from_measurement(1000.0, 40.0, how).sag_mm, 1) for how in MEASURED]
        [40.0, 17.3]
    """
    if measured not in MEASURED:
        raise NoTableRow("ways to measure slack", measured, MEASURED)
    span, size = _span_and_sag(span_mm, measured_mm, "measured_mm")
    if measured == HANGING:
        return slack_from_excess(span, excess_from_sag_mm(span, size))
    # sqrt(L**2 + m**2) - L, written so that a small movement keeps its digits
    return slack_from_excess(span, size**2 / (math.hypot(span, size) + span))


def excess_from_sag_mm(span_mm: float, sag_mm: float) -> float:
    """Return the excess length of a level strand from its hanging sag.

    Args:
        span_mm: Distance between the supports. [mm] above 0
        sag_mm: How deep the strand hangs. [mm] 0 up to the span

    Returns:
        Strand length less span. [mm]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Statics: S = 2a sinh(L/2a) with s = a (cosh(L/2a) - 1).

    Example, by hand from the first term of the series, 8/3 x 40**2 / 1000 = 4.27:
        >>> round(excess_from_sag_mm(1000.0, 40.0), 2)
        4.25
    """
    span, sag = _span_and_sag(span_mm, sag_mm)
    return span * _sinhc_less_one(_half_from_sag(sag / span))


def movement_over_sag() -> float:
    """Return how many times the movement by hand is the hanging sag, for a shallow strand: 4 / sqrt(3).

    Returns:
        Ratio. [-] A rule of '4 % movement' is a hanging sag of 1.7 % only.

    Source:
        Statics: sqrt(2 L e) over sqrt(3 L e / 8).

    Example:
        >>> round(movement_over_sag(), 3)
        2.309
    """
    return 4.0 / math.sqrt(3.0)


# --- inclined ---


def inclined_span(chord_mm: float, angle_degrees: float, excess_mm: float,
                  weight_newton_per_metre: float) -> InclinedSpan:
    """Return tension and sag of an inclined strand from its excess length.

    Args:
        chord_mm: Straight distance between the supports. [mm] above 0
        angle_degrees: Angle of the chord to the horizontal. [°] 0 to 85
        excess_mm: Strand length less chord. [mm] above 0, up to the chord
        weight_newton_per_metre: Weight of a metre of strand. [N/m] above 0

    Returns:
        Catenary, and the horizontal tension of the parabola beside it. The upper end carries more than the
        lower by exactly the weight of the strand's height.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range. Near the vertical a strand has
            no sag, whatever its slack.

    Source:
        Statics: sqrt(S**2 - h**2) = 2a sinh(L/2a); parabola H = w c**2 cos(angle) / (8 s).

    Example, by hand: the ends differ by 14.6 N/m x 0.5 m of height:
        >>> strand = inclined_span(1000.0, 30.0, 2.0, 14.6)
        >>> round(strand.high_end_newton - strand.low_end_newton, 6)
        7.3
    """
    chord = guards.positive("chord_mm", chord_mm, "mm")
    angle = _angle(angle_degrees)
    excess = guards.positive("excess_mm", excess_mm, "mm", _DEEPEST * chord)
    weight = guards.positive("weight_newton_per_metre", weight_newton_per_metre, "N/m") / _MM_PER_M
    half, lean, radius = _inclined_shape(chord, angle, excess)
    horizontal = weight * radius
    vertical = _sag_under_chord(half, lean, radius)
    return InclinedSpan(
        horizontal_newton=horizontal,
        low_end_newton=horizontal * math.cosh(lean - half),
        high_end_newton=horizontal * math.cosh(lean + half),
        sag_vertical_mm=vertical,
        sag_mm=vertical * math.cos(angle),
        horizontal_parabola_newton=weight * chord**2 * math.cos(angle) / (8.0 * vertical),
    )


def inclined_sag_mm(chord_mm: float, angle_degrees: float, excess_mm: float) -> float:
    """Return the sag of an inclined strand, square to its chord.

    Args:
        chord_mm: Straight distance between the supports. [mm] above 0
        angle_degrees: Angle of the chord to the horizontal. [°] 0 to 85
        excess_mm: Strand length less chord. [mm] 0 up to the chord

    Returns:
        Sag square to the chord. [mm]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Statics; see `inclined_span`.

    Example: lying level it is the level strand:
        >>> round(inclined_sag_mm(1000.0, 0.0, 4.0), 3) == round(slack_from_excess(1000.0, 4.0).sag_mm, 3)
        True
    """
    chord = guards.positive("chord_mm", chord_mm, "mm")
    angle = _angle(angle_degrees)
    excess = guards.number("excess_mm", excess_mm, "mm", 0.0, _DEEPEST * chord)
    if excess == 0.0:
        return 0.0
    return _sag_under_chord(*_inclined_shape(chord, angle, excess)) * math.cos(angle)


def inclined_excess_mm(chord_mm: float, angle_degrees: float, sag_mm: float) -> float:
    """Return the excess length of an inclined strand from its sag square to the chord.

    Args:
        chord_mm: Straight distance between the supports. [mm] above 0
        angle_degrees: Angle of the chord to the horizontal. [°] 0 to 85
        sag_mm: Sag square to the chord. [mm] 0 up to a fifth of the chord

    Returns:
        Strand length less chord. [mm]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Statics; the inverse of `inclined_sag_mm`, from the parabola's e = 8 s**2 / (3 c) on.

    Example:
        >>> round(inclined_sag_mm(1000.0, 45.0, inclined_excess_mm(1000.0, 45.0, 30.0)), 6)
        30.0
    """
    chord = guards.positive("chord_mm", chord_mm, "mm")
    sag = guards.number("sag_mm", sag_mm, "mm", 0.0, 0.2 * chord)
    if _angle(angle_degrees) == 0.0:
        return excess_from_sag_mm(chord, sag)
    excess = 8.0 * sag**2 / (3.0 * chord)
    for _ in range(60):
        got = inclined_sag_mm(chord, angle_degrees, excess)
        if got == 0.0 or abs(got - sag) <= 1e-12 * sag:
            break
        # sag grows nearly with the root of the excess, so the square of the miss sets it right
        excess *= (sag / got) ** 2
    return excess


# --- shapes; x is half the span over the catenary's radius a ---


def _span_and_sag(span_mm: float, sag_mm: float, name: str = "sag_mm") -> tuple[float, float]:
    span = guards.positive("span_mm", span_mm, "mm")
    return span, guards.number(name, sag_mm, "mm", 0.0, _DEEPEST * span)


def _angle(angle_degrees: float) -> float:
    return math.radians(guards.number("angle_degrees", angle_degrees, "°", 0.0, STEEPEST_DEGREES,
                                      "near the vertical a strand has no sag"))


def _inclined_shape(chord: float, angle: float, excess: float) -> tuple[float, float, float]:
    """Return half span over radius, the middle's place on the curve over radius, and the radius. [mm]"""
    level, rise = chord * math.cos(angle), chord * math.sin(angle)
    # S**2 - h**2 = L**2 + e (2c + e)
    beyond = excess * (2.0 * chord + excess) / level**2
    half = _half_from_excess(beyond / (math.sqrt(1.0 + beyond) + 1.0))
    radius = level / (2.0 * half)
    return half, math.asinh(rise / (2.0 * radius * math.sinh(half))), radius


def _sag_under_chord(half: float, lean: float, radius: float) -> float:
    return radius * math.cosh(lean) * 2.0 * math.sinh(half / 2.0) ** 2


def _sag_ratio(half: float) -> float:
    """Return sag over span, (cosh x - 1) / (2x)."""
    return math.sinh(half / 2.0) ** 2 / half if half else 0.0


def _sinhc_less_one(half: float) -> float:
    """Return sinh x / x - 1 without losing digits for a small x: x**2/6 + x**4/120 + ..."""
    total, term, n = 0.0, 1.0, 2
    while True:
        term *= half * half / (n * (n + 1))
        if term <= total * 1e-17:
            return total
        total, n = total + term, n + 2


def _half_from_sag(ratio: float) -> float:
    """Return x with sag over span = `ratio`; Newton from above, where a rising convex curve lets it not miss."""
    half = 4.0 * ratio
    for _ in range(60):
        miss = _sag_ratio(half) - ratio
        if miss <= 1e-15 * ratio:
            break
        slope = (math.sinh(half) - 2.0 * _sag_ratio(half)) / (2.0 * half)
        half -= miss / slope
    return half


def _half_from_excess(ratio: float) -> float:
    """Return x with sinh x / x - 1 = `ratio`; Newton from above, as in `_half_from_sag`."""
    half = math.sqrt(6.0 * ratio)
    for _ in range(60):
        value = _sinhc_less_one(half)
        if value - ratio <= 1e-15 * ratio:
            break
        slope = (math.cosh(half) - 1.0 - value) / half
        half -= (value - ratio) / slope
    return half
