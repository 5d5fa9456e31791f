"""Helpers of the label tests: render a page by an outside program, find the edges of its bars."""

from __future__ import annotations

import struct
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


def unpacked_raster(raster: bytes) -> np.ndarray:
    """Return the dots of the first page of printer raster, written from PWG 5102.4 apart from the code under test."""
    assert raster[:4] == b"RaS2"
    width, height = struct.unpack_from(">2I", raster, 4 + 372)
    bits, bits_dot, line_bytes, _order, space = struct.unpack_from(">5I", raster, 4 + 384)
    assert (bits, bits_dot, space) == (1, 1, 3)
    at, rows = 4 + 1796, []
    while len(rows) < height:
        repeat, line, at = raster[at] + 1, bytearray(), at + 1
        while len(line) < line_bytes:
            if raster[at] < 128:
                line += raster[at + 1 : at + 2] * (raster[at] + 1)
                at += 2
            else:
                line += raster[at + 1 : at + 1 + 257 - raster[at]]
                at += 1 + 257 - raster[at]
        assert len(line) == line_bytes
        rows += [np.frombuffer(bytes(line), np.uint8)] * repeat
    assert at == len(raster)
    return np.unpackbits(np.array(rows), axis=1)[:, :width].astype(bool)


def picture_of_raster(path: Path) -> np.ndarray:
    """Return what came out of a printer that takes printer raster, as a picture on light ground."""
    return with_light_round(np.where(unpacked_raster(path.read_bytes()), 0, 255).astype(np.uint8), 20)
