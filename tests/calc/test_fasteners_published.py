"""Bolts against printed tables beyond the check values."""

from __future__ import annotations

import pytest

from kiosk.calc import fasteners, threads
from kiosk.calc.conversion import convert


@pytest.mark.parametrize(("name", "area_mm2"), [
    pytest.param("M5", 14.2, id="M5"), pytest.param("M14", 115, id="M14"), pytest.param("M16", 157, id="M16"),
    pytest.param("M24", 353, id="M24"), pytest.param("M8x1", 39.2, id="M8x1"),
    pytest.param("M10x1.25", 61.2, id="M10x1.25")])
def test_stress_area__iso_898_1__from_memory(name: str, area_mm2: float) -> None:
    """Stress areas as ISO 898-1 tabulates them, to three figures; from memory."""
    assert threads.stress_area_mm2(name) == pytest.approx(area_mm2, rel=4e-3)


@pytest.mark.parametrize(("grade", "diameter_mm", "proof_mpa"), [
    ("4.6", 10, 225), ("4.8", 10, 310), ("5.8", 10, 380), ("8.8", 16, 580), ("8.8", 16.1, 600), ("9.8", 10, 650),
    ("10.9", 20, 830), ("12.9", 20, 970)])
def test_proof_stress__iso_898_1_1999__every_class(grade: str, diameter_mm: float, proof_mpa: float) -> None:
    """Every printed class; 8.8 has two, parted at 16 mm."""
    assert fasteners.proof_stress(grade, diameter_mm).proof_stress_mpa == proof_mpa


@pytest.mark.parametrize(("grade", "proof_ksi", "yield_ksi"), [("SAE 2", 55, 57), ("SAE 5", 85, 92),
                                                               ("SAE 8", 120, 130)])
def test_proof_and_yield__sae_j429__grades(grade: str, proof_ksi: float, yield_ksi: float) -> None:
    """Proof and yield stress of the three grades."""
    found = fasteners.proof_stress(grade, 12.7)
    assert convert(found.proof_stress_mpa, "MPa", "ksi") == pytest.approx(proof_ksi)
    assert found.yield_stress_mpa is not None
    assert convert(found.yield_stress_mpa, "MPa", "ksi") == pytest.approx(yield_ksi)


@pytest.mark.parametrize(("thread", "grade", "state", "pound_feet"), [
    pytest.param("3/8-16", "SAE 5", "plain, dry", 33, id="3_8-grade5-plain"),
    pytest.param("3/8-16", "SAE 5", "zinc plated, dry", 37, id="3_8-grade5-zinc"),
    pytest.param("1/2-13", "SAE 8", "plain, dry", 116, id="1_2-grade8-plain"),
    pytest.param("5/8-11", "SAE 5", "zinc plated, dry", 179, id="5_8-grade5-zinc")])
def test_torque__drag_conveyor_safety_guide__by_grade_and_state(thread: str, grade: str, state: str,
                                                                pound_feet: float) -> None:
    """The printed inch table comes out by grade and lubrication state, to its rounding of 1 lbf·ft."""
    torque = fasteners.bolt_torque(thread, grade, state).torque_newton_metre
    assert convert(torque, "N·m", "lbf·ft") == pytest.approx(pound_feet, abs=1)


@pytest.mark.parametrize(("thread", "least", "most"), [("M8", 6, 10), ("M14", 34, 60)])
def test_housing_bolts__mounted_unit_catalogue__rows(thread: str, least: float, most: float) -> None:
    """Cast housings have their own printed range."""
    found = fasteners.housing_bolt_torque(thread)
    assert (found.least_newton_metre, found.most_newton_metre) == (least, most)


@pytest.mark.parametrize("thread", ["M8", "M10", "M12", "M14", "M16"])
def test_housing_bolts__far_below_the_grade_s_torque(thread: str) -> None:
    """A cast housing takes a quarter to two fifths of what an 8.8 bolt would."""
    bolt = fasteners.bolt_torque(thread, "8.8", "plain, dry").torque_newton_metre
    housing = fasteners.housing_bolt_torque(thread)
    assert 0.2 < housing.least_newton_metre / bolt < housing.most_newton_metre / bolt < 0.45
