"""Least squares with more than one column: curves of the second degree and several causes at once.

Columns are centred and scaled before they are solved, as hour-meter values and years are large. Checked against the
certified data sets of NIST StRD (Pontius, Longley).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.errors import CalcError, OutOfRange
from kiosk.language import tr


@dataclass(frozen=True)
class Fit:
    """Coefficients by least squares.

    Args:
        coefficients: b0 (the constant), then one for each column or power.
        residual_deviation: Scatter about the fit, None where no reading is left over.
        r_squared: Share of the variation explained, None where the values are all alike.
    """

    coefficients: tuple[float, ...]
    residual_deviation: float | None
    r_squared: float | None


def fit_columns(columns: Sequence[Sequence[float]], values: Sequence[float]) -> Fit:
    """Return a constant and one coefficient for each column, by least squares.

    Args:
        columns: One sequence for each cause, each as long as `values`.
        values: The readings, more than there are columns.

    Raises:
        OutOfRange: too few readings or unequal counts.
        CalcError: the columns do not differ enough to tell them apart.

    Source:
        Householder QR of centred, scaled columns; certified: NIST StRD Longley.
    """
    import numpy as np

    readings = np.array(guards.numbers("values", values, at_least=len(columns) + 1))
    given = [guards.numbers("columns", column) for column in columns]
    if not given or any(len(column) != len(readings) for column in given):
        raise OutOfRange("number of columns", len(given), "", 1, None, "each as long as the values")
    design = np.array(given).T
    centre, scale = design.mean(axis=0), np.abs(design - design.mean(axis=0)).max(axis=0)
    if np.any(scale == 0):
        raise CalcError(tr("A column never changes; leave it out."))
    orthogonal, triangle = np.linalg.qr((design - centre) / scale)
    if np.abs(np.diag(triangle)).min() < 1e-10 * np.abs(np.diag(triangle)).max():
        raise CalcError(tr("Two columns say the same; leave one out."))
    away = readings - readings.mean()
    slopes = np.linalg.solve(triangle, orthogonal.T @ away) / scale
    residuals = away - (design - centre) @ slopes
    error_sum, total = float(residuals @ residuals), float(away @ away)
    left_over = len(readings) - len(given) - 1
    return Fit(
        coefficients=(float(readings.mean() - centre @ slopes), *(float(slope) for slope in slopes)),
        residual_deviation=(error_sum / left_over) ** 0.5 if left_over else None,
        r_squared=1 - error_sum / total if total > 0 else None,
    )


def fit_quadratic(x: Sequence[float], values: Sequence[float]) -> Fit:
    """Return b0, b1 and b2 of the curve b0 + b1 x + b2 x² through readings, by least squares.

    Args:
        x: Where each was read; at least three that differ.
        values: The readings, as many.

    Raises:
        OutOfRange: too few readings or unequal counts.
        CalcError: fewer than three different places.

    Source:
        Solved about the centre of x; certified: NIST StRD Pontius.
    """
    places = guards.numbers("x", x, at_least=3)
    centre = sum(places) / len(places)
    reach = max(abs(place - centre) for place in places)
    if reach == 0:
        raise CalcError(tr("All readings are at one place; a curve needs three different places."))
    steps = [(place - centre) / reach for place in places]
    fit = fit_columns([steps, [step * step for step in steps]], values)
    constant, linear, square = fit.coefficients
    linear, square = linear / reach, square / reach**2
    about_zero = (constant - linear * centre + square * centre**2, linear - 2 * square * centre, square)
    return Fit(about_zero, fit.residual_deviation, fit.r_squared)
