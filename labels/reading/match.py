"""Which number a profile shows, once it is known where its characters lie.

A table holds the log likelihood of each character value at each of six places (five pairs and the check). An issued
number's score is six look-ups and a sum. The evidence compares the best issued number with all strings of five pairs
and their check, issued or not, which is a sum over the check sum's 103 classes and exact.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from labels.errors import LabelError
from labels.number import PAIRS, LabelNumber, is_label_number, parse
from labels.reading.arrays import Floats
from labels.symbol import CHECK_MODULUS, START_C

VALUES = 103
PAIR_VALUES = 100


class IssuedIndex:
    """The issued numbers, ready for six look-ups each.

    Args:
        numbers: Every issued number.
    """

    def __init__(self, numbers: Iterable[LabelNumber | str]) -> None:
        self.digits = tuple(dict.fromkeys(
            one.digits if isinstance(one, LabelNumber) else parse(one).digits for one in numbers))
        self._known = frozenset(self.digits)
        if not self.digits:
            raise LabelError("There are no issued numbers to match against.")
        raw = np.frombuffer("".join(self.digits).encode(), np.uint8).reshape(-1, PAIRS, 2).astype(np.int32) - 48
        pairs = raw[:, :, 0] * 10 + raw[:, :, 1]
        check = (START_C + pairs @ np.arange(1, PAIRS + 1)) % CHECK_MODULUS
        values = np.concatenate([pairs, check[:, None]], axis=1)
        self._look_up = np.ascontiguousarray((values + VALUES * np.arange(PAIRS + 1)).T)

    def __len__(self) -> int:
        return len(self.digits)

    def __contains__(self, digits: object) -> bool:
        return digits in self._known

    def scores(self, table: Floats) -> Floats:
        """Return each issued number's log likelihood, shape (numbers,)."""
        flat = table.reshape(-1)
        total: Floats = flat[self._look_up[0]]
        for places in self._look_up[1:]:
            total += flat[places]
        return total

    def best(self, table: Floats) -> tuple[int, float]:
        """Return which issued number is likeliest, and its log likelihood."""
        scores = self.scores(table)
        at = int(scores.argmax())
        return at, float(scores[at])


@dataclass(frozen=True, slots=True)
class Match:
    """The likeliest number of a profile.

    Attributes:
        digits: The number.
        evidence: Its log likelihood less that of all strings together: 0 is certainty. [nats]
        gap: Its log likelihood less that of the second best candidate. [nats]
    """

    digits: str
    evidence: float
    gap: float


_SHIFTS = [(np.arange(CHECK_MODULUS)[None, :] - (place + 1) * np.arange(PAIR_VALUES)[:, None]) % CHECK_MODULUS
           for place in range(PAIRS)]


def log_sum_of_all_strings(table: Floats) -> float:
    """Return the log of the summed likelihood of all strings of five pairs with their check.

    Args:
        table: Log likelihoods, shape (6, 103): five pairs and the check.
    """
    peaks = table.max(axis=1)
    likelihood = np.exp((table - peaks[:, None]).astype(np.float64))
    state = np.zeros(CHECK_MODULUS)
    state[START_C % CHECK_MODULUS] = 1.0
    for place in range(PAIRS):
        state = likelihood[place, :PAIR_VALUES] @ state[_SHIFTS[place]]
    return float(np.log(state @ likelihood[PAIRS] + 1e-300) + peaks.sum())


def match_issued(table: Floats, issued: IssuedIndex) -> Match:
    """Return the likeliest issued number."""
    scores = issued.scores(table)
    at = int(scores.argmax())
    best = float(scores[at])
    scores[at] = -np.inf
    gap = best - float(scores.max()) if len(scores) > 1 else np.inf
    return Match(issued.digits[at], best - log_sum_of_all_strings(table), gap)


_TRIED = 6


def match_well_formed(table: Floats) -> Match:
    """Return the likeliest well-formed label number, issued or not.

    Looks among the six likeliest values of each pair, whose strings hold all the likelihood that could convince.
    """
    likely = np.argsort(table[:PAIRS, :PAIR_VALUES], axis=1)[:, : -_TRIED - 1 : -1]
    grid = np.stack(np.meshgrid(*likely, indexing="ij"), axis=-1).reshape(-1, PAIRS)
    check = (START_C + grid @ np.arange(1, PAIRS + 1)) % CHECK_MODULUS
    scores = table[np.arange(PAIRS), grid].sum(axis=1) + table[PAIRS, check]
    order = np.argsort(scores)[::-1]
    whole = log_sum_of_all_strings(table)
    best: Match | None = None
    for at in order[:400]:
        digits = "".join(f"{pair:02d}" for pair in grid[at])
        if is_label_number(digits):
            if best is not None:
                return Match(best.digits, best.evidence, best.evidence - (float(scores[at]) - whole))
            best = Match(digits, float(scores[at]) - whole, np.inf)
    return best or Match("", -np.inf, 0.0)
