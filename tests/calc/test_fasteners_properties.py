"""Bolts: what must hold for every thread, and what is refused."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.calc import fasteners, threads, tightening
from kiosk.errors import CalcError, NoTableRow, OutOfRange

THREADS = ("M5", "M6", "M8", "M10", "M12", "M16", "M20", "1/4-20", "5/16-18", "3/8-16", "1/2-13", "3/4-10")


@pytest.mark.parametrize("joint", ["cast housing", "set screw", "plastic", "slotted casting", "wood"])
def test_a_joint_with_its_own_table_gets_no_torque(joint: str) -> None:
    """Nothing is worked out for cast housings, set screws and plastic; the sentence names what to use."""
    with pytest.raises(CalcError):
        fasteners.bolt_torque("M10", "8.8", "plain, dry", joint)


@pytest.mark.parametrize(("grade", "state"), [("", "plain, dry"), ("8.8", ""), (" ", " ")])
def test_no_torque_without_grade_and_lubrication(grade: str, state: str) -> None:
    """A torque needs both the grade and the lubrication state."""
    with pytest.raises(CalcError, match="grade"):
        fasteners.bolt_torque("M10", grade, state)


def test_an_unknown_state_or_grade_is_refused() -> None:
    """What is not in the tables is refused with what is."""
    with pytest.raises(NoTableRow, match="waxed"):
        fasteners.bolt_torque("M10", "8.8", "wet")
    with pytest.raises(NoTableRow, match=r"10\.9"):
        fasteners.bolt_torque("M10", "7.7", "waxed")


def test_a_thick_sae_bolt_is_refused() -> None:
    """Above its printed diameter a SAE grade is weaker, and no figure is given."""
    with pytest.raises(NoTableRow):
        fasteners.bolt_torque("1 1/4-7", "SAE 5", "plain, dry")


@given(st.sampled_from(THREADS), st.floats(10, 900), st.floats(0.05, 0.2), st.floats(1.01, 2))
def test_torque_grows_with_stress_and_friction(name: str, stress: float, factor: float, more: float) -> None:
    """Torque is proportional to stress and nut factor; the preload does not hang on friction."""
    base = fasteners.tightening(name, stress, factor)
    rough, strong = fasteners.tightening(name, stress, factor * more), fasteners.tightening(name, stress * more, factor)
    assert rough.torque_newton_metre == pytest.approx(base.torque_newton_metre * more)
    assert strong.torque_newton_metre == pytest.approx(base.torque_newton_metre * more)
    assert rough.preload_newton == base.preload_newton


@pytest.mark.parametrize(("written", "meant"), [
    ("m10", "M10x1.5"), ("M10 x 1.25", "M10x1.25"), ("M10×1.5", "M10x1.5"), ("3/8-16 UNC", "3/8-16"),
    ("1-8", "1-8"), ("1 1/4-7", "1 1/4-7"), ("1-1/4-7 UNC", "1 1/4-7")])
def test_threads_are_read_as_written(written: str, meant: str) -> None:
    """A thread is read however it is commonly written."""
    assert threads.thread(written).designation == meant


@pytest.mark.parametrize("written", ["", "10", "M", "M10x", "3/8", "W 1/2", "M7", "M10x9", "3/8-1", "1/0-8"])
def test_what_is_no_thread_is_refused(written: str) -> None:
    """Rubbish, and threads that no bolt has, are refused with one of our errors."""
    with pytest.raises((NoTableRow, OutOfRange)):
        threads.thread(written)


@pytest.mark.parametrize("bolts", range(1, 41))
def test_a_circle_takes_each_bolt_once(bolts: int) -> None:
    """Every bolt comes once, whatever the count."""
    assert sorted(tightening.circle_sequence(bolts)) == list(range(1, bolts + 1))


@pytest.mark.parametrize("bolts", range(4, 41, 2))
def test_each_second_bolt_lies_opposite(bolts: int) -> None:
    """With an even count each bolt is followed by the one straight across."""
    order = tightening.circle_sequence(bolts)
    assert all(late - early == bolts // 2 for early, late in zip(order[::2], order[1::2], strict=True))


@pytest.mark.parametrize("bolts", range(5, 41, 2))
def test_an_odd_circle_goes_nearly_across(bolts: int) -> None:
    """With an odd count each bolt is followed by one of the two nearest to its opposite."""
    order = tightening.circle_sequence(bolts)
    steps = {(late - early) % bolts for early, late in pairwise(order)}
    assert steps <= {bolts // 2, bolts // 2 + 1}


def test_passes_must_rise_to_the_full_torque() -> None:
    """Passes that fall, or stop short of the final torque, are refused."""
    for shares in ([0.5, 0.75], [0.75, 0.5, 1.0], [0.0, 1.0], [1.0, 1.0]):
        with pytest.raises(OutOfRange):
            tightening.pass_torques_newton_metre(60, shares)


@given(st.floats(1, 500), st.floats(0, 50), st.floats(0, 100))
def test_preload_is_never_known_better_than_its_parts(torque: float, tool: float, spread: float) -> None:
    """The preload's uncertainty is at least either part, and the expanded one twice that."""
    found = fasteners.preload_uncertainty(torque, tool, spread)
    assert found.preload_percent >= max(tool, spread) / 3**0.5 - 1e-12
    assert found.expanded_percent == pytest.approx(2 * found.preload_percent)
