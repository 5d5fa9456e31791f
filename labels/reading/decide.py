"""From a straightened crop to candidates, and which of them is sure enough to be shown.

When a match is accepted. Two things must hold: start or stop is really there (the *anchor*, in nats better than
chance), and the best issued number holds at least e^E of the likelihood of all 10^10 strings of five pairs together
(the *evidence* E, 0 at best).

The budget is one false accept in a million frames. Argued from the model: at most e^-E strings can each hold e^E of
the likelihood. Texture knows nothing of which numbers were issued, and those are scattered; so the chance that one of
N issued numbers is among these strings is at most e^-E N / 10^10. A frame of texture brings A candidates that look as
much like a label as this one, so A e^-E N / 10^10 must stay below the budget: the better the anchor and the fewer the
issued numbers, the less evidence is asked for.

How A was counted: 1,334 drawn frames without a label gave 990 candidates. Texture that has a start or a stop nearly
always fits some character everywhere, while a torn label has places that say nothing at all (*blank*: the likelihood
is spread over more than a dozen values). Candidates a frame with an anchor of at least

    anchor          8      10     12     14     16     18     20
    none blank      0.520  0.387  0.241  0.103  0.040  0.010  0.004
    one blank       0.057  0.049  0.037  0.019  0.007  0.004  0.001
    two or more     0.003  0.002  0.001  0.001  0.001  0      0

The exponentials below lie above these; they were set on 600 other frames, which gave up to half as many again. The
three classes share the budget as told there. A complete label has nearly all the likelihood anyway and must have it;
with 20,000 issued numbers and a weak anchor the model then gives about 1.5 in a million frames, with 10,000 less than
one. The greatest evidence among the 990 candidates was -5.9: a threshold of -5 for all alike would be near it.
`tests/bench/run labels` counts all this again beside what is allowed for, and wrong reads on frames without a label,
with other symbols and with labels never issued.

What the model does not cover: a torn label that was never issued but agrees with an issued one in what is left of it.
With three legible pairs that happens by chance for 2 % of such labels at 20,000 issued numbers, with four for 0.02 %.
So a matched number is shown as such and asks for a person's yes.
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
from labels.reading.weigh import Weighed, improve, weigh

_GEOMETRIES = 3
_ROUGH = 6
_IMPROVED = 3
# A rough look that promises less has never been improved to an accepted number. [nats]
_LEAST_PROMISE = 17.0
_ROUNDS = 3
FALSE_ACCEPTS_A_FRAME = 1e-6
ALL_STRINGS = 1e10
LEAST_ANCHOR = 8.5
# However strong the anchor, a number with less than this share of the likelihood is a guess. [nats]
LOWEST_EVIDENCE = -5.0
HIGHEST_EVIDENCE = -0.1
# A place whose likelihood is spread over more values than this says nothing.
_BLANK_SPREAD = 12.0
# For none, one, two or more blank places: texture's candidates a frame at an anchor of 12, by how many nats of anchor
# they fall to a third, the most there are, and the class's share of the budget. See above.
_TEXTURE = ((0.5, 2.2, 0.75, 0.2), (0.07, 2.6, 0.1, 0.2), (0.01, 4.0, 0.015, 0.6))
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
    """

    match: Match
    start: float
    stop: float
    table: Floats

    @property
    def worth(self) -> float:
        """How much the candidate looks like a label at all. [nats]"""
        return self.start + self.stop + float(self.table.max(axis=1).sum())


def candidates(crop: Crop, issued: IssuedIndex | None) -> Iterator[Candidate]:
    """Yield candidate numbers of a crop, both ways round."""
    profile = flat_profile(crop.rows)
    for row in (profile, np.ascontiguousarray(profile[::-1])):
        geometries = [(one, scores.blur) for scores in score_profile(row)
                      for one in find_geometries(scores, _GEOMETRIES)]
        geometries = sorted(geometries, key=lambda pair: -pair[0].score)[:_ROUGH]
        rough = [(weigh(row, one, tp.FINAL_BLURS.index(blur)), one) for one, blur in geometries]
        promising = [(_promise(weighed, issued), geometry) for weighed, geometry in rough]
        ranked = sorted(promising, key=lambda pair: -pair[0])[:_IMPROVED]
        made = [_improved(row, geometry, issued) for promise, geometry in ranked if promise >= _LEAST_PROMISE]
        if made:
            yield max(made, key=lambda one: one.match.evidence)


def _promise(weighed: Weighed, issued: IssuedIndex | None) -> float:
    """Return how much a rough look promises: by the best issued number where an issued set is known."""
    if issued is None:
        return weighed.worth
    return weighed.start + weighed.stop + issued.best(weighed.table)[1]


def _improved(profile: Floats, geometry: Geometry, issued: IssuedIndex | None) -> Candidate:
    """Return the candidate of a geometry after improving it."""
    best = weigh(profile, geometry)
    for _ in range(_ROUNDS):
        geometry = improve(profile, geometry, best.blur)
        other = weigh(profile, geometry)
        if other.worth <= best.worth:
            break
        best = other
    return candidate_of_table(best.table, best.start, best.stop, issued)


def candidate_of_table(table: Floats, start: float, stop: float, issued: IssuedIndex | None) -> Candidate:
    """Return the likeliest number of a table, issued where an issued set is known, else well-formed."""
    match = match_issued(table, issued) if issued is not None else match_well_formed(table)
    return Candidate(match, start, stop, table)


def blank_places(table: Floats) -> int:
    """Return how many of the six places say nothing about their character.

    Args:
        table: Log likelihoods, shape (6, 103).
    """
    likelihood = np.exp(table[:, :PAIR_VALUES] - table[:, :PAIR_VALUES].max(axis=1, keepdims=True))
    share = likelihood / likelihood.sum(axis=1, keepdims=True)
    spread = np.exp(-(share * np.log(share + 1e-30)).sum(axis=1))
    return int((spread > _BLANK_SPREAD).sum())


def texture_candidates(anchor: float, blank: int) -> float:
    """Return how many candidates that look as much like a label as this a frame of mere texture brings.

    Args:
        anchor: How much better than chance the better of start and stop fits. [nats]
        blank: How many places are blank.
    """
    at_12, fall, most, _ = _TEXTURE[min(blank, 2)]
    return min(most, at_12 * math.exp(-(anchor - 12.0) / fall))


def least_evidence(anchor: float, blank: int, issued: int) -> float:
    """Return the evidence a match must have to keep the budget of false accepts. [nats]

    Args:
        anchor: How much better than chance the better of start and stop fits. [nats]
        blank: How many of the six places are blank.
        issued: How many numbers are issued.
    """
    budget = FALSE_ACCEPTS_A_FRAME * _TEXTURE[min(blank, 2)][3]
    strings = budget * ALL_STRINGS / (issued * texture_candidates(anchor, blank))
    return min(HIGHEST_EVIDENCE, max(LOWEST_EVIDENCE, -math.log(strings)))


def is_sure(candidate: Candidate, issued: IssuedIndex | None) -> bool:
    """Return whether a candidate may be shown as the label's number."""
    if issued is None:
        both = min(candidate.start, candidate.stop) >= LEAST_BOTH_ANCHORS
        return both and candidate.match.evidence >= LEAST_FREE_EVIDENCE
    anchor = max(candidate.start, candidate.stop)
    least = least_evidence(anchor, blank_places(candidate.table), len(issued))
    return anchor >= LEAST_ANCHOR and candidate.match.evidence >= least
