"""From a straightened crop to candidates, and which of them is sure enough to be shown.

(calibration pending)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from labels.reading import templates as tp
from labels.reading.match import IssuedIndex, Match, Table, match_issued, match_well_formed
from labels.reading.rectify import Crop, Floats, flat_profile
from labels.reading.search import Geometry, find_geometries, score_profile
from labels.reading.weigh import Weighed, improve, weigh

_GEOMETRIES = 3
_ROUGH = 8
_IMPROVED = 3
# A rough look that promises less has never been improved to an accepted number. [nats]
_LEAST_PROMISE = 14.0
_ROUNDS = 3
LEAST_ANCHOR = 4.0
LEAST_EVIDENCE = -5.0


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
    table: Table

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


def candidate_of_table(table: Table, start: float, stop: float, issued: IssuedIndex | None) -> Candidate:
    """Return the likeliest number of a table, issued where an issued set is known, else well-formed."""
    match = match_issued(table, issued) if issued is not None else match_well_formed(table)
    return Candidate(match, start, stop, table)


def is_sure(candidate: Candidate, issued: IssuedIndex | None) -> bool:
    """Return whether a candidate may be shown as the label's number."""
    if issued is None:
        both = min(candidate.start, candidate.stop) >= LEAST_ANCHOR
        return both and candidate.match.evidence > -0.01
    return (candidate.match.evidence > LEAST_EVIDENCE
            and max(candidate.start, candidate.stop) >= LEAST_ANCHOR)
