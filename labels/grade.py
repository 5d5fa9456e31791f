"""Print quality of a linear symbol, graded as ISO/IEC 15416 does. Pure.

A scan across the bars is a row of reflectances. Its parameters are computed, each gets a grade from 4 to 0,
the scan has the worst of them, and the symbol the mean of ten scans. A camera is no calibrated verifier:
its grades compare labels with one another and tell a failing printer, but are no certificate.

Source: ISO/IEC 15416, integer grades of the 2000 edition; the edition is kept with each grade, because the
edition of 2016 interpolates to tenths.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from labels.errors import LabelError

EDITION = "ISO/IEC 15416:2000"

# Least percentage for the grades 4, 3, 2 and 1. Source: ISO/IEC 15416:2000, table of parameter grades.
_AT_LEAST: Mapping[str, tuple[float, float, float, float]] = {
    "symbol_contrast": (70.0, 55.0, 40.0, 20.0),
    "modulation": (70.0, 60.0, 50.0, 40.0),
    "decodability": (62.0, 50.0, 37.0, 25.0),
}
# Greatest percentage for the grades 4, 3, 2 and 1. Same source.
_AT_MOST: Mapping[str, tuple[float, float, float, float]] = {"defects": (15.0, 20.0, 25.0, 30.0)}
_LEAST_EDGE_CONTRAST_PERCENT = 15.0


@dataclass(frozen=True, slots=True)
class ScanGrade:
    """The grade of one scan with what it was made of.

    Attributes:
        grade: 4 best to 0 failed, the worst of `parameters`.
        parameters: Grade of each parameter by name.
        edition: Which edition's table was used.
    """

    grade: int
    parameters: Mapping[str, int]
    edition: str = EDITION


def parameter_grade(parameter: str, percent: float) -> int:
    """Return the grade of one parameter, 4 best to 0 failed.

    Args:
        parameter: 'symbol_contrast', 'modulation', 'decodability' or 'defects'.
        percent: Its value. [%]

    Raises:
        LabelError: the parameter has no percentage table.

    Source:
        ISO/IEC 15416:2000
    """
    if parameter in _AT_LEAST:
        return sum(percent >= least for least in _AT_LEAST[parameter])
    if parameter in _AT_MOST:
        return sum(percent <= most for most in _AT_MOST[parameter])
    raise LabelError(f"Print quality has no parameter '{parameter}' with a percentage table.")


def symbol_contrast_percent(highest_percent: float, lowest_percent: float) -> float:
    """Return the symbol contrast of the highest and lowest reflectance. [%]"""
    return highest_percent - lowest_percent


def modulation_percent(least_edge_contrast_percent: float, contrast_percent: float) -> float:
    """Return the modulation: least edge contrast as part of the symbol contrast. [%]"""
    return 100.0 * least_edge_contrast_percent / contrast_percent if contrast_percent > 0 else 0.0


def is_dark_enough(highest_percent: float, lowest_percent: float) -> bool:
    """Return whether the lowest reflectance is at most half the highest."""
    return lowest_percent <= 0.5 * highest_percent


def scan_grade(parameters: Mapping[str, int]) -> ScanGrade:
    """Return the grade of a scan, the worst of its parameters."""
    if not parameters:
        raise LabelError("A scan without parameters has no grade.")
    return ScanGrade(min(parameters.values()), dict(parameters))


def symbol_grade(scan_grades: Iterable[int]) -> float:
    """Return the symbol's grade, the mean of its scans; the standard asks for ten."""
    grades = list(scan_grades)
    if not grades:
        raise LabelError("A symbol without scans has no grade.")
    return sum(grades) / len(grades)


def grade_profile(reflectance_percent: Sequence[float], modules: Sequence[bool]) -> ScanGrade:
    """Return the grade of one scan whose symbol is known.

    Decodability is left out: it is measured on edges, which a profile of a few samples a module does not
    carry well.

    Args:
        reflectance_percent: Row of reflectances from the first bar to the last, evenly spaced. [%]
        modules: The symbol's modules, True where a bar is.

    Raises:
        LabelError: the profile has fewer samples than the symbol modules.
    """
    elements = _element_extremes(reflectance_percent, modules)
    highest, lowest = max(reflectance_percent), min(reflectance_percent)
    contrast = symbol_contrast_percent(highest, lowest)
    edges = [abs(one - other) for one, other in pairwise(elements)]
    defects = 100.0 * _worst_wobble(reflectance_percent, modules) / contrast if contrast > 0 else 100.0
    return scan_grade({
        "decode": 4,
        "symbol_contrast": parameter_grade("symbol_contrast", contrast),
        "min_reflectance": 4 if is_dark_enough(highest, lowest) else 0,
        "edge_contrast": 4 if min(edges) >= _LEAST_EDGE_CONTRAST_PERCENT else 0,
        "modulation": parameter_grade("modulation", modulation_percent(min(edges), contrast)),
        "defects": parameter_grade("defects", defects),
    })


def _elements(reflectance: Sequence[float], modules: Sequence[bool]) -> list[tuple[bool, list[float]]]:
    """Return bars and spaces in turn, each with its samples."""
    if len(reflectance) < len(modules) or not modules:
        raise LabelError("The scan is too coarse to be graded: hold the camera nearer.")
    elements: list[tuple[bool, list[float]]] = []
    for at, value in enumerate(reflectance):
        is_bar = modules[at * len(modules) // len(reflectance)]
        if not elements or elements[-1][0] != is_bar:
            elements.append((is_bar, []))
        elements[-1][1].append(float(value))
    return elements


def _element_extremes(reflectance: Sequence[float], modules: Sequence[bool]) -> list[float]:
    """Return each bar's lowest and each space's highest reflectance."""
    return [min(values) if is_bar else max(values) for is_bar, values in _elements(reflectance, modules)]


def _worst_wobble(reflectance: Sequence[float], modules: Sequence[bool]) -> float:
    """Return the greatest way back inside an element: a spot in a bar or a void in a space."""
    return max(_way_back([-value if is_bar else value for value in values])
               for is_bar, values in _elements(reflectance, modules))


def _way_back(values: Sequence[float]) -> float:
    """Return the deepest valley between two peaks, measured from the lower peak."""
    deepest = 0.0
    for at in range(1, len(values) - 1):
        lower_peak = min(max(values[:at]), max(values[at + 1 :]))
        deepest = max(deepest, lower_peak - values[at])
    return deepest
