"""From a straightened crop to candidates, and which of them is sure enough to be shown.

When a match is accepted. Two things must hold: start or stop is really there (the *anchor*, in nats better than
chance), and the best issued number holds at least e^E of the likelihood of all 10^10 strings of five pairs together
(the *evidence* E, 0 at best).

The budget is one false accept in a million frames. Argued from the model: at most e^-E strings can each hold e^E of
the likelihood. Texture knows nothing of which numbers were issued, and those are scattered; so the chance that one of
N issued numbers is among these strings is at most e^-E N / 10^10. A frame of texture brings A candidates that look as
much like a label as this one or more, so asking for evidence E where a candidate looks at least so much like a label
lets A e^-E N / 10^10 of them pass: the more a candidate looks like a label and the fewer the issued numbers, the less
evidence is asked for. This is done in a few steps of E, and the steps share the budget (`_STEPS`), so that their sum
keeps it. Where even certainty is not enough nothing is accepted.

How much a candidate looks like a label (its *likeness*) is the likelihood that a label of whatever number lies there,
over that of texture: start and stop, the mean likelihood over the values of each place, less what the unevenness of
the modules makes unlikely. How A depends on it was counted on drawn frames without a label, apart for candidates with
none, one, and two or more places that say nothing at all (*blank*: the likelihood is spread over more than a dozen
values), because texture fits some character everywhere while a torn label has such places. The exponentials of
`_TEXTURE` lie above these counts:

    likeness        22      26      30      34      38      42      46      50      54
    none blank      0.698   0.595   0.453   0.279   0.138   0.058   0.011   0.004   0.001
    one blank       0.148   0.104   0.060   0.025   0.009   0.001   0.001   0       0
    two or more     0.016   0.010   0.004   0       0       0       0       0       0

(800 frames, 797 candidates; the greatest evidence among them was -9.5.) So the model gives less than one false accept
in a million frames for any number of issued labels and however weak start or stop; with the counted candidates it is
0.4 with 1,000 issued numbers, 0.2 with 20,000 and 0.1 with 200,000. `tests/bench/run labels` counts A again beside
what is allowed for, works out the model's false accepts from it, and counts wrong reads on frames without a label,
with other symbols and with labels never issued.

What the model does not cover: a torn label that was never issued but agrees with an issued one in what is left of it.
With three legible pairs that happens by chance for 2 % of such labels at 20,000 issued numbers, with four for 0.02 %;
`LOWEST_EVIDENCE` lets at most 0.05 % pass. So a matched number is shown as such and asks for a person's yes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from labels.reading import templates as tp
from labels.reading.arrays import Floats
from labels.reading.match import PAIR_VALUES, IssuedIndex, Match, match_issued, match_well_formed
from labels.reading.rectify import Crop, flat_profile
from labels.reading.search import Geometry, find_geometries, score_profile
from labels.reading.weigh import Weighed, improve, polish, warp, weigh

_GEOMETRIES = 3
_ROUGH = 6
_IMPROVED = 3
# A rough look that promises less has never been improved to an accepted number. [nats]
_LEAST_PROMISE = 20.0
_ROUNDS = 3
# Less evidence than this never becomes enough. [nats]
_WORTH_POLISHING = -14.0
FALSE_ACCEPTS_A_FRAME = 1e-6
ALL_STRINGS = 1e10
LEAST_ANCHOR = 7.0
# However strong the anchor, a number with less than this share of the likelihood is a guess. [nats]
LOWEST_EVIDENCE = -5.5
# A place whose likelihood is spread over more values than this says nothing.
_BLANK_SPREAD = 12.0
# For none, one, two or more blank places: at which likeness texture brings how many candidates a frame, by how many
# nats they fall to a third from there, and the most there are. See above.
_TEXTURE = ((42.0, 0.062, 3.3, 1.2), (34.0, 0.028, 4.0, 0.35), (29.0, 0.0064, 2.2, 0.06))
# For the same classes: the evidence a step asks for, and its share of the budget.
_STEPS = (((-0.3, 0.1), (-2.5, 0.03), (LOWEST_EVIDENCE, 0.02)),
          ((-1.0, 0.12), (-2.5, 0.07), (LOWEST_EVIDENCE, 0.06)),
          ((LOWEST_EVIDENCE, 0.6),))
# Without an issued set both ends must be there and one string must hold nearly all the likelihood.
LEAST_BOTH_ANCHORS = 12.0
LEAST_FREE_EVIDENCE = -1e-3


@dataclass(frozen=True, slots=True)
class Candidate:
    """A number that a crop may show.

    Attributes:
        match: The number and its evidence.
        start, stop: How much better start and stop fit than chance. [nats]
        table: Log likelihoods it was matched on, shape (6, 103).
        likeness: How much likelier a label is here than texture, whatever its number. [nats]
    """

    match: Match
    start: float
    stop: float
    table: Floats
    likeness: float


def candidates(crop: Crop, issued: IssuedIndex | None) -> Iterator[Candidate]:
    """Yield candidate numbers of a crop, both ways round."""
    profile = flat_profile(crop.rows)
    for rows, row in ((crop.rows, profile), (crop.rows[:, ::-1], np.ascontiguousarray(profile[::-1]))):
        geometries = [(one, scores.blur) for scores in score_profile(row)
                      for one in find_geometries(scores, _GEOMETRIES)]
        geometries = sorted(geometries, key=lambda pair: -pair[0].score)[:_ROUGH]
        rough = [(weigh(row, one, tp.FINAL_BLURS.index(blur)), one) for one, blur in geometries]
        promising = [(_promise(weighed, issued), geometry) for weighed, geometry in rough]
        ranked = sorted(promising, key=lambda pair: -pair[0])[:_IMPROVED]
        made = [_improved(rows, row, geometry, issued) for promise, geometry in ranked if promise >= _LEAST_PROMISE]
        if made:
            yield max(made, key=lambda one: one.match.evidence)


def _promise(weighed: Weighed, issued: IssuedIndex | None) -> float:
    """Return how much a rough look promises: by the best issued number where an issued set is known."""
    if issued is None:
        return weighed.worth
    return weighed.start + weighed.stop + issued.best(weighed.table)[1]


def _improved(rows: Floats, profile: Floats, geometry: Geometry, issued: IssuedIndex | None) -> Candidate:
    """Return the candidate of a geometry after improving it, the promising ones with more care."""
    best = weigh(profile, geometry)
    for _ in range(_ROUNDS):
        moved = improve(profile, geometry, best.blur)
        other = weigh(profile, moved)
        if other.worth <= best.worth:
            break
        best, geometry = other, moved
    one = _candidate(best, geometry, issued)
    if one.match.evidence < _WORTH_POLISHING:
        return one
    # Now that the width of a module is known, brightness and contrast can be evened out over the right length.
    profile = flat_profile(np.ascontiguousarray(rows), geometry.module_samples)
    geometry = polish(profile, geometry, best.blur)
    return _candidate(weigh(profile, geometry), geometry, issued)


def _candidate(weighed: Weighed, geometry: Geometry, issued: IssuedIndex | None) -> Candidate:
    like = likeness(weighed.table, weighed.start, weighed.stop) - float(warp(geometry.cubic))
    return candidate_of_table(weighed.table, weighed.start, weighed.stop, like, issued)


def candidate_of_table(table: Floats, start: float, stop: float, like: float,
                       issued: IssuedIndex | None) -> Candidate:
    """Return the likeliest number of a table, issued where an issued set is known, else well-formed."""
    match = match_issued(table, issued) if issued is not None else match_well_formed(table)
    return Candidate(match, start, stop, table, like)


def likeness(table: Floats, start: float, stop: float) -> float:
    """Return how much likelier than texture a label is, whatever its number: each place's mean over its values.

    Args:
        table: Log likelihoods, shape (6, 103).
        start, stop: How much better start and stop fit than chance; a missing end costs nothing. [nats]
    """
    peaks = table[:, :PAIR_VALUES].max(axis=1)
    means = np.log(np.exp(table[:, :PAIR_VALUES] - peaks[:, None]).mean(axis=1)) + peaks
    return max(start, 0.0) + max(stop, 0.0) + float(means.sum())


def blank_places(table: Floats) -> int:
    """Return how many of the six places say nothing about their character.

    Args:
        table: Log likelihoods, shape (6, 103).
    """
    likelihood = np.exp(table[:, :PAIR_VALUES] - table[:, :PAIR_VALUES].max(axis=1, keepdims=True))
    share = likelihood / likelihood.sum(axis=1, keepdims=True)
    spread = np.exp(-(share * np.log(share + 1e-30)).sum(axis=1))
    return int((spread > _BLANK_SPREAD).sum())


def texture_candidates(like: float, blank: int) -> float:
    """Return how many candidates that look as much like a label as this a frame of mere texture brings.

    Args:
        like: How much likelier a label is than texture. [nats]
        blank: How many places are blank.
    """
    at, count, fall, most = _TEXTURE[min(blank, 2)]
    return min(most, count * math.exp(-(like - at) / fall))


def least_evidence(like: float, blank: int, issued: int) -> float:
    """Return the evidence a match must have to keep the budget of false accepts, infinite when none is enough. [nats]

    Args:
        like: How much likelier a label is than texture. [nats]
        blank: How many of the six places are blank.
        issued: How many numbers are issued.
    """
    candidates_a_frame = texture_candidates(like, blank)
    within = [evidence for evidence, share in _STEPS[min(blank, 2)]
              if candidates_a_frame * math.exp(-evidence) * issued / ALL_STRINGS <= share * FALSE_ACCEPTS_A_FRAME]
    return min(within, default=math.inf)


def is_sure(candidate: Candidate, issued: IssuedIndex | None) -> bool:
    """Return whether a candidate may be shown as the label's number."""
    if issued is None:
        both = min(candidate.start, candidate.stop) >= LEAST_BOTH_ANCHORS
        return both and candidate.match.evidence >= LEAST_FREE_EVIDENCE
    anchor = max(candidate.start, candidate.stop)
    least = least_evidence(candidate.likeness, blank_places(candidate.table), len(issued))
    return anchor >= LEAST_ANCHOR and candidate.match.evidence >= least
