"""The whole chain loop in one balance: links times worn pitch against the way round plus the slack.

Sag, elongation, centre distance and link count are measured apart; they must fit together. A gap of whole
links shows a wrong count, any other gap a measuring slip. Source: exact geometry.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.calc import chain, guards
from kiosk.language import number, tr

FITS = "fits"
WRONG_COUNT = "wrong link count"
SLIP = "measuring slip"
UNCERTAIN = "cannot tell"

# Two standard uncertainties: a gap beyond them is not chance.
_COVERAGE = 2.0


@dataclass(frozen=True)
class LoopBalance:
    """The balance of a loop.

    Args:
        chain_mm: Length of the chain, links times worn pitch. [mm]
        path_mm: Way round both sprockets, plus the slack. [mm]
        difference_mm: Chain less path. [mm]
        standard_uncertainty_mm: u of the difference. [mm]
        links_off: How many links the count is too high; below zero too low. [count]
        finding: 'fits', 'wrong link count', 'measuring slip' or 'cannot tell'.
        words: One sentence for the mechanic.
    """

    chain_mm: float
    path_mm: float
    difference_mm: float
    standard_uncertainty_mm: float
    links_off: int
    finding: str
    words: str


@dataclass(frozen=True)
class Loop:
    """What is known of a loop.

    Args:
        links: Links counted. [count] 2 or more
        pitch_mm: Pitch of the new chain. [mm] above 0
        driver_teeth: [count] 4 or more
        driven_teeth: [count] 4 or more
        centre_distance_mm: Measured. [mm]
        elongation_percent: Measured. [%] -1 to 20
        excess_mm: Length of the hanging strands beyond their straight line, from their sag. [mm] 0 or more
    """

    links: int
    pitch_mm: float
    driver_teeth: int
    driven_teeth: int
    centre_distance_mm: float
    elongation_percent: float
    excess_mm: float


def balance(loop: Loop, centre_uncertainty_mm: float, elongation_uncertainty_percent: float,
            excess_uncertainty_mm: float = 0.0) -> LoopBalance:
    """Return whether link count, wear, centre distance and slack of a loop fit together.

    Args:
        loop: Count and measurements.
        centre_uncertainty_mm: Standard uncertainty of the centre distance. [mm] 0 or more
        elongation_uncertainty_percent: Standard uncertainty of the elongation. [%] 0 or more
        excess_uncertainty_mm: Standard uncertainty of the excess length. [mm] 0 or more

    Returns:
        The balance and what it shows. When twice the uncertainty reaches half a link, one link more or less
        cannot be told.

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Exact geometry: n p (1 + e) = X(C) p (1 + e) + excess.

    Example, by hand: equal sprockets, 2 x 800 + 17 x 20 is 97 links of 20 mm; one more was counted:
        >>> balance(Loop(98, 20.0, 17, 17, 800.0, 0.0, 0.0), 0.5, 0.05).words
        'The chain must have 97 links, not 98: count again.'
    """
    links = guards.count("links", loop.links, 2, chain.MOST_LINKS)
    percent = guards.number("elongation_percent", loop.elongation_percent, "%", -1.0, 20.0)
    pitch = guards.positive("pitch_mm", loop.pitch_mm, "mm") * (1.0 + percent / 100.0)
    excess = guards.number("excess_mm", loop.excess_mm, "mm", 0.0)
    around = chain.chain_length(loop.centre_distance_mm, pitch, loop.driver_teeth, loop.driven_teeth)
    difference = (links - around.pitches_exact) * pitch - excess
    u = math.hypot(
        2.0 * guards.number("centre_uncertainty_mm", centre_uncertainty_mm, "mm", 0.0),
        _straight_links(around.pitches_exact, loop) * pitch / 100.0
        * guards.number("elongation_uncertainty_percent", elongation_uncertainty_percent, "%", 0.0),
        guards.number("excess_uncertainty_mm", excess_uncertainty_mm, "mm", 0.0),
    )
    off, finding = _finding(difference, u, pitch)
    return LoopBalance(links * pitch, around.pitches_exact * pitch + excess, difference, u, off, finding,
                       _words(finding, links, off, difference))


def _straight_links(pitches: float, loop: Loop) -> float:
    """Return the links off the sprockets: a longer pitch takes the same number of teeth round them."""
    return max(0.0, pitches - (loop.driver_teeth + loop.driven_teeth) / 2.0)


def _finding(difference: float, u: float, pitch: float) -> tuple[int, str]:
    """Return links too many, and what the difference shows."""
    if _COVERAGE * u >= pitch / 2.0:
        return 0, UNCERTAIN
    off = round(difference / pitch)
    rest = difference - off * pitch
    if abs(rest) > _COVERAGE * u:
        return 0, SLIP
    return off, WRONG_COUNT if off else FITS


def _words(finding: str, links: int, off: int, difference: float) -> str:
    if finding == FITS:
        return tr("Link count, wear, centre distance and slack fit together.")
    if finding == WRONG_COUNT:
        return tr("The chain must have {links} links, not {links_2}: count again.").format(
                   links=links - off, links_2=links)
    if finding == UNCERTAIN:
        return tr("The measurements are too coarse to check the link count: measure the centre distance finer.")
    more = "longer" if difference > 0.0 else "shorter"
    return (tr("The chain comes out {difference} mm {more} than its way round: measure centre distance, sag and "
               "elongation again.").format(difference=number(abs(difference), ".1f"), more=more))
