"""Cutting a bar field out of the picture and straightening it.

The turned box is cut out with its bars upright. Skew, fan and arc (perspective, a cylinder, a box turned a little
wrong) are taken out by one smooth displacement along the rows, found from the grey-value gradients: where bars are
upright, nothing changes from row to row. What is left are eight strips along which the symbol is read.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from labels.reading.arrays import Floats, Image
from labels.reading.locate import BarField

COLUMNS = 384
ROWS = 32
STRIPS = 8
# The crop is longer than the box by this factor, because the box may have missed an end.
REACH = 1.5
# Modules of the box, were it exactly the bars of a label.
BOX_MODULES = 90
NOMINAL_MODULE = COLUMNS / REACH / BOX_MODULES
_HEIGHT_USED = 0.86
_ROUNDS = 3


@dataclass(frozen=True, slots=True)
class Crop:
    """A straightened bar field.

    Attributes:
        strips: float32, shape (8, 384), grey values along the symbol, one row a strip. [-]
        pixels_per_sample: Picture elements a column stands for.
        field: Where it was cut from.
    """

    strips: Floats
    rows: Floats
    pixels_per_sample: float
    field: BarField


def cut(grey: Image, field: BarField) -> Floats:
    """Return the box with its bars upright, float32, shape (32, 384)."""
    length, height = field.length * REACH, field.height * _HEIGHT_USED
    columns = int(np.clip(round(length), 200, 800))
    rows = int(np.clip(round(height * columns / length), 16, 256))
    step = length / columns
    c, s = np.cos(field.angle) * step, np.sin(field.angle) * step
    down = height / rows
    matrix = np.array([
        [c, -np.sin(field.angle) * down, 0.0],
        [s, np.cos(field.angle) * down, 0.0],
    ])
    middle = matrix[:, :2] @ np.array([(columns - 1) / 2, (rows - 1) / 2])
    matrix[:, 2] = (field.x - middle[0], field.y - middle[1])
    upright = cv2.warpAffine(grey, matrix, (columns, rows), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
                             borderMode=cv2.BORDER_REPLICATE)
    kind = cv2.INTER_AREA if columns > COLUMNS else cv2.INTER_CUBIC
    upright = cv2.resize(upright.astype(np.float32), (COLUMNS, rows), interpolation=kind)
    return cv2.resize(upright, (COLUMNS, ROWS), interpolation=cv2.INTER_AREA if rows > ROWS else cv2.INTER_LINEAR)


_X = np.linspace(-REACH, REACH, COLUMNS, dtype=np.float32)[None, :].repeat(ROWS, axis=0)
_Y = np.linspace(-1, 1, ROWS, dtype=np.float32)[:, None].repeat(COLUMNS, axis=1)
_COLUMN = np.arange(COLUMNS, dtype=np.float32)[None, :].repeat(ROWS, axis=0)
_ROW = np.arange(ROWS, dtype=np.float32)[:, None].repeat(COLUMNS, axis=1)
# How fast the displacement of each shape changes from one row to the next, in columns.
_SHAPES = np.stack([np.ones_like(_X), _X, 2 * _Y, 2 * _X * _Y]).reshape(4, -1) * np.float32(2 / (ROWS - 1))
_DISPLACEMENTS = np.stack([_Y, _X * _Y, _Y**2, _X * _Y**2])
# A gentle pull to no displacement: the box is about right already.
_RIDGE = np.diag([1.0, 2.0, 4.0, 8.0]) * 1e-4
_INSIDE = (np.abs(_X) < 1.15).astype(np.float32).reshape(-1)


def straighten(upright: Floats) -> Floats:
    """Return the box with its bars truly upright."""
    total = np.zeros(4)
    current = upright
    for _ in range(_ROUNDS):
        step = _displacement_step(current)
        total += step
        shift = np.tensordot(total.astype(np.float32), _DISPLACEMENTS, axes=1)
        current = cv2.remap(upright, _COLUMN + shift, _ROW, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        if np.abs(step).max() < 0.15:
            break
    return current


def _displacement_step(upright: Floats) -> Floats:
    """Return the coefficients of the displacement that would make the rows alike, in columns."""
    soft = cv2.GaussianBlur(upright, (5, 5), 1.2)
    gx = cv2.Scharr(soft, cv2.CV_32F, 1, 0, scale=1 / 32).reshape(-1)
    gy = cv2.Scharr(soft, cv2.CV_32F, 0, 1, scale=1 / 32).reshape(-1)
    moving = _SHAPES * gx
    weight: Floats = _INSIDE
    result: Floats = np.zeros(4)
    for _ in range(2):
        weighted = moving * weight
        normal = (weighted @ moving.T).astype(np.float64)
        normal += _RIDGE * (np.trace(normal) + 1e-9)
        result = np.linalg.solve(normal, -(weighted @ gy).astype(np.float64))
        rest = gy + result.astype(np.float32) @ moving
        scale = 2.0 * float(np.median(np.abs(rest[::7]))) + 1e-6
        weight = _INSIDE / (1.0 + (rest / scale) ** 2)
    return np.clip(result, -25, 25)


def rectify(grey: Image, field: BarField) -> Crop:
    """Return the straightened strips of a box.

    Args:
        grey: Picture, uint8, shape (height, width).
        field: Where to cut.
    """
    rows = straighten(cut(grey, field))
    strips = rows.reshape(STRIPS, ROWS // STRIPS, COLUMNS).mean(axis=1)
    return Crop(strips, rows, field.length * REACH / COLUMNS, field)


# Brightness and contrast are taken to be even over this many modules.
_LOCAL_MODULES = 14
_LEAST_WEIGHT = 0.03


def flat_profile(rows: Floats, module_samples: float = NOMINAL_MODULE) -> Floats:
    """Return one robust profile along the symbol, shape (384,).

    Each row is freed of its slow changes of brightness and contrast. Then rows are averaged, each place of a row
    weighted by how well its surroundings agree with the average so far: grease without bars, blotches and scratches
    come to count little, while faint bars under noise all count alike.

    Args:
        rows: Straightened rows, float32, shape (32, 384).
        module_samples: Width of a module, where it is known. [samples]
    """
    window = (round(_LOCAL_MODULES * module_samples) | 1, 1)

    def _local_mean(values: Floats) -> Floats:
        return cv2.blur(values, window, borderType=cv2.BORDER_REPLICATE)

    flat = rows - _local_mean(rows)
    spread = np.sqrt(np.maximum(_local_mean(flat * flat), 0))
    floor = 0.35 * float(np.percentile(spread[:, ::4], 70)) + 1e-3
    flat /= np.maximum(spread, floor)
    profile = flat.mean(axis=0, keepdims=True)
    for _ in range(2):
        size = np.sqrt(np.maximum(_local_mean(profile * profile), 0)) + 1e-3
        agree = np.clip(_local_mean(flat * profile) / size, 0.0, 1.0)
        rest = flat - agree * profile / size
        odd = 1.0 / (1.0 + (rest / 1.5) ** 2)
        weight = odd * (agree + _LEAST_WEIGHT) / (1.1 - agree * agree)
        profile = (weight * flat).sum(axis=0, keepdims=True) / weight.sum(axis=0, keepdims=True)
    return np.asarray(profile[0])


def turned_round(strips: Floats) -> Floats:
    """Return the strips of the same label seen upside down."""
    return np.ascontiguousarray(strips[::-1, ::-1])
