"""A short film for a kiosk without a camera: a label is moved into view on a workbench, tilted, and taken away.

Drawn, not filmed, and the same every time: `python -m demo_shop.clip` writes `camera.avi` into the demo shop's folder;
`camera = "demo_shop/shop/camera.avi"` in kiosk.toml plays it round and round as a camera.
"""

from __future__ import annotations

import argparse
import math
import sys
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from demo_shop.book import read_book
from demo_shop.build import SHOP
from kiosk.errors import ConfigError
from labels.number import parse
from labels.symbol import symbol_modules

Picture = NDArray[np.uint8]

WIDTH, HEIGHT, FRAMES_PER_SECOND, SECONDS = 1280, 720, 15, 6
FILE_NAME = "camera.avi"
_MM = 12  # pixels to a millimetre of label
_LABEL_MM = (51, 25)
_MODULE = 5  # pixels
# Share of the film at which the label comes in, lies still, and is gone again.
_IN, _STILL_FROM, _STILL_TO, _OUT = 0.10, 0.24, 0.80, 0.92


def write_clip(path: Path, number: str, lines: tuple[str, ...] = (), seconds: int = SECONDS) -> Path:
    """Write the film of one label and return its path.

    Args:
        path: An .avi file; motion JPEG, 1280x720, 15 frames a second.
        number: The label's number. `lines`: what stands below the bars, ASCII only.

    Raises:
        ConfigError: the file cannot be written.
    """
    film = cv2.VideoWriter(str(path), cv2.VideoWriter.fourcc(*"MJPG"), FRAMES_PER_SECOND, (WIDTH, HEIGHT))
    if not film.isOpened():
        raise ConfigError(f"The film {path} cannot be written. Is its folder there?")
    bench, label = draw_bench(), draw_label(number, lines)
    frames = FRAMES_PER_SECOND * seconds
    for place in range(frames):
        film.write(_frame(bench, label, place / frames))
    film.release()
    return path


