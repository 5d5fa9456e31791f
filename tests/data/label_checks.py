"""Helpers of the label tests: render a page by an outside program, find the edges of its bars."""

from __future__ import annotations

import subprocess
from pathlib import Path

import cv2
import numpy as np

from labels.layout import LabelLayout
from labels.page import Page


def by_poppler(path: Path, dots_per_inch: int) -> np.ndarray:
    """Return the first page as poppler prints it."""
    target = path.with_name(path.stem + "-poppler")
    subprocess.run(["pdftoppm", "-singlefile", "-r", str(dots_per_inch), "-gray", str(path), str(target)], check=True)
    return cv2.imread(str(target.with_suffix(".pgm")), cv2.IMREAD_GRAYSCALE)


def by_ghostscript(path: Path, dots_per_inch: int) -> np.ndarray:
    """Return the first page as Ghostscript prints it, one bit a dot."""
    target = path.with_name(path.stem + "-gs.pbm")
    subprocess.run(["gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pbmraw", f"-r{dots_per_inch}",
                    f"-sOutputFile={target}", str(path)], check=True, capture_output=True)
    return cv2.imread(str(target), cv2.IMREAD_GRAYSCALE)


def edges_of_layout(layout: LabelLayout, left: int = 0) -> list[int]:
    """Return where bars begin and end, in dots from the page's left edge."""
    return [left + edge for bar in layout.bars for edge in (bar.x, bar.x + bar.width)]


def edges_in_picture(picture: np.ndarray, layout: LabelLayout, bottom: int = 0) -> list[int]:
    """Return where light turns dark or dark light along the row through the middle of the bars."""
    bar = layout.bars[0]
    row = picture[picture.shape[0] - bottom - bar.y - bar.height // 2] < 128
    return [int(edge) + 1 for edge in np.flatnonzero(np.diff(row.astype(int)))]


def with_light_round(picture: np.ndarray, margin: int = 12) -> np.ndarray:
    """Return the picture on a larger light ground, as a label on its backing is."""
    return cv2.copyMakeBorder(picture, margin, margin, margin, margin, cv2.BORDER_CONSTANT, value=255)


def page_size(page: Page) -> tuple[int, int]:
    """Return height and width in dots, as a picture's shape."""
    return page.height_dots, page.width_dots
