"""When a match is accepted: the budget of false accepts and its rules."""

import numpy as np
import pytest

from labels.reading import decide
from labels.reading.decide import (
    Candidate,
    blank_places,
    is_sure,
    least_evidence,
    likeness,
    texture_candidates,
)
from labels.reading.match import IssuedIndex, Match

SHARP = np.zeros((6, 103), np.float32)
SHARP[:, 7] = 15.0
# Candidates a frame counted on 800 drawn frames without a label, by likeness, for none, one, two or more blank places.
COUNTED = {
    22: (0.698, 0.148, 0.016), 26: (0.595, 0.104, 0.010), 30: (0.453, 0.060, 0.004), 34: (0.279, 0.025, 0.0),
    38: (0.138, 0.009, 0.0), 42: (0.058, 0.001, 0.0), 46: (0.011, 0.001, 0.0), 50: (0.004, 0.0, 0.0),
    54: (0.001, 0.0, 0.0),
}


def _candidate(evidence: float, start: float, stop: float, like: float = 70.0) -> Candidate:
    return Candidate(Match("1000000000", evidence, 5.0), start, stop, SHARP, like)


@pytest.mark.parametrize("issued", [1, 500, 20_000, 200_000, 2_000_000])
def test_least_evidence__keeps_the_budget(issued):
    """However many numbers, all candidates of texture together, weak starts among them, keep one in a million."""
    likenesses = np.arange(-20.0, 120.0, 0.01)
    false = 0.0
    for blank in range(3):
        candidates = np.array([texture_candidates(like, blank) for like in likenesses])
        accepted = np.array([np.exp(-least_evidence(like, blank, issued)) for like in likenesses])
        false += float((-np.diff(candidates) * accepted[1:]).sum()) * issued / decide.ALL_STRINGS
    assert false <= decide.FALSE_ACCEPTS_A_FRAME


def test_least_evidence__asks_for_more_where_little_looks_like_a_label():
    """Less likeness, more issued numbers and a label without blank places ask for more evidence."""
    assert least_evidence(31.0, 2, 20_000) > least_evidence(34.0, 2, 20_000)
    assert least_evidence(48.0, 0, 20_000) > least_evidence(48.0, 0, 1_000)
    assert least_evidence(36.0, 1, 20_000) > least_evidence(36.0, 2, 20_000)


@pytest.mark.parametrize(("like", "counted"), COUNTED.items())
def test_texture_candidates__lie_above_what_was_counted(like, counted):
    """The exponentials are no lower than the counts on frames without a label."""
    for blank in range(3):
        assert texture_candidates(like, blank) >= counted[blank]


def test_likeness__is_the_mean_likelihood_over_values():
    """Flat places say nothing, a certain one says its height less the choice among a hundred, a missing end nothing."""
    one = np.zeros((6, 103))
    one[2, 41] = 30.0
    assert likeness(np.zeros((6, 103)), -3.0, 0.0) == pytest.approx(0.0)
    assert likeness(one, 12.0, -3.0) == pytest.approx(12.0 + 30.0 - np.log(100), abs=1e-6)


def test_is_sure__certain_number_in_what_looks_like_texture_is_not_believed(issued):
    """Evidence among all strings is not enough where texture often looks as much like a label."""
    index = IssuedIndex(issued)
    assert is_sure(_candidate(-0.01, 15.0, 15.0, 70.0), index)
    assert not is_sure(_candidate(-0.01, 15.0, 15.0, 5.0), index)


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
