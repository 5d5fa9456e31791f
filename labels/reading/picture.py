"""Pictures in: from files and arrays to the grey picture that is searched, or a plain refusal."""

from __future__ import annotations

import warnings
from pathlib import Path

import cv2
import numpy as np
from PIL import Image as PillowImage
from PIL import UnidentifiedImageError

from labels.errors import ImageUnreadable
from labels.reading.arrays import Image

# A picture with more picture elements than this is read at half, a quarter or an eighth of its size.
COMFORTABLE_PIXELS = 24_000_000
# Pillow's own bound; a file of a few bytes may claim any size, and memory is taken before it is found out.
MOST_PIXELS = 178_956_970
LEAST_SIDE_PX = 16
_REDUCED = {1: cv2.IMREAD_GRAYSCALE, 2: cv2.IMREAD_REDUCED_GRAYSCALE_2, 4: cv2.IMREAD_REDUCED_GRAYSCALE_4,
            8: cv2.IMREAD_REDUCED_GRAYSCALE_8}


def grey_of(image: object) -> Image:
    """Return an array as a grey picture.

    Args:
        image: uint8, shape (height, width) grey, (height, width, 3) BGR or (height, width, 4) BGRA.

    Raises:
        ImageUnreadable: anything else.
    """
    if not isinstance(image, np.ndarray) or image.dtype != np.uint8 or image.size == 0:
        raise ImageUnreadable("This is no picture.", f"given: {type(image).__name__}")
    if image.ndim == 3 and image.shape[2] == 3:
        image = cv2.cvtColor(image, cv2.COLOR_BGR2GRAY)
    elif image.ndim == 3 and image.shape[2] == 4:
        image = cv2.cvtColor(image, cv2.COLOR_BGRA2GRAY)
    elif image.ndim == 3 and image.shape[2] == 1:
        image = image[:, :, 0]
    if image.ndim != 2:
        raise ImageUnreadable("This is no picture.", f"shape: {image.shape}")
    return np.ascontiguousarray(image)


def load(path: str | Path) -> Image:
    """Return a picture file as a grey picture; a huge one is read at a fraction of its size.

    Raises:
        ImageUnreadable: the file is missing, is no picture, is damaged beyond use or is far too large.
    """
    try:
        data = np.fromfile(path, np.uint8)
    except OSError as error:
        raise ImageUnreadable(f"{path} cannot be opened: {error.strerror or error}.", repr(error)) from error
    reduction = _reduction(path)
    try:
        grey = cv2.imdecode(data, _REDUCED[reduction]) if data.size else None
    except (cv2.error, MemoryError) as error:
        raise ImageUnreadable(f"{path} is no picture that can be read.", repr(error)) from error
    if grey is None or grey.size == 0:
        raise ImageUnreadable(f"{path} is no picture that can be read.")
    return np.ascontiguousarray(grey, dtype=np.uint8)


def _reduction(path: str | Path) -> int:
    """Return by how much a file's picture must be reduced, from its header alone."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", PillowImage.DecompressionBombWarning)
            with PillowImage.open(path) as picture:
                pixels = picture.width * picture.height
    except PillowImage.DecompressionBombError as error:
        raise ImageUnreadable(f"{path} is far too large to be read.", f"more than {MOST_PIXELS} elements") from error
    except UnidentifiedImageError as error:
        # OpenCV knows some kinds more, but nothing tells beforehand how much memory they take.
        raise ImageUnreadable(f"{path} is no picture that can be read.", repr(error)) from error
    except (OSError, ValueError, SyntaxError):
        return 1  # damaged; OpenCV may make something of it, or will refuse it
    for reduction in (1, 2, 4):
        if pixels <= COMFORTABLE_PIXELS * reduction**2:
            return reduction
    return 8
