"""When a match is accepted: the budget of false accepts and its rules."""

import numpy as np
import pytest

from labels.reading import decide
from labels.reading.decide import Candidate, is_sure, least_evidence, texture_candidates
from labels.reading.match import IssuedIndex, Match

TABLE = np.zeros((6, 103), np.float32)


def _candidate(evidence: float, start: float, stop: float) -> Candidate:
    return Candidate(Match("1000000000", evidence, 5.0), start, stop, TABLE)


@pytest.mark.parametrize("anchor", [13.0, 16.0, 19.0, 24.0])
@pytest.mark.parametrize("issued", [500, 3_000, 8_000])
def test_least_evidence__keeps_the_budget(anchor, issued):
    """Candidates of texture times strings times the share issued stays within one in a million frames."""
    strings = np.exp(-least_evidence(anchor, issued))
    assert texture_candidates(anchor) * strings * issued / decide.ALL_STRINGS <= 1.0001 * decide.FALSE_ACCEPTS_A_FRAME


def test_least_evidence__asks_for_more_where_the_anchor_is_weak():
    """A weaker anchor and more issued numbers ask for more evidence."""
    assert least_evidence(12.0, 20_000) > least_evidence(20.0, 20_000)
    assert least_evidence(18.0, 20_000) > least_evidence(18.0, 1_000)


def test_texture_candidates__lie_above_what_was_counted():
    """The exponential is no lower than the counts on frames without a label."""
    for anchor, counted in ((10, 0.81), (12, 0.51), (14, 0.28), (16, 0.091), (18, 0.038), (20, 0.0)):
        assert texture_candidates(anchor) >= 0.99 * counted


def test_is_sure__needs_start_or_stop(issued):
    """Evidence without start or stop is not believed."""
    index = IssuedIndex(issued)
    assert is_sure(_candidate(-0.01, 15.0, -2.0), index)
    assert not is_sure(_candidate(-0.01, 6.0, 6.0), index)


def test_is_sure__without_issued_set_needs_both_ends():
    """Where no issued set is known, start and stop must both be there."""
    assert is_sure(_candidate(-1e-5, 15.0, 15.0), None)
    assert not is_sure(_candidate(-1e-5, 15.0, 8.0), None)
    assert not is_sure(_candidate(-0.1, 15.0, 15.0), None)
