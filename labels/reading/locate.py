"""Finding fields of parallel bars in a picture, at any angle.

The structure tensor of the grey values is averaged over cells of eight by eight picture elements. A cell inside a bar
field points across the bars, and so do its neighbours, whatever the contrast: cells count as unit vectors. For nine
directions, cells that agree with the direction are joined to patches, and each patch becomes a turned box with a
score. Texture and print give boxes too; the search for a symbol inside a box tells them apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from labels.reading.arrays import Floats, Image

CELL_PX = 8
_DIRECTIONS = 9
# The picture is searched at this size and at half of it, so that a near label's bars are not wider than a cell.
_LONG_SIDE_PX = 1280
_LEAST_SIDE_CELLS = 4
# Patches smaller than this are specks; only the largest few of a direction are looked at.
_LEAST_CELLS = 8
_MOST_PATCHES = 8
_MOST_FIELDS = 4
_MOST_ON_A_SPOT = 2
# A larger patch is no more likely to be a label; texture makes the largest.
_CELLS_ENOUGH = 150


@dataclass(frozen=True, slots=True)
class BarField:
    """A turned box that may hold a symbol, in picture coordinates.

    Attributes:
        x, y: Middle of the box. [px]
        angle: Direction across the bars, along which a symbol is read. [rad]
        length: Extent in that direction. [px]
        height: Extent along the bars. [px]
        score: How much like a bar field it is; greater is better. [-]
    """

    x: float
    y: float
    angle: float
    length: float
    height: float
    score: float

    def corners(self) -> Floats:
        """Return the box's corners, shape (4, 2). [px]"""
        along = np.array([np.cos(self.angle), np.sin(self.angle)])
        across = np.array([-along[1], along[0]])
        middle = np.array([self.x, self.y])
        return np.array(
            [middle + sign_l * self.length / 2 * along + sign_h * self.height / 2 * across
             for sign_l, sign_h in ((-1, -1), (1, -1), (1, 1), (-1, 1))], np.float32)


def find_bar_fields(grey: Image, most: int = _MOST_FIELDS) -> list[BarField]:
    """Return the boxes that may hold a symbol, the most likely first.

    Args:
        grey: Picture, uint8, shape (height, width).
        most: How many boxes at most.
    """
    fields: list[BarField] = []
    if min(grey.shape) < _LEAST_SIDE_CELLS * CELL_PX:
        return fields
    scale = min(1.0, _LONG_SIDE_PX / max(grey.shape))
    size = [max(1, round(side * scale)) for side in grey.shape[::-1]]
    level = grey if scale == 1.0 else cv2.resize(grey, size, interpolation=cv2.INTER_AREA)
    for factor in (1.0, 0.5):
        if min(level.shape) * factor < _LEAST_SIDE_CELLS * CELL_PX:
            break
        if factor < 1.0:
            level = cv2.resize(level, None, fx=factor, fy=factor, interpolation=cv2.INTER_AREA)
            scale *= factor
        fields += [_scaled(field, 1 / scale) for field in _fields_of_level(level)]
    apart = _best_apart(fields, 4 * most)
    return _best_apart(apart + _bridged(apart), most)


def _scaled(field: BarField, factor: float) -> BarField:
    return BarField(field.x * factor, field.y * factor, field.angle, field.length * factor,
                    field.height * factor, field.score)


def _cells(level: Image) -> tuple[Floats, Floats, Floats]:
    """Return per cell the doubled-angle vector and the gradient energy."""
    rows, columns = level.shape[0] // CELL_PX, level.shape[1] // CELL_PX
    level = level[: rows * CELL_PX, : columns * CELL_PX]
    gx = cv2.Sobel(level, cv2.CV_16S, 1, 0)
    gy = cv2.Sobel(level, cv2.CV_16S, 0, 1)
    gx, gy = gx.astype(np.float32), gy.astype(np.float32)
    size = (columns, rows)

    def mean(values: Floats) -> Floats:
        return cv2.resize(values, size, interpolation=cv2.INTER_AREA)

    xx, yy, xy = mean(gx * gx), mean(gy * gy), mean(gx * gy)
    return xx - yy, 2 * xy, xx + yy


def _fields_of_level(level: Image) -> list[BarField]:
    cosine, sine, energy = _cells(level)
    strength = np.hypot(cosine, sine)
    # What a bit of noise gives; below it a cell has no direction worth counting.
    floor = 60.0 + 0.5 * float(np.median(energy))
    unit = 1.0 / (strength + 0.3 * energy + floor)
    fields = []
    faint = 1.0 / (energy + 30.0)
    ways = ((unit, 3, 0.30), (unit * np.minimum(1.0, energy / (6.0 * floor)), 3, 0.30), (faint, 5, 0.14))
    for weights, window, least in ways:
        c, s = cv2.blur(cosine * weights, (window, window)), cv2.blur(sine * weights, (window, window))
        for index in range(_DIRECTIONS):
            angle = np.pi * index / _DIRECTIONS
            agree = c * np.cos(2 * angle) + s * np.sin(2 * angle)
            aside = np.abs(s * np.cos(2 * angle) - c * np.sin(2 * angle))
            mask = ((agree > least) & (aside < 0.58 * agree)).astype(np.uint8)
            fields += _fields_of_mask(mask, agree, cosine, sine, energy)
    return fields


