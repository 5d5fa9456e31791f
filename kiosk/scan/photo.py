"""A camera's frame as a photo to be kept: bounded in size, encoded anew, so that it carries no word about the camera.

Nobody is looked for in it: there is no detection of faces or people here.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from kiosk.errors import CameraLost
from kiosk.language import tr

LONGEST_SIDE_PX = 1600
MOST_BYTES = 400_000
_QUALITIES = (88, 80, 70, 60, 45, 30)


def photo_of_frame(frame: NDArray[np.uint8]) -> tuple[bytes, int, int]:
    """Return a frame as JPEG with its width and height, no larger than LONGEST_SIDE_PX and MOST_BYTES.

    Args:
        frame: uint8, shape (height, width, 3), BGR.

    Raises:
        CameraLost: the frame holds no picture.
    """
    if frame.size == 0:
        raise CameraLost(tr("The camera gave an empty picture. Try again."))
    picture = _bounded(frame)
    while True:
        for quality in _QUALITIES:
            ok, encoded = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])
            if ok and len(encoded) <= MOST_BYTES:
                height, width = picture.shape[:2]
                return encoded.tobytes(), width, height
        picture = cv2.resize(picture, None, fx=0.7, fy=0.7, interpolation=cv2.INTER_AREA).astype(np.uint8)


def _bounded(frame: NDArray[np.uint8]) -> NDArray[np.uint8]:
    scale = LONGEST_SIDE_PX / max(frame.shape[:2])
    if scale >= 1:
        return frame
    return np.asarray(cv2.resize(frame, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), np.uint8)
