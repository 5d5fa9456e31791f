"""From a straightened crop to candidates, and which of them is sure enough to be shown.

(calibration pending)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from labels.reading import templates as tp
from labels.reading.match import IssuedIndex, Match, Table, match_issued, match_well_formed
from labels.reading.rectify import Crop, flat_profile
from labels.reading.search import find_geometries, score_profile
from labels.reading.weigh import weigh

_GEOMETRIES = 4
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
    profile = flat_profile(crop.strips)
    for row in (profile, np.ascontiguousarray(profile[::-1])):
        scores = score_profile(row)
        if max(float(scores.start.max()), float(scores.stop.max())) < 3.0:
            continue
        best = None
        for geometry in find_geometries(scores, _GEOMETRIES):
            weighed = weigh(row, geometry, tp.FINAL_BLURS)
            one = candidate_of_table(weighed.table, weighed.start, weighed.stop, issued)
            if best is None or one.match.evidence > best.match.evidence:
                best = one
        if best is not None:
            yield best


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