def _fields_of_mask(mask: Image, agree: Floats, cosine: Floats, sine: Floats, energy: Floats) -> list[BarField]:
    """Return a box for each patch of agreeing cells."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=8)
    fields = []
    sizes = stats[1:, cv2.CC_STAT_AREA]
    large = np.nonzero(sizes >= _LEAST_CELLS)[0]
    for index in large[np.argsort(-sizes[large])][:_MOST_PATCHES] + 1:
        left, top, width, height, _ = stats[index]
        part = (slice(top, top + height), slice(left, left + width))
        inside = labels[part] == index
        rows, columns = np.nonzero(inside)
        weight = agree[part][inside]
        c, s = float((cosine[part][inside]).sum()), float((sine[part][inside]).sum())
        field = _box(rows + top, columns + left, weight, energy[part][inside], 0.5 * np.arctan2(s, c))
        if field is not None:
            fields.append(field)
    return fields


def _box(rows: Floats, columns: Floats, weight: Floats, energy: Floats,
         angle: float) -> BarField | None:
    """Return the box round a patch, and how much it looks like a bar field."""
    along = columns * np.cos(angle) + rows * np.sin(angle)
    across = -columns * np.sin(angle) + rows * np.cos(angle)
    low, high = along.min(), along.max()
    bottom, top = across.min(), across.max()
    length, height = (high - low + 1) * CELL_PX, (top - bottom + 1) * CELL_PX
    middle_along, middle_across = (low + high) / 2, (bottom + top) / 2
    x = (middle_along * np.cos(angle) - middle_across * np.sin(angle) + 0.5) * CELL_PX
    y = (middle_along * np.sin(angle) + middle_across * np.cos(angle) + 0.5) * CELL_PX
    if length < 40 or height < 10:
        return None
    fill = len(rows) * CELL_PX**2 / (length * height)
    ratio = length / height
    shape = float(np.exp(-0.5 * (np.log(ratio / 2.8) / 0.8) ** 2))
    score = float(weight.mean() * min(1.0, fill * 1.3) * shape * np.sqrt(min(len(rows), _CELLS_ENOUGH))
                  * np.log1p(float(energy.mean()) / 100.0))
    return BarField(float(x), float(y), float(angle), float(length), float(height), score)


def _best_apart(fields: list[BarField], most: int) -> list[BarField]:
    """Return the best boxes, leaving out those that say the same as a better one."""
    kept: list[BarField] = []
    for field in sorted(fields, key=lambda one: -one.score):
        if len(kept) == most:
            break
        if any(_is_same(field, other) for other in kept):
            continue
        # Rings and crumpled things have bars in every direction and would take all the places.
        if sum(_lies_on(field, other) for other in kept) < _MOST_ON_A_SPOT:
            kept.append(field)
    return kept


def _lies_on(one: BarField, other: BarField) -> bool:
    """Return whether a box lies about where another does, whatever its direction."""
    return bool(np.hypot(one.x - other.x, one.y - other.y) < 0.5 * max(other.height, min(one.length, other.length)))


def _bridged(fields: list[BarField]) -> list[BarField]:
    """Return boxes over pairs of boxes in line with each other: glare or grease may hide the middle of a label."""
    bridges = []
    for at, one in enumerate(fields):
        for other in fields[at + 1 :]:
            bridge = _bridge(one, other)
            if bridge is not None:
                bridges.append(bridge)
    return bridges


def _bridge(one: BarField, other: BarField) -> BarField | None:
    turn = abs((one.angle - other.angle + np.pi / 2) % np.pi - np.pi / 2)
    ratio = one.height / other.height
    if turn > 0.2 or not 0.5 < ratio < 2.0:
        return None
    dx, dy = other.x - one.x, other.y - one.y
    height = max(one.height, other.height)
    c, s = np.cos(one.angle), np.sin(one.angle)
    along, across = dx * c + dy * s, dy * c - dx * s
    low = min(-one.length / 2, along - other.length / 2)
    high = max(one.length / 2, along + other.length / 2)
    length = float(high - low)
    gap = abs(along) - (one.length + other.length) / 2
    if abs(across) > 0.4 * height or not 0 < gap < 0.6 * length or not 1.5 < length / height < 4.5:
        return None
    middle, shift = (low + high) / 2, across / 2
    return BarField(float(one.x + middle * c - shift * s), float(one.y + middle * s + shift * c), one.angle,
                    length, float(height), 0.9 * (one.score + other.score))


def _is_same(one: BarField, other: BarField) -> bool:
    turn = abs((one.angle - other.angle + np.pi / 2) % np.pi - np.pi / 2)
    near = np.hypot(one.x - other.x, one.y - other.y) < 0.2 * max(one.length, other.length)
    alike = 0.6 < one.length / other.length < 1.67 and 0.5 < one.height / other.height < 2.0
    return bool(near and alike and turn < 0.26)
