"""How far a take-up goes for a wanted sag, and how a mechanic turns it: turns and flats, in half turns.

Moving the shaft out lengthens the span and takes the slack out of the strand that hangs: of one strand when
the other is tight, of both when neither is. The movement is small (1.6 mm halve the sag of a 1 m strand from
4 to 2 %), so screws go in half turns with a measurement between. Source: statics; the turning is common
practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.calc import guards, span
from kiosk.language import tr, trn

FLATS_PER_TURN = 6
"""A hexagon nut or screw head. [count]"""

# A strand deeper than this is not set by a formula but by looking for what came loose.
_DEEPEST_RATIO = 0.2


@dataclass(frozen=True)
class TakeupMovement:
    """Movement of the shaft for a wanted sag; above zero is out, which tightens.

    Args:
        movement_mm: Catenary. [mm]
        movement_parabola_mm: Parabola, less than 1 % more below 8 % sag. [mm]
    """

    movement_mm: float
    movement_parabola_mm: float


@dataclass(frozen=True)
class Turning:
    """What to turn.

    Args:
        direction: 'out' (tightens), 'in' (slackens) or 'leave'.
        turns: Whole turns. [count]
        flats: Sixths of a turn beyond the whole turns. [count] 0 to 5
        movement_mm: What that moves the shaft, above zero out. [mm]
        left_over_mm: What the nearest flat leaves undone. [mm]
        is_in_reach: False when the take-up has not so much travel left.
        words: One sentence for the mechanic.
    """

    direction: str
    turns: int
    flats: int
    movement_mm: float
    left_over_mm: float
    is_in_reach: bool
    words: str


def takeup_for_sag(span_mm: float, sag_now_mm: float, sag_wanted_mm: float, hanging_strands: int = 1,
                   angle_degrees: float = 0.0) -> TakeupMovement:
    """Return how far both take-ups move the shaft to bring a strand to a wanted hanging sag.

    Args:
        span_mm: Straight length of the strand between its sprockets. [mm] above 0
        sag_now_mm: Hanging sag, square to the strand's line. [mm] 0 up to a fifth of the span
        sag_wanted_mm: Hanging sag wanted; some must remain. [mm] above 0, up to a fifth of the span
        hanging_strands: 1 when the other strand is tight, 2 when both hang. [count]
        angle_degrees: Angle of the strand to the horizontal. [°] 0 to 85

    Returns:
        Movement of the shaft. For two hanging strands it is about twice that for one.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Statics, equal sprockets. One strand: e falls by twice the movement, (4/3)(s0**2 - s1**2)/L; two: each
        keeps its length, (8/3)(s0**2 - s1**2)/L.

    Example, by hand: 4/3 x (1600 - 400) / 1000:
        >>> round(takeup_for_sag(1000.0, 40.0, 20.0).movement_parabola_mm, 9)
        1.6
    """
    length = guards.positive("span_mm", span_mm, "mm")
    now = guards.number("sag_now_mm", sag_now_mm, "mm", 0.0, _DEEPEST_RATIO * length)
    wanted = guards.positive("sag_wanted_mm", sag_wanted_mm, "mm", _DEEPEST_RATIO * length)
    strands = guards.count("hanging_strands", hanging_strands, 1, 2)
    parabola = strands * 4.0 / 3.0 * (now**2 - wanted**2) / length
    return TakeupMovement(_exact_movement(length, now, wanted, strands, angle_degrees), parabola)


def sag_after_takeup_mm(span_mm: float, sag_now_mm: float, movement_mm: float, hanging_strands: int = 1,
                        angle_degrees: float = 0.0) -> float:
    """Return the hanging sag that a movement of the take-ups leaves.

    Args:
        span_mm: Straight length of the strand before the move. [mm] above 0
        sag_now_mm: Hanging sag before it. [mm] 0 up to a fifth of the span
        movement_mm: Movement of the shaft, above zero out. [mm] within a fifth of the span
        hanging_strands: 1 when the other strand is tight, 2 when both hang. [count]
        angle_degrees: Angle of the strand to the horizontal. [°] 0 to 85

    Returns:
        Sag after the move; 0 when the strand comes tight. [mm]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Statics; the inverse of `takeup_for_sag`.

    Example: 1.6 mm out take a 40 mm sag down to about 20 mm:
        >>> round(sag_after_takeup_mm(1000.0, 40.0, 1.6))
        20
    """
    length = guards.positive("span_mm", span_mm, "mm")
    now = guards.number("sag_now_mm", sag_now_mm, "mm", 0.0, _DEEPEST_RATIO * length)
    reach = _DEEPEST_RATIO * length
    movement = guards.number("movement_mm", movement_mm, "mm", -reach, reach)
    strands = guards.count("hanging_strands", hanging_strands, 1, 2)
    excess = span.inclined_excess_mm(length, angle_degrees, now) - _loss_per_mm(strands) * movement
    return span.inclined_sag_mm(length + movement, angle_degrees, max(0.0, excess))


def turning(movement_mm: float, takeup_thread_pitch_mm: float, travel_left_mm: float | None = None) -> Turning:
    """Return a movement of a threaded take-up in turns and flats.

    Args:
        movement_mm: Movement of the shaft, above zero out. [mm]
        takeup_thread_pitch_mm: Movement for one turn. [mm] above 0
        travel_left_mm: What the take-up can still go in that direction, None when it is not known. [mm] 0 or
            more

    Returns:
        The nearest whole number of flats, and the sentence for it.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Common practice, no source: half turns, both sides alike, a measurement between.

    Example, by hand: 1.6 mm on a 2 mm thread are 0.8 turns, 4.8 flats:
        >>> turning(1.6, 2.0).words
        'Turn both take-ups out by 5 flats, in half turns, and measure again after each half turn.'
    """
    wanted = guards.number("movement_mm", movement_mm, "mm")
    pitch = guards.positive("takeup_thread_pitch_mm", takeup_thread_pitch_mm, "mm")
    flats = round(abs(wanted) / pitch * FLATS_PER_TURN)
    moved = flats * pitch / FLATS_PER_TURN * (1.0 if wanted >= 0.0 else -1.0)
    in_reach = travel_left_mm is None or abs(moved) <= guards.number("travel_left_mm", travel_left_mm, "mm", 0.0)
    direction = "leave" if flats == 0 else "out" if wanted > 0.0 else "in"
    return Turning(direction, flats // FLATS_PER_TURN, flats % FLATS_PER_TURN, moved, wanted - moved, in_reach,
                   _thread_words(direction, flats, in_reach))


def grease_tensioner_words(movement_mm: float) -> str:
    """Return the sentence for a grease-filled tensioner, which has no thread to count.

    Args:
        movement_mm: Movement of the shaft, above zero out. [mm]

    Returns:
        One sentence.

    Raises:
        OutOfRange: not an ordinary number.

    Source:
        Common practice, no source.

    Example:
        >>> grease_tensioner_words(-2.0)
        'Let a little grease out of both tensioners and measure again after half a turn of the shaft.'
    """
    wanted = guards.number("movement_mm", movement_mm, "mm")
    if wanted == 0.0:
        return tr("Leave both tensioners as they are.")
    act = tr("Pump a little grease into") if wanted > 0.0 else tr("Let a little grease out of")
    return tr("{act} both tensioners and measure again after half a turn of the shaft.").format(act=act)


def _thread_words(direction: str, flats: int, in_reach: bool) -> str:
    if direction == "leave":
        return tr("Leave both take-ups as they are: less than half a flat is missing.")
    if not in_reach:
        return (tr("The take-ups would have to go {direction} by {in_turns_and_flats}, and have not so much travel "
                   "left.").format(direction=direction, in_turns_and_flats=in_turns_and_flats(flats)))
    steps = tr(", in half turns, and measure again after each half turn.") if flats > FLATS_PER_TURN // 2 else \
        tr(" and measure again.")
    return tr("Turn both take-ups {direction} by {in_turns_and_flats}{steps}").format(
               direction=direction, in_turns_and_flats=in_turns_and_flats(flats), steps=steps)


def in_turns_and_flats(flats: int) -> str:
    """Return a number of flats as turns and flats, such as '1 turn and 2 flats'.

    Args:
        flats: Sixths of a turn. [count] 0 or more

    Returns:
        Words.

    Raises:
        OutOfRange: not a whole number, or negative.

    Source:
        Common practice, no source.

    Example:
        >>> in_turns_and_flats(8)
        '1 turn and 2 flats'
    """
    turns, rest = divmod(guards.count("flats", flats), FLATS_PER_TURN)
    parts = [trn("{n} turn", "{n} turns", turns).format(n=turns)] if turns else []
    if rest or not turns:
        parts.append(trn("{n} flat", "{n} flats", rest).format(n=rest))
    return " and ".join(parts)


def _loss_per_mm(strands: int) -> float:
    """Return how much excess each hanging strand loses for a millimetre of movement."""
    return 2.0 if strands == 1 else 1.0


def _exact_movement(length: float, now: float, wanted: float, strands: int, angle_degrees: float) -> float:
    """Return the movement by the catenary; the wanted excess hardly changes with the span, so repeating settles."""
    excess_now = span.inclined_excess_mm(length, angle_degrees, now)
    movement = 0.0
    for _ in range(60):
        excess = span.inclined_excess_mm(length + movement, angle_degrees, wanted)
        better = (excess_now - excess) / _loss_per_mm(strands)
        if abs(better - movement) <= 1e-13 * length:
            return better
        movement = better
    return movement
