"""Passes over a joint's bolts."""

from __future__ import annotations

import pytest

from kiosk.calc import sequence
from kiosk.errors import OutOfRange


def test_each_pass_runs_the_whole_order_at_its_torque() -> None:
    """Three torques make three passes over the same order."""
    passes = sequence.tightening_passes(sequence.centre_out_order(5), (6.0, 9.0, 12.0))
    assert [(one.number, one.torque_newton_metre) for one in passes] == [(1, 6.0), (2, 9.0), (3, 12.0)]
    assert {one.order for one in passes} == {(3, 2, 4, 1, 5)}


@pytest.mark.parametrize("torques", [(6.0, 5.0), (0.0, 5.0), (-1.0,), ()])
def test_falling_or_missing_torque_is_refused(torques: tuple[float, ...]) -> None:
    """A pass below the one before, or without torque, is refused."""
    with pytest.raises(OutOfRange):
        sequence.tightening_passes((1, 2), torques)


def test_a_bolt_twice_in_the_order_is_refused() -> None:
    """Each bolt comes once."""
    with pytest.raises(OutOfRange, match="bolt 2"):
        sequence.tightening_passes((2, 1, 2), (5.0,))


@pytest.mark.parametrize("bolts", [0, -3, 2.5, 201, float("nan"), "six"])
def test_a_count_that_is_none_is_refused(bolts: object) -> None:
    """Zero, negative, broken, huge and no number at all are refused by name."""
    with pytest.raises(OutOfRange) as refused:
        sequence.centre_out_order(bolts)  # type: ignore[arg-type]
    assert refused.value.name == "bolts"
