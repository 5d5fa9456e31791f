"""Whether a place has more failures than chance: binomial tails worked out by hand, and what must hold for any."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.calc.rate_comparison import chance_of_as_many
from kiosk.errors import OutOfRange

COUNTS, HOURS = st.integers(0, 40), st.floats(1.0, 1e6)


@pytest.mark.parametrize(("failures", "hours", "others", "other_hours", "chance"), [
    pytest.param(4, 100, 1, 100, 6 / 32, id="hand-4-of-5-in-half-the-hours"),
    pytest.param(3, 100, 0, 200, 1 / 27, id="hand-3-of-3-in-a-third"),
    pytest.param(1, 100, 1, 300, 1 - (3 / 4) ** 2, id="hand-1-of-2-in-a-quarter"),
    pytest.param(0, 100, 7, 300, 1.0, id="hand-none"),
])
def test_chance__binomial_tail__by_hand(failures: int, hours: float, others: int, other_hours: float,
                                        chance: float) -> None:
    """Sums of binomial terms that fit on a napkin."""
    assert chance_of_as_many(failures, hours, others, other_hours) == pytest.approx(chance)


@given(COUNTS, HOURS, COUNTS, HOURS)
def test_chance__one_failure_more_at_the_place__is_less_likely(failures: int, hours: float, others: int,
                                                               other_hours: float) -> None:
    """More failures at the place are never likelier, and a probability stays one."""
    fewer = chance_of_as_many(failures, hours, others + 1, other_hours)
    more = chance_of_as_many(failures + 1, hours, others, other_hours)
    assert 0 <= more <= fewer + 1e-12 <= 1 + 2e-12


@pytest.mark.parametrize("arguments", [(-1, 1, 0, 1), (1, 0, 0, 1), (1, 1, 0, 0), (1, float("nan"), 0, 1)])
def test_chance__what_cannot_be__is_refused(arguments: tuple[float, ...]) -> None:
    """No negative counts and no places without hours."""
    with pytest.raises(OutOfRange):
        chance_of_as_many(*arguments)  # type: ignore[arg-type]
