"""Trends against certified and reference figures beyond the check values."""

from __future__ import annotations

import csv
import random
from pathlib import Path

import pytest
import scipy.stats

from kiosk.calc import capability, least_squares, line_fit, trend_robust

LONGLEY = Path(__file__).parents[1] / "data" / "longley.csv"
NAMES = ("deflator", "product", "unemployed", "armed_forces", "population", "year")


def longley() -> tuple[list[list[float]], list[float]]:
    """Return the six columns and the total employment of NIST StRD Longley."""
    rows = list(csv.DictReader(line for line in LONGLEY.read_text("utf-8").splitlines() if line[0] != "#"))
    return [[float(row[name]) for row in rows] for name in NAMES], [float(row["employed"]) for row in rows]


def test_multiple_fit__nist_strd_longley__all_certified_values() -> None:
    """All seven certified coefficients, the residual deviation and R² of a set that is hard on the arithmetic."""
    fit = least_squares.fit_columns(*longley())
    assert fit.coefficients == pytest.approx((
        -3482258.63459582, 15.0618722713733, -0.358191792925910e-01, -2.02022980381683, -1.03322686717359,
        -0.511041056535807e-01, 1829.15146461355), rel=1e-9)
    assert fit.residual_deviation == pytest.approx(304.854073561965, rel=1e-9)
    assert fit.r_squared == pytest.approx(0.995479004577296, rel=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_robust_line__scipy_stats_theilslopes__ties_and_all(seed: int) -> None:
    """The robust line and its bounds are those of scipy.stats.theilslopes, ties included."""
    chance = random.Random(seed)
    x = [chance.randrange(0, 12) * 25.0 for _ in range(18)]
    y = [round(0.01 * place + chance.gauss(0, 0.3), 1) for place in x]
    for confidence in (0.9, 0.95, 0.99):
        ours, theirs = trend_robust.robust_line(x, y, confidence), scipy.stats.theilslopes(y, x, confidence)
        assert (ours.slope, ours.intercept, ours.slope_low, ours.slope_high) == pytest.approx(tuple(theirs))


@pytest.mark.parametrize("seed", range(5))
def test_line__scipy_stats_linregress__slope_and_errors(seed: int) -> None:
    """Slope, intercept and their standard errors are those of scipy.stats.linregress, far from the origin."""
    chance = random.Random(seed)
    x = [12_000 + 50.0 * step for step in range(10)]
    y = [5 + 0.002 * (place - 12_000) + chance.gauss(0, 0.1) for place in x]
    ours, theirs = line_fit.fit_line(x, y), scipy.stats.linregress(x, y)
    assert (ours.slope, ours.intercept, ours.slope_error, ours.intercept_error) == pytest.approx(
        (theirs.slope, theirs.intercept, theirs.stderr, theirs.intercept_stderr), rel=1e-8)


@pytest.mark.parametrize(("degrees", "quantile"), [(1, 12.706), (4, 2.776), (10, 2.228), (30, 2.042)])
def test_student__nist_e_handbook_1_3_6_7_2__95_percent(degrees: int, quantile: float) -> None:
    """Printed two-sided 95 % quantiles of Student's t; from memory."""
    assert line_fit.student_quantile(0.95, degrees) == pytest.approx(quantile, abs=5e-4)


def test_capability__nist_e_handbook_6_1_6__mean_outside_is_negative() -> None:
    """With the mean outside the limits C_pk is negative, as the handbook's formula gives: (20 - 22) / 6."""
    assert capability.capability(8, 20, 22, 2).nearer == pytest.approx(-1 / 3)
