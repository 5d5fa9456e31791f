"""What happens to a printed label: its drawing and the damage done to it, as reflectance in linear light.

Part of the seeded picture generator of the label measurements. Everything is in label coordinates: four picture
elements to a printer's dot of 203 dpi, three dots to a module.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from labels.number import parse
from labels.symbol import LABEL_MODULES, symbol_modules

DOT_PX = 4
MODULE_DOTS = 3
MODULE_PX = DOT_PX * MODULE_DOTS
MODULE_MM = 0.375
PX_PER_MM = MODULE_PX / MODULE_MM
LABEL_MM = (51.0, 25.0)
BARS_MM = (LABEL_MODULES * MODULE_MM, 12.0)
BARS_TOP_MM = 4.0
PAPER, INK = 0.82, 0.05

# Severity 1 to 5 of each damage, as in the trial whose numbers we compare with.
GREASE = ((0.10, 0.50), (0.20, 0.65), (0.32, 0.80), (0.45, 0.90), (0.60, 0.96))
SCRATCHES = (4, 10, 18, 30, 45)
TORN = (0.05, 0.12, 0.20, 0.30, 0.40)
FADING = (0.35, 0.22, 0.14, 0.09, 0.055)
PRINTER = ((1, 0.3), (2, 0.6), (4, 0.9), (7, 1.2), (11, 1.5))


@dataclass
class Drawing:
    """A label as reflectance, and which part of it is still there.

    Attributes:
        reflectance: float32, shape (height, width), linear. [-]
        present: float32 of the same shape, 1 where there is label, 0 where it is torn away. [-]
        bars: left, top, right, bottom of the bar field in picture elements.
    """

    reflectance: np.ndarray
    present: np.ndarray
    bars: tuple[int, int, int, int]


def draw_label(digits: str, rng: np.random.Generator, dead_dots: int = 0, growth_dots: float = 0.0,
               modules: tuple[bool, ...] | None = None) -> Drawing:
    """Return a printed label, its number in plain text below the bars.

    Args:
        digits: The number, also printed as text.
        dead_dots: How many dots of the print head do not print.
        growth_dots: By how much every bar is wider than it should be.
        modules: Another symbol's modules, instead of the number's.
    """
    width, height = round(LABEL_MM[0] * PX_PER_MM), round(LABEL_MM[1] * PX_PER_MM)
    ink = np.zeros((height, width), np.uint8)
    row = 255 * np.repeat(np.array(modules or symbol_modules(digits), np.uint8), MODULE_PX)
    left, top = (width - len(row)) // 2, round(BARS_TOP_MM * PX_PER_MM)
    bottom = top + round(BARS_MM[1] * PX_PER_MM)
    ink[top:bottom, left : left + len(row)] = row
    grow = round(growth_dots * DOT_PX)
    if grow:
        ink = cv2.dilate(ink, np.ones((1, grow + 1), np.uint8), anchor=(grow // 2, 0))
    text = parse(digits).grouped if modules is None else digits
    cv2.putText(ink, text, (left + 60, bottom + 170), cv2.FONT_HERSHEY_SIMPLEX, 3.6, 255, 14)
    cv2.putText(ink, "YARD 7", (left, top - 26), cv2.FONT_HERSHEY_SIMPLEX, 2.0, 255, 8)
    for _ in range(dead_dots):
        at = left + DOT_PX * int(rng.integers(0, len(row) // DOT_PX))
        ink[:, at : at + DOT_PX] = 0
    soft = cv2.GaussianBlur(ink.astype(np.float32) / 255, (0, 0), 1.2)
    reflectance = PAPER + (INK - PAPER) * soft
    reflectance *= 1 + 0.02 * smooth_noise(reflectance.shape, 40, rng)
    return Drawing(reflectance, np.ones_like(reflectance), (left, top, left + len(row), bottom))


def smooth_noise(shape: tuple[int, int], size: float, rng: np.random.Generator,
                 stretch: float = 1.0) -> np.ndarray:
    """Return noise of about unit spread whose patches are about `size` picture elements, wider by `stretch`."""
    rows = max(4, int(shape[0] / size) + 3)
    columns = max(4, int(shape[1] / (size * stretch)) + 3)
    coarse = rng.standard_normal((rows, columns)).astype(np.float32)
    return cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)


def smear_grease(drawing: Drawing, severity: int, rng: np.random.Generator) -> None:
    """Smear grease over the share of the bar field that the severity asks for."""
    coverage, opacity = GREASE[severity - 1]
    shape = drawing.reflectance.shape
    size = float(rng.uniform(60, 220))
    field = smooth_noise(shape, size, rng, float(rng.uniform(0.6, 2.5)))
    field += 0.5 * smooth_noise(shape, size / 3, rng)
    left, top, right, bottom = drawing.bars
    level = np.quantile(field[top:bottom:4, left:right:4], 1 - coverage)
    film = np.clip((field - level) * 6, 0, 1) * opacity
    film *= np.clip(1 + 0.12 * smooth_noise(shape, 25, rng), 0, 1 / opacity)
    colour = float(rng.choice([0.04, 0.08, 0.14, 0.30, 0.55], p=[0.3, 0.25, 0.2, 0.15, 0.1]))
    drawing.reflectance += film * (colour - drawing.reflectance)


def scratch(drawing: Drawing, severity: int, rng: np.random.Generator) -> None:
    """Scratch the label: light lines where the print is gone, dark ones where dirt sits in the groove."""
    left, top, right, bottom = drawing.bars
    for _ in range(SCRATCHES[severity - 1]):
        at = np.array([rng.uniform(left, right), rng.uniform(top, bottom)])
        angle, length = rng.uniform(0, np.pi), rng.uniform(3, 28) * PX_PER_MM
        bend = rng.normal(0, 0.08) * length
        along = np.linspace(-0.5, 0.5, 12)[:, None]
        direction = np.array([np.cos(angle), np.sin(angle)])
        normal = np.array([-direction[1], direction[0]])
        points = at + along * length * direction + (along**2) * 4 * bend * normal
        colour = PAPER * rng.uniform(0.75, 1.05) if rng.random() < 0.65 else rng.uniform(0.05, 0.2)
        thickness = max(1, round(rng.uniform(0.08, 0.45) * PX_PER_MM))
        cv2.polylines(drawing.reflectance, [points.astype(np.int32)], False, float(colour), thickness)


def tear(drawing: Drawing, severity: int, rng: np.random.Generator) -> None:
    """Tear the label at one end, ragged, so that the severity's part of the bars' width is gone."""
    part = TORN[severity - 1]
    height, width = drawing.present.shape
    left, _, right, _ = drawing.bars
    ragged = 0.35 * PX_PER_MM * smooth_noise((height, 1), 30, rng)[:, 0]
    ragged += np.linspace(-1, 1, height) * rng.uniform(-1.5, 1.5) * PX_PER_MM
    columns = np.arange(width)[None, :]
    if rng.random() < 0.5:
        gone = columns < (left + part * (right - left) + ragged)[:, None]
    else:
        gone = columns > (right - part * (right - left) + ragged)[:, None]
    drawing.present[gone] = 0


def fade(drawing: Drawing, severity: int, rng: np.random.Generator) -> None:
    """Bleach the print until only the severity's difference of reflectance is left."""
    left_over = FADING[severity - 1] * rng.uniform(0.95, 1.1)
    share = (drawing.reflectance - INK) / (PAPER - INK)
    paper = PAPER * (1 + 0.015 * smooth_noise(share.shape, 200, rng))
    drawing.reflectance = (paper - left_over * (1 - share)).astype(np.float32)
