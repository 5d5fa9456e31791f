"""Matching on tables of log likelihoods: the sum over all strings, the best issued and the best well-formed number."""

import itertools

import numpy as np
import pytest

from labels.errors import LabelError
from labels.number import Kind, compose, digit_pairs
from labels.reading.match import IssuedIndex, log_sum_of_all_strings, match_issued, match_well_formed
from labels.symbol import symbol_values


def _table(rng, peaks=None, height=0.0):
    table = rng.normal(0, 1, (6, 103)).astype(np.float32)
    for place, value in enumerate(peaks or ()):
        table[place, value] += height
    return table


def test_log_sum_of_all_strings__equals_counting():
    """The sum over classes of the check sum equals the sum over all strings, counted one by one."""
    table = np.full((6, 103), -60.0, np.float32)
    rng = np.random.default_rng(2)
    values = [rng.choice(100, 5, replace=False) for _ in range(5)]
    for place, some in enumerate(values):
        table[place, some] = rng.normal(0, 2, 5)
    table[5] = rng.normal(0, 2, 103)
    total = 0.0
    for pairs in itertools.product(*values):
        check = (105 + sum((place + 1) * pair for place, pair in enumerate(pairs))) % 103
        total += np.exp(sum(float(table[place, pair]) for place, pair in enumerate(pairs)) + float(table[5, check]))
    assert log_sum_of_all_strings(table) == pytest.approx(np.log(total), abs=1e-5)


def test_match_issued__finds_the_number_the_table_shows(issued):
    """A table with the number's characters on top gives the number with certainty."""
    number = issued[123]
    table = _table(np.random.default_rng(3), symbol_values(number)[1:], 9.0)
    found = match_issued(table, IssuedIndex(issued))
    assert found.digits == number
    assert found.evidence > -0.1


def test_match_issued__three_pairs_point_at_one_number(issued):
    """With two of five pairs and the check gone, an issued number is found all the same."""
    number = issued[77]
    table = _table(np.random.default_rng(4)) * 0.1
    for place, pair in enumerate(digit_pairs(number)[:3]):
        table[place, pair] += 12
    assert match_issued(table, IssuedIndex(issued)).digits == number


def test_match_issued__noise_is_no_evidence(issued):
    """On noise the best issued number is far from likely among all strings."""
    index = IssuedIndex(issued)
    best = max(match_issued(_table(np.random.default_rng(seed)) * 3, index).evidence for seed in range(200))
    assert best < -5


def test_match_well_formed__finds_the_number():
    """Without an issued set the likeliest well-formed number is found."""
    number = compose(Kind.UNIT, 3, 99).digits
    table = _table(np.random.default_rng(5), symbol_values(number)[1:], 9.0)
    found = match_well_formed(table)
    assert found.digits == number
    assert found.evidence > -0.1


def test_issued_index__refuses_to_match_against_nothing():
    """An empty issued set is a mistake, not a licence."""
    with pytest.raises(LabelError):
        IssuedIndex([])
