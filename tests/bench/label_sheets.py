"""Draw contact sheets of the label pictures, to be looked at: python tests/bench/label_sheets.py FOLDER

A row a kind, a column a severity; the negatives have a sheet of their own, and all are on one small page. The start of
the bars is ringed.
"""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
import numpy as np

sys.path[:0] = [str(Path(__file__).resolve().parent), str(Path(__file__).resolve().parents[2])]

from label_pictures import (  # noqa: E402
    KINDS,
    NEGATIVES,
    SEVERITIES,
    Picture,
    draw,
    draw_negative,
    issued_numbers,
)

_TILE = (400, 220)
_ROWS_A_SHEET = 6


def tile(picture: Picture, title: str) -> np.ndarray:
    """Return the part of a picture round its label, with a title."""
    image = cv2.cvtColor(picture.image, cv2.COLOR_GRAY2BGR)
    if picture.corners is None:
        image = cv2.resize(image, _TILE, interpolation=cv2.INTER_AREA)
    else:
        cv2.circle(image, tuple(int(one) for one in picture.corners[0]), 4, (0, 0, 255), 1)
        x, y = picture.corners.mean(axis=0)
        left = int(np.clip(x - _TILE[0] / 2, 0, image.shape[1] - _TILE[0]))
        top = int(np.clip(y - _TILE[1] / 2, 0, image.shape[0] - _TILE[1]))
        image = image[top : top + _TILE[1], left : left + _TILE[0]].copy()
    cv2.putText(image, title, (5, 18), cv2.FONT_HERSHEY_SIMPLEX, 0.5, (0, 200, 0), 1)
    return image


def main(folder: Path, seed: int = 7) -> None:
    """Write the sheets into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    numbers = issued_numbers(len(SEVERITIES))
    rows = [np.hstack([tile(draw(kind, severity, seed, numbers[severity - 1]), f"{kind} {severity}")
                       for severity in SEVERITIES]) for kind in KINDS]
    for at in range(0, len(rows), _ROWS_A_SHEET):
        cv2.imwrite(str(folder / f"labels_{at // _ROWS_A_SHEET + 1}.png"), np.vstack(rows[at : at + _ROWS_A_SHEET]))
    negatives = [np.hstack([tile(draw_negative(sort, seed + one), f"{sort} {one}") for one in range(5)])
                 for sort in NEGATIVES]
    cv2.imwrite(str(folder / "negatives.png"), np.vstack(negatives))
    page = cv2.resize(np.vstack(rows + negatives), None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    cv2.imwrite(str(folder / "labels.jpg"), page, [cv2.IMWRITE_JPEG_QUALITY, 82])


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python tests/bench/label_sheets.py FOLDER")
    main(Path(sys.argv[1]))
