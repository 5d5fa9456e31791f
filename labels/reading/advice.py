"""What would help when a label was seen but not read: one plain sentence."""

from __future__ import annotations

import cv2
import numpy as np

from labels.reading.arrays import Image
from labels.reading.rectify import BOX_MODULES, COLUMNS, REACH, Crop

NO_LABEL = "No label in view. Hold it in front of the camera."
NOT_ISSUED = "This label was never issued by this yard."
NEARER = "Hold the label nearer to the camera."
FURTHER = "Hold the label further from the camera."
GLARE = "There is glare on the label. Hold it at another angle."
DARK = "There is too little light on the label."
STEADY = "Hold the label still."
WIPE = "Wipe the label and hold it straight before the camera."

_LEAST_MODULE_PX = 1.3
_GLARE_SHARE = 0.12
_DARK_LEVEL = 40.0
_SOFT_EDGES = 0.16


def hint(grey: Image, crops: list[Crop], is_refused: bool) -> str:
    """Return what would help.

    Args:
        grey: The picture.
        crops: What was cut out of it, the likeliest first.
        is_refused: A label was read that is not in the issued set.
    """
    if is_refused:
        return NOT_ISSUED
    if not crops:
        return DARK if float(grey.mean()) < _DARK_LEVEL / 2 else NO_LABEL
    return _hint_of(crops[0])


def _hint_of(crop: Crop) -> str:
    side = int(COLUMNS * (1 - 1 / REACH) / 2)
    bars = crop.rows[:, side:-side]
    low, high = np.percentile(bars, (5, 95))
    if float((bars > 250).mean()) > _GLARE_SHARE:
        return GLARE
    if crop.field.length / BOX_MODULES < _LEAST_MODULE_PX:
        return NEARER
    if high < _DARK_LEVEL:
        return DARK
    edges = float(np.abs(cv2.Sobel(crop.strips, cv2.CV_32F, 1, 0, scale=1 / 8)).mean())
    return STEADY if edges < _SOFT_EDGES * float(high - low) / 2 else WIPE
