"""What each Code 128 character looks like through a lens: blurred patterns sampled along the symbol.

Patterns are computed twelve times a module, blurred with the kernels a camera makes (a Gaussian for a small lens or
ink, a disc for defocus, a box for motion), and sampled twice a module. Before and after a character stands the mean
of all characters, because its neighbours are not known. Bars may be wider or narrower than printed (ink, overexposed
paper). Pure numpy.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from labels.reading.arrays import Floats
from labels.symbol import (
    CHARACTER_MODULES,
    STOP_MODULES,
    STOP_WIDTHS,
    module_table,
    modules_of_widths,
)

SAMPLES = 2
FINE = 12
CHARACTERS = 106
# Modules of quiet zone that belong to the patterns of start and stop.
ANCHOR_QUIET = 5
CHARACTER_SAMPLES = CHARACTER_MODULES * SAMPLES
ANCHOR_START_SAMPLES = (ANCHOR_QUIET + CHARACTER_MODULES) * SAMPLES
ANCHOR_STOP_SAMPLES = (STOP_MODULES + ANCHOR_QUIET) * SAMPLES
START = 105


@dataclass(frozen=True, slots=True)
class Blur:
    """One way the picture softens the symbol.

    Attributes:
        shape: 'gauss', 'disc' or 'box'.
        size: Standard deviation, radius or length. [modules]
        growth: How much wider than printed a bar looks. [modules]
    """

    shape: str
    size: float
    growth: float = 0.0


# A few for the search, many for the final comparison.
SEARCH_BLURS = (Blur("gauss", 0.4), Blur("gauss", 0.8), Blur("disc", 1.8), Blur("box", 3.2))
FINAL_BLURS = SEARCH_BLURS + tuple(
    Blur(shape, size, growth)
    for growth in (-0.3, 0.0, 0.25, 0.5)
    for shape, size in (("gauss", 0.15), ("gauss", 0.3), ("gauss", 0.55), ("gauss", 0.8), ("gauss", 1.1), ("disc", 1.2),
                        ("disc", 1.6), ("disc", 2.0), ("box", 2.0), ("box", 2.8), ("box", 3.6))
)


@dataclass(frozen=True, slots=True)
class Templates:
    """Patterns of one blur, each without mean and slope, of length one, samples last.

    Attributes:
        characters: shape (106, 22), values 0 to 105. [-]
        start: Quiet zone and start character of code set C, shape (32,). [-]
        stop: Stop character and quiet zone, shape (36,). [-]
    """

    characters: Floats
    start: Floats
    stop: Floats


@cache
def kernel(shape: str, size: float) -> Floats:
    """Return the blur's profile across the bars on the fine grid, of sum one."""
    half = int(np.ceil(FINE * size * (3.5 if shape == "gauss" else 1.0))) + 1
    x = np.arange(-half, half + 1) / FINE
    if shape == "gauss":
        values = np.exp(-0.5 * (x / size) ** 2)
    elif shape == "disc":
        values = np.sqrt(np.maximum(0.0, 1.0 - (x / size) ** 2))
    else:
        values = (np.abs(x) <= size / 2).astype(float)
    # The sensor's own softness, about a third of a module, comes on top of disc and box.
    if shape != "gauss":
        values = np.convolve(values, kernel("gauss", 0.35))
    return np.asarray(values / values.sum())


def reflectances(modules: NDArray[np.bool_], blur: Blur, pad: float = 1.0) -> Floats:
    """Return a row of modules as the camera sees it, light 1 and dark -1, on the fine grid.

    Args:
        modules: True where a bar is, shape (n,).
        blur: How it is softened.
        pad: What stands beyond both ends.
    """
    fine = np.where(np.repeat(modules, FINE), -1.0, 1.0)
    return soften(fine, blur, pad)


def soften(fine: Floats, blur: Blur, pad: float) -> Floats:
    """Return a row of the fine grid with its bars grown and the blur applied."""
    margin = 6 * FINE
    row = np.concatenate([np.full(margin, pad), fine, np.full(margin, pad)])
    grow = round(abs(blur.growth) * FINE / 2)
    if grow:
        shifted = [np.roll(row, shift) for shift in range(-grow, grow + 1)]
        row = np.min(shifted, axis=0) if blur.growth > 0 else np.max(shifted, axis=0)
    return np.convolve(row, kernel(blur.shape, blur.size), mode="same")[margin:-margin]


def sample(fine: Floats) -> Floats:
    """Return the fine grid's means over each of `SAMPLES` parts of a module, last axis."""
    return np.asarray(fine.reshape(*fine.shape[:-1], -1, FINE // SAMPLES).mean(axis=-1))


def unit(values: Floats) -> Floats:
    """Return rows without mean and slope, of length one."""
    centred = values - values.mean(axis=-1, keepdims=True)
    slope = ramp(values.shape[-1])
    centred -= (centred @ slope)[..., None] * slope
    return np.asarray(centred / np.linalg.norm(centred, axis=-1, keepdims=True), dtype=np.float32)


@cache
def ramp(samples: int) -> Floats:
    """Return a straight slope of mean zero and length one."""
    slope = np.arange(samples) - (samples - 1) / 2
    return np.asarray(slope / np.linalg.norm(slope))


@cache
def templates(blur: Blur) -> Templates:
    """Return the patterns of one blur."""
    table = np.where(np.array(module_table()), -1.0, 1.0)
    fine = np.repeat(table, FINE, axis=1)
    mean = fine[:100].mean(axis=0)
    context = [np.concatenate([mean, row, mean]) for row in fine]
    width = CHARACTER_MODULES * FINE
    seen = np.array([soften(row, blur, 0.0)[width : 2 * width] for row in context])
    stop = np.repeat(np.where(np.array(modules_of_widths(STOP_WIDTHS)), -1.0, 1.0), FINE)
    quiet = np.ones(ANCHOR_QUIET * FINE)
    before = soften(np.concatenate([quiet, quiet, fine[START], mean]), blur, 1.0)
    after = soften(np.concatenate([mean, stop, quiet, quiet]), blur, 1.0)
    start_seen = before[len(quiet) : len(quiet) + len(quiet) + width]
    stop_seen = after[width : width + len(stop) + len(quiet)]
    return Templates(unit(sample(seen)), unit(sample(start_seen)), unit(sample(stop_seen)))


@cache
def character_bank(blurs: tuple[Blur, ...]) -> Floats:
    """Return the characters of several blurs, shape (blurs, 106, 22)."""
    return np.stack([templates(blur).characters for blur in blurs])


@cache
def anchor_bank(blurs: tuple[Blur, ...]) -> tuple[Floats, Floats]:
    """Return start and stop of several blurs, shapes (blurs, 32) and (blurs, 36)."""
    return (np.stack([templates(blur).start for blur in blurs]),
            np.stack([templates(blur).stop for blur in blurs]))
