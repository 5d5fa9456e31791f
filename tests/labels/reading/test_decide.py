"""When a match is accepted: the budget of false accepts and its rules."""

import numpy as np
import pytest

from labels.reading import decide
from labels.reading.decide import Candidate, blank_places, is_sure, least_evidence, texture_candidates
from labels.reading.match import IssuedIndex, Match

SHARP = np.zeros((6, 103), np.float32)
SHARP[:, 7] = 15.0
# Candidates a frame counted on 1,334 drawn frames without a label, by anchor, for none, one, two or more blank places.
COUNTED = {
    10: (0.387, 0.049, 0.002), 12: (0.241, 0.037, 0.001), 14: (0.103, 0.019, 0.001), 16: (0.040, 0.007, 0.001),
    18: (0.010, 0.004, 0.0), 20: (0.004, 0.001, 0.0),
}


def _candidate(evidence: float, start: float, stop: float) -> Candidate:
    return Candidate(Match("1000000000", evidence, 5.0), start, stop, SHARP)


@pytest.mark.parametrize("anchor", [16.0, 19.0, 24.0])
@pytest.mark.parametrize("issued", [500, 3_000, 10_000])
def test_least_evidence__keeps_the_budget(anchor, issued):
    """Over the classes, texture's candidates times strings times the share issued stay within one in a million."""
    false = sum(
        texture_candidates(anchor, blank) * np.exp(-least_evidence(anchor, blank, issued)) * issued
        for blank in range(3)) / decide.ALL_STRINGS
    assert false <= 1.05 * decide.FALSE_ACCEPTS_A_FRAME


def test_least_evidence__asks_for_more_where_the_anchor_is_weak():
    """A weaker anchor, more issued numbers and a label without blank places ask for more evidence."""
    assert least_evidence(12.0, 2, 20_000) > least_evidence(20.0, 2, 20_000)
    assert least_evidence(18.0, 0, 20_000) > least_evidence(18.0, 0, 1_000)
    assert least_evidence(18.0, 0, 20_000) > least_evidence(18.0, 2, 20_000)


@pytest.mark.parametrize(("anchor", "counted"), COUNTED.items())
def test_texture_candidates__lie_above_what_was_counted(anchor, counted):
    """The exponentials are no lower than the counts on frames without a label."""
    for blank in range(3):
        assert texture_candidates(anchor, blank) >= counted[blank]


def test_blank_places__counts_places_that_say_nothing():
    """A flat row is blank, a peaked one is not."""
    table = SHARP.copy()
    table[1] = table[4] = 0.0
    assert (blank_places(SHARP), blank_places(table)) == (0, 2)


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
