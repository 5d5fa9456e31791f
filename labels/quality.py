"""How well a printed label reads, as far as a camera can judge: ten scans graded after ISO/IEC 15416's parameters.

A camera is no calibrated verifier. The light margin of the label is taken as white of 85 %, so contrast is against the
label itself and not against a standard white; blur and glare of the picture count as faults of the print. The grade
compares labels and tells one that should be printed again; it is no certificate.

Source: ISO/IEC 15416:2000 for the parameters and grades (`labels.grade`); decodability after its rule for symbologies
read edge to similar edge, here ISO/IEC 15417 with 11 modules a character.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from labels.errors import LabelError
from labels.grade import grade_profile, parameter_grade, scan_grade, symbol_grade
from labels.number import parse
from labels.reading.arrays import Image
from labels.reading.locate import BarField, find_bar_fields
from labels.reading.picture import grey_of
from labels.symbol import CHARACTER_MODULES, LABEL_MODULES, symbol_modules

Floats = NDArray[np.float32]
SCANS = 10
SAMPLES_A_MODULE = 8
# The label's own light margin stands for white (common practice, no source).
WHITE_PERCENT = 85.0
_LETTERS = "FDCBA"
_CUT = 1.6
_LEAST_LIKENESS = 0.5
# The box may reach into the text above and below the bars.
_HEIGHT_USED = 0.6
# So much of the quiet zones is looked at; beyond it the ground may begin.
_QUIET_SEEN = 7
# Seven characters of six elements and a stop of seven have one edge more than elements.
_SYMBOL_EDGES = 7 * 6 + 7 + 1


@dataclass(frozen=True)
class PrintQuality:
    """What ten scans gave.

    Attributes:
        grade: Mean of the scans' grades, 4 best to 0.
        share_percent: How many of the scans read as the number. [%]
        worst: The parameter that pulled the grade down most.
    """

    grade: float
    share_percent: float
    worst: str

    @property
    def letter(self) -> str:
        """The grade as a letter, A to F."""
        return _LETTERS[round(self.grade)]


def print_quality(image: Image, number: str) -> PrintQuality | None:
    """Return how well a label reads whose number is known.

    Args:
        image: uint8, shape (height, width, 3) BGR or (height, width) grey.
        number: The label number that is in the picture.

    Returns:
        None when the label is not found well enough to be graded.

    Raises:
        NotALabelNumber: the text is no label number.
        ImageUnreadable: this is no picture.
    """
    modules = symbol_modules(parse(number))
    grey = grey_of(image)
    for field in find_bar_fields(grey):
        rows = _symbol_rows(_cut_out(grey, field), modules)
        if rows is not None:
            return _graded(rows, modules)
    return None


def _cut_out(grey: Image, field: BarField) -> Floats:
    """Return a box with its bars upright and some margin, ten rows, float32."""
    columns = round(LABEL_MODULES * SAMPLES_A_MODULE * _CUT)
    step, down = field.length * _CUT / columns, field.height * _HEIGHT_USED / (SCANS * 4)
    along = np.array([np.cos(field.angle), np.sin(field.angle)]) * step
    across = np.array([-np.sin(field.angle), np.cos(field.angle)]) * down
    matrix = np.column_stack([along, across, np.zeros(2)])
    matrix[:, 2] = np.array([field.x, field.y]) - matrix[:, :2] @ np.array([(columns - 1) / 2, (SCANS * 4 - 1) / 2])
    upright = cv2.warpAffine(grey, matrix, (columns, SCANS * 4), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
                             borderMode=cv2.BORDER_REPLICATE)
    # An aperture four lines high, as a scanner's spot is no hair line.
    return np.asarray(upright.astype(np.float32).reshape(SCANS, 4, columns).mean(axis=1), np.float32)


def _symbol_rows(rows: Floats, modules: Sequence[bool]) -> list[Floats] | None:
    """Return each row from the first bar to the last in percent of reflectance; None if the symbol is not there."""
    best = max((_placed(each, modules) for each in (rows, rows[::-1, ::-1])), key=lambda found: found[0])
    likeness, found, first, width = best
    if likeness < _LEAST_LIKENESS:
        return None
    quiet = round(_QUIET_SEEN * width / LABEL_MODULES)
    left, right = max(0, first - quiet), min(found.shape[1], first + width + quiet)
    margin = np.concatenate([found[:, left:first], found[:, first + width : right]], axis=1)
    white = float(np.median(margin)) if margin.size else float(found.max())
    scale = WHITE_PERCENT / max(white, 1.0)
    return [_trimmed(row[left:right] * scale, first - left, width) for row in found]


def _trimmed(row: Floats, first: int, width: int) -> Floats:
    """Return a row from its own first bar to its last, as bars stand a little askew; else from where they should."""
    edges = _edges(row)
    start, end = (edges[0], edges[-1]) if len(edges) == _SYMBOL_EDGES else (first - 0.5, first + width - 0.5)
    samples = LABEL_MODULES * SAMPLES_A_MODULE
    at = start + (np.arange(samples) + 0.5) * (end - start) / samples
    return np.asarray(np.interp(at, np.arange(len(row)), row), np.float32)


def _placed(rows: Floats, modules: Sequence[bool]) -> tuple[float, Floats, int, int]:
    """Return how like the symbol the rows are at the best place, the rows, the first column and the width."""
    profile = rows.mean(axis=0, keepdims=True)
    pattern = np.where(np.array(modules), 0.0, 1.0).astype(np.float32)[None, :]
    best = (-1.0, rows, 0, 0)
    for width in range(round(rows.shape[1] * 0.5), rows.shape[1] - 2, 2):
        wanted = cv2.resize(pattern, (width, 1), interpolation=cv2.INTER_AREA if width < LABEL_MODULES
                            else cv2.INTER_NEAREST)
        found = cv2.matchTemplate(profile, wanted, cv2.TM_CCOEFF_NORMED)
        _, likeness, _, place = cv2.minMaxLoc(found)
        if likeness > best[0]:
            best = (float(likeness), rows, int(place[0]), width)
    return best


def _graded(rows: Sequence[Floats], modules: Sequence[bool]) -> PrintQuality:
    parameters = [_scan_parameters(row, modules) for row in rows]
    grade = symbol_grade(scan_grade(one).grade for one in parameters)
    sums = {name: sum(one[name] for one in parameters) for name in parameters[0] if name != "decode"}
    share = 100.0 * sum(one["decode"] > 0 for one in parameters) / len(parameters)
    return PrintQuality(grade, share, min(sums, key=lambda name: sums[name]).replace("_", " "))


def _scan_parameters(row: Floats, modules: Sequence[bool]) -> dict[str, int]:
    values = [float(value) for value in row]
    decodability = decodability_percent(values, modules)
    try:
        graded = dict(grade_profile(values, modules).parameters)
    except LabelError:  # too few samples: held too far away
        return {"decode": 0, "modulation": 0, "decodability": 0}
    return graded | {"decode": 4 if decodability > 0 else 0, "decodability": parameter_grade("decodability",
                                                                                             decodability)}


def decodability_percent(reflectance_percent: Sequence[float], modules: Sequence[bool]) -> float:
    """Return the decodability of one scan: how far its edges stay from being read as another width, 0 if they are.

    Args:
        reflectance_percent: Row of reflectances from the first bar to the last, evenly spaced. [%]
        modules: The symbol's modules, True where a bar is.

    Source:
        ISO/IEC 15416:2000, decodability of symbologies read edge to similar edge: V = K / (S / 2n), K the least
        distance of an edge pair's width from its thresholds (k + 1/2) S / n, n = 11 modules in the character S
    """
    # The row begins and ends in a bar, whose outer edges are its own ends.
    edges = np.array([-0.5, *_edges(reflectance_percent), len(reflectance_percent) - 0.5])
    wanted = np.flatnonzero(np.diff(np.array([False, *modules, False]).astype(int)))
    if len(edges) != len(wanted):
        return 0.0
    return max(0.0, min(_character_decodability(edges[at : at + 7], wanted[at : at + 7])
                        for at in range(0, len(wanted) - 7, 6))) * 100.0


def _character_decodability(edges: NDArray[np.float64], wanted: NDArray[np.int64]) -> float:
    """Return V of one character of six elements between seven edges."""
    module = (edges[-1] - edges[0]) / CHARACTER_MODULES
    pairs = [(edges[to] - edges[at]) / module for at, to in zip(range(5), range(2, 7), strict=True)]
    right = [wanted[to] - wanted[at] for at, to in zip(range(5), range(2, 7), strict=True)]
    return float(min(1.0 - 2.0 * abs(pair - width) for pair, width in zip(pairs, right, strict=True)))


def _edges(reflectance_percent: Sequence[float] | Floats) -> NDArray[np.float64]:
    """Return where a row crosses the middle between light and dark, in samples."""
    row = np.asarray(reflectance_percent, np.float64)
    middle = (row.max() + row.min()) / 2
    return np.array([at + (row[at] - middle) / (row[at] - row[at + 1])
                     for at, (one, other) in enumerate(pairwise(row > middle)) if one != other])