def draw_label(number: str, lines: tuple[str, ...] = ()) -> Picture:
    """Return the printed label, dark bars on paper. uint8, shape (height, width, 3), BGR."""
    parsed = parse(number)
    width, height = (side * _MM for side in _LABEL_MM)
    paper = np.full((height, width, 3), 244, np.uint8)
    modules = symbol_modules(parsed)
    left = (width - len(modules) * _MODULE) // 2
    for place, is_bar in enumerate(modules):
        if is_bar:
            paper[18:170, left + place * _MODULE:left + (place + 1) * _MODULE] = 26
    for row, text in enumerate((parsed.grouped, *lines)):
        size = 1.1 if row == 0 else 0.75
        (across, _), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, size, 2)
        corner = ((width - across) // 2, 208 + 36 * row)
        cv2.putText(paper, text, corner, cv2.FONT_HERSHEY_SIMPLEX, size, (30, 30, 30), 2, cv2.LINE_AA)
    return paper


def draw_bench() -> Picture:
    """Return a scratched steel bench top with a spanner and grease marks. uint8, shape (720, 1280, 3), BGR."""
    chance = np.random.default_rng(20)
    grain = cv2.resize(chance.normal(0, 16, (90, 40)), (WIDTH, HEIGHT), interpolation=cv2.INTER_CUBIC)
    shade = np.linspace(-18, 22, WIDTH)[None, :] + np.linspace(14, -16, HEIGHT)[:, None]
    grey = np.clip(112 + grain + shade + cv2.GaussianBlur(chance.normal(0, 2.4, (HEIGHT, WIDTH)), (0, 0), 1.8), 0, 255)
    bench = cv2.merge([np.clip(grey * tint, 0, 255).astype(np.uint8) for tint in (1.0, 0.98, 0.93)])
    for _ in range(70):
        x, y = chance.integers(0, WIDTH), chance.integers(0, HEIGHT)
        along = chance.uniform(-0.5, 0.5)
        end = (int(x + 140 * math.cos(along)), int(y + 140 * math.sin(along)))
        cv2.line(bench, (int(x), int(y)), end, (int(chance.integers(70, 180)),) * 3, 1, cv2.LINE_AA)
    _draw_spanner(np.asarray(bench, np.uint8))
    return _with_grease(np.asarray(bench, np.uint8), chance)


def _draw_spanner(bench: NDArray[np.uint8]) -> None:
    steel, edge = (176, 172, 168), (60, 58, 56)
    cv2.line(bench, (120, 610), (430, 660), edge, 40, cv2.LINE_AA)
    cv2.line(bench, (120, 610), (430, 660), steel, 32, cv2.LINE_AA)
    for centre in ((110, 608), (445, 662)):
        cv2.circle(bench, centre, 46, edge, -1, cv2.LINE_AA)
        cv2.circle(bench, centre, 41, steel, -1, cv2.LINE_AA)
        cv2.circle(bench, centre, 22, (84, 82, 80), -1, cv2.LINE_AA)


def _with_grease(bench: Picture, chance: np.random.Generator) -> Picture:
    marks = np.zeros((HEIGHT, WIDTH), np.uint8)
    for _ in range(9):
        centre = (int(chance.integers(60, WIDTH - 60)), int(chance.integers(40, HEIGHT - 40)))
        axes = (int(chance.integers(20, 90)), int(chance.integers(10, 34)))
        cv2.ellipse(marks, centre, axes, float(chance.uniform(0, 180)), 0, 360, 150, -1, cv2.LINE_AA)
    share = cv2.GaussianBlur(marks, (0, 0), 9).astype(np.float32)[..., None] / 255
    return np.asarray(bench * (1 - share) + np.array([34, 40, 44], np.float32) * share, np.uint8)


def _frame(bench: Picture, label: Picture, share: float) -> Picture:
    """Return the picture at a share of the film."""
    shown = _eased((share - _IN) / (_STILL_FROM - _IN)) - _eased((share - _STILL_TO) / (_OUT - _STILL_TO))
    turn = math.sin(2 * math.pi * (share - _STILL_FROM) / (_STILL_TO - _STILL_FROM))
    middle = np.array([1.62 * WIDTH - shown * 1.10 * WIDTH, 0.46 * HEIGHT + 40 * turn])
    matrix = _placement(label, middle, degrees=-6 + 17 * turn, lean=0.16 * turn)
    size = (WIDTH, HEIGHT)
    mask = cv2.warpPerspective(np.full(label.shape[:2], 255, np.uint8), matrix, size, flags=cv2.INTER_AREA)
    shadow = cv2.GaussianBlur(np.roll(mask, (9, 7), (0, 1)), (0, 0), 7).astype(np.float32)[..., None] / 255 * 0.45
    paper = cv2.warpPerspective(label, matrix, size, flags=cv2.INTER_AREA)
    cover = mask.astype(np.float32)[..., None] / 255
    picture = bench * (1 - shadow) * (1 - cover) + paper * cover
    return np.asarray(cv2.GaussianBlur(picture.astype(np.uint8), (3, 3), 0.6), np.uint8)


def _eased(share: float) -> float:
    """Return 0 before, 1 after, and a smooth way between."""
    inside = min(max(share, 0.0), 1.0)
    return inside * inside * (3 - 2 * inside)


def _placement(label: Picture, middle: NDArray[np.float64], degrees: float, lean: float) -> NDArray[np.float64]:
    """Return the matrix that lays the label with its middle at a point [px], turned, its far edge leaning away."""
    height, width = label.shape[:2]
    half_wide, half_high = 290.0, 290.0 * height / width
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)], np.float64)
    narrower = 1 - lean * corners[:, :1] * corners[:, 1:]
    laid = corners * (half_wide, half_high) * np.hstack([np.ones((4, 1)), narrower])
    turn = math.radians(degrees)
    spun = laid @ np.array([(math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))])
    flat = np.array([(0, 0), (width, 0), (width, height), (0, height)], np.float32)
    return np.asarray(cv2.getPerspectiveTransform(flat, (spun + middle).astype(np.float32)), np.float64)


def main(arguments: list[str] | None = None) -> int:
    """Write the film of one label of the demo shop."""
    parser = argparse.ArgumentParser(prog="python -m demo_shop.clip", description=__doc__.partition("\n")[0])
    parser.add_argument("--shop", type=Path, default=SHOP, metavar="FOLDER", help="the demo shop; default: %(default)s")
    parser.add_argument("--number", help="label to show; default: the first roller bearing that waits for its grease")
    parser.add_argument("--to", type=Path, metavar="FILE", help=f"default: {FILE_NAME} in the shop's folder")
    chosen = parser.parse_args(arguments)
    number = chosen.number or _waiting_bearing(chosen.shop)
    print(write_clip(chosen.to or chosen.shop / FILE_NAME, number))
    return 0


def _waiting_bearing(shop: Path) -> str:
    rows = (row for row in read_book(shop) if row["unit"].startswith("Unit 6 "))
    return next(row["number"] for row in rows if row["position"] == "Upper roller bearing, left")


if __name__ == "__main__":
    sys.exit(main())
