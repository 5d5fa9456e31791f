"""Where a label sits: surfaces, clutter that looks like bars, the pinhole camera, light, lens and sensor.

Part of the seeded picture generator of the label measurements. Images are float32, linear light, 1 is white paper in
full light.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from label_damage import BARS_MM, BARS_TOP_MM, LABEL_MM, MODULE_MM, PX_PER_MM, Drawing, smooth_noise

WIDTH, HEIGHT = 1280, 720
FOCAL_PX = 1100.0


@dataclass(frozen=True)
class Pose:
    """How the label is held before the camera.

    Attributes:
        angle: Turn in the picture plane. [rad]
        tilt: Turn out of it. [rad]
        tilt_axis: Direction of the axis of that turn, in the label. [rad]
        module_px: Width of a module at the middle of the label, before the tilt.
        centre: Where the middle of the bars is seen, x and y in picture elements.
        radius_mm: Radius of the cylinder the label is stuck to, None on a plane.
        is_curved_along: True when the bars lie along the cylinder's axis, so that the profile is squeezed.
    """

    angle: float = 0.0
    tilt: float = 0.0
    tilt_axis: float = 0.0
    module_px: float = 2.5
    centre: tuple[float, float] = (WIDTH / 2, HEIGHT / 2)
    radius_mm: float | None = None
    is_curved_along: bool = True


def background(rng: np.random.Generator) -> np.ndarray:
    """Return a surface of the yard with clutter on it."""
    surface = _SURFACES[int(rng.integers(len(_SURFACES)))](rng)
    for _ in range(int(rng.integers(0, 4))):
        _CLUTTER[int(rng.integers(len(_CLUTTER)))](surface, rng)
    return np.clip(surface, 0.005, 1.2)


def _brushed_metal(rng: np.random.Generator) -> np.ndarray:
    noise = rng.standard_normal((HEIGHT + 400, WIDTH + 400)).astype(np.float32)
    noise = cv2.blur(noise, (int(rng.integers(40, 200)), 1)) * 9
    turn = cv2.getRotationMatrix2D((noise.shape[1] / 2, noise.shape[0] / 2), float(rng.uniform(0, 180)), 1.0)
    noise = cv2.warpAffine(noise, turn, (noise.shape[1], noise.shape[0]), borderMode=cv2.BORDER_REFLECT)
    level = rng.uniform(0.15, 0.5)
    return level * (1 + rng.uniform(0.05, 0.25) * noise[200:-200, 200:-200])


def _casting(rng: np.random.Generator) -> np.ndarray:
    level = rng.uniform(0.05, 0.35)
    rough = smooth_noise((HEIGHT, WIDTH), 4, rng) + smooth_noise((HEIGHT, WIDTH), 25, rng)
    return level * (1 + 0.15 * rough)


def _bench(rng: np.random.Generator) -> np.ndarray:
    grain = smooth_noise((HEIGHT, WIDTH), 5, rng, 40) + smooth_noise((HEIGHT, WIDTH), 60, rng, 4)
    return rng.uniform(0.15, 0.45) * (1 + 0.12 * grain)


def _ribbed_belt(rng: np.random.Generator) -> np.ndarray:
    pitch, angle = rng.uniform(9, 60), rng.uniform(0, np.pi)
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH].astype(np.float32)
    along = x * np.cos(angle) + y * np.sin(angle)
    ribs = np.tanh(3 * np.sin(2 * np.pi * along / pitch + smooth_noise((HEIGHT, WIDTH), 200, rng) * 0.3))
    return rng.uniform(0.05, 0.2) * (1 + 0.5 * ribs + 0.1 * smooth_noise((HEIGHT, WIDTH), 6, rng))


def _lines(image: np.ndarray, rng: np.random.Generator, regular: bool) -> None:
    """Draw a patch of parallel lines: a thread, a comb, cooling fins."""
    count, pitch = int(rng.integers(12, 45)), rng.uniform(3, 12)
    length, angle = rng.uniform(25, 140), rng.uniform(0, np.pi)
    at = np.array([rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)])
    along = np.array([np.cos(angle), np.sin(angle)])
    across = np.array([-along[1], along[0]])
    colour = float(rng.uniform(0.02, 0.9))
    for index in range(count):
        shift = index * pitch if regular else index * pitch + rng.uniform(-0.4, 0.4) * pitch
        start = at + along * shift - across * length / 2
        thickness = max(1, round(pitch * (0.5 if regular else rng.uniform(0.2, 0.8))))
        cv2.line(image, tuple(map(int, start)), tuple(map(int, start + across * length)), colour, thickness,
                 cv2.LINE_AA)


def _thread(image: np.ndarray, rng: np.random.Generator) -> None:
    _lines(image, rng, regular=True)


def _comb(image: np.ndarray, rng: np.random.Generator) -> None:
    _lines(image, rng, regular=False)


def _rings(image: np.ndarray, rng: np.random.Generator) -> None:
    at = (int(rng.uniform(0, WIDTH)), int(rng.uniform(0, HEIGHT)))
    for radius in np.cumsum(rng.uniform(4, 14, int(rng.integers(4, 20)))):
        cv2.circle(image, at, int(radius), float(rng.uniform(0.02, 0.7)), int(rng.integers(1, 5)), cv2.LINE_AA)


def _text(image: np.ndarray, rng: np.random.Generator) -> None:
    for line in range(int(rng.integers(1, 6))):
        letters = "".join(chr(int(code)) for code in rng.integers(65, 91, int(rng.integers(5, 24))))
        size = float(rng.uniform(0.4, 1.4))
        at = (int(rng.uniform(0, WIDTH * 0.8)), int(rng.uniform(20, HEIGHT - 100) + line * 30 * size))
        mask = np.zeros(image.shape, np.uint8)
        cv2.putText(mask, letters, at, cv2.FONT_HERSHEY_SIMPLEX, size, 255, 2, cv2.LINE_AA)
        image += mask / np.float32(255) * (float(rng.uniform(0.02, 0.9)) - image)


def _bolt(image: np.ndarray, rng: np.random.Generator) -> None:
    at, radius = (int(rng.uniform(0, WIDTH)), int(rng.uniform(0, HEIGHT))), int(rng.uniform(15, 90))
    cv2.circle(image, at, radius, float(rng.uniform(0.1, 0.6)), -1, cv2.LINE_AA)
    cv2.circle(image, at, radius // 2, float(rng.uniform(0.02, 0.4)), -1, cv2.LINE_AA)


_SURFACES = (_brushed_metal, _casting, _bench, _ribbed_belt)
_CLUTTER = (_thread, _comb, _rings, _text, _bolt)


def place(image: np.ndarray, drawing: Drawing, pose: Pose) -> np.ndarray:
    """Return the image with the label in it, seen by a pinhole camera; four samples a picture element."""
    reach = int(1.15 * pose.module_px / MODULE_MM * np.hypot(*LABEL_MM) / 2) + 8
    x0, y0 = max(0, int(pose.centre[0]) - reach), max(0, int(pose.centre[1]) - reach)
    x1, y1 = min(WIDTH, int(pose.centre[0]) + reach), min(HEIGHT, int(pose.centre[1]) + reach)
    times = 2
    xs = (np.arange(times * (x1 - x0), dtype=np.float32) + 0.5) / times + x0 - 0.5
    ys = (np.arange(times * (y1 - y0), dtype=np.float32) + 0.5) / times + y0 - 0.5
    label_x, label_y = _label_points(xs[None, :], ys[:, None], pose)
    shrink = min(1.0, times * pose.module_px * 1.3 / (MODULE_MM * PX_PER_MM))
    pre = (cv2.resize(part, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
           for part in (drawing.reflectance, drawing.present))
    maps = [((one * PX_PER_MM + 0.5) * shrink - 0.5).astype(np.float32) for one in (label_x, label_y)]
    reflectance, present = (
        cv2.remap(part, maps[0], maps[1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=border)
        for part, border in zip(pre, (0.5, 0.0), strict=True))
    size = (x1 - x0, y1 - y0)
    reflectance = cv2.resize(reflectance * present, size, interpolation=cv2.INTER_AREA)
    present = cv2.resize(present, size, interpolation=cv2.INTER_AREA)
    result = image.copy()
    result[y0:y1, x0:x1] = reflectance + (1 - present) * result[y0:y1, x0:x1]
    return result


def _turn(axis: np.ndarray, angle: float) -> np.ndarray:
    return cv2.Rodrigues(axis * angle)[0]


def _axes(pose: Pose) -> tuple[np.ndarray, np.ndarray]:
    """Return the label's axes in camera coordinates as columns, and where its middle is, in mm."""
    spin = _turn(np.array([0.0, 0.0, 1.0]), pose.angle)
    tilt = _turn(np.array([np.cos(pose.tilt_axis), np.sin(pose.tilt_axis), 0.0]), pose.tilt)
    distance = FOCAL_PX * MODULE_MM / pose.module_px
    middle = distance * np.array([(pose.centre[0] - WIDTH / 2) / FOCAL_PX,
                                  (pose.centre[1] - HEIGHT / 2) / FOCAL_PX, 1.0])
    return spin @ tilt, middle


def _label_points(x: np.ndarray, y: np.ndarray, pose: Pose) -> tuple[np.ndarray, np.ndarray]:
    """Return which point of the label, in mm from its corner, each picture element shows; far away when none."""
    axes, middle = _axes(pose)
    rays = np.stack(np.broadcast_arrays((x - WIDTH / 2) / FOCAL_PX, (y - HEIGHT / 2) / FOCAL_PX,
                                        np.float32(1.0)), -1)
    direction = rays @ axes.astype(np.float32)
    start = (-middle) @ axes
    if pose.radius_mm is None:
        reach = -start[2] / direction[..., 2]
        along, across = start[0] + reach * direction[..., 0], start[1] + reach * direction[..., 1]
    else:
        along, across = _cylinder_points(start, direction, pose)
    return along + LABEL_MM[0] / 2, across + BARS_TOP_MM + BARS_MM[1] / 2


def _cylinder_points(start: np.ndarray, direction: np.ndarray, pose: Pose) -> tuple[np.ndarray, np.ndarray]:
    """Return label coordinates on a cylinder whose top line goes through the label's middle."""
    bent, straight = (0, 1) if pose.is_curved_along else (1, 0)
    radius = float(pose.radius_mm or 0)
    # The label faces the camera, whose side is negative z; the cylinder's axis lies behind it.
    depth = start[2] - radius
    a = direction[..., bent] ** 2 + direction[..., 2] ** 2
    b = start[bent] * direction[..., bent] + depth * direction[..., 2]
    c = start[bent] ** 2 + depth**2 - radius**2
    root = b * b - a * c
    reach = (-b - np.sqrt(np.maximum(root, 0))) / a
    arc = radius * np.arctan2(start[bent] + reach * direction[..., bent], -(depth + reach * direction[..., 2]))
    arc = np.where(root > 0, arc, 1e4)
    flat = start[straight] + reach * direction[..., straight]
    return (arc, flat) if pose.is_curved_along else (flat, arc)


def bars_corners(pose: Pose) -> np.ndarray:
    """Return the four corners of the bar field in the picture, start first, shape (4, 2)."""
    along, across = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]).T / 2
    return picture_points(along * BARS_MM[0], across * BARS_MM[1], pose)


def picture_points(along_mm: np.ndarray, across_mm: np.ndarray, pose: Pose) -> np.ndarray:
    """Return where points of the bar field are seen, last axis x and y; both counted from its middle. [px]"""
    axes, middle = _axes(pose)
    flat = np.stack([along_mm, across_mm, np.zeros_like(along_mm)], axis=-1).astype(float)
    if pose.radius_mm is not None:
        bent = 0 if pose.is_curved_along else 1
        turn = flat[..., bent] / pose.radius_mm
        flat[..., bent], flat[..., 2] = pose.radius_mm * np.sin(turn), pose.radius_mm * (1 - np.cos(turn))
    seen = flat @ axes.T + middle
    return seen[..., :2] / seen[..., 2:] * FOCAL_PX + (WIDTH / 2, HEIGHT / 2)


def light(image: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Return the image under one lamp: brighter on one side."""
    y, x = np.mgrid[-1:1:HEIGHT * 1j, -1:1:WIDTH * 1j].astype(np.float32)
    angle, slope = rng.uniform(0, 2 * np.pi), rng.uniform(0, 0.45)
    return image * (1 + slope * (x * np.cos(angle) + y * np.sin(angle)))


def glare(image: np.ndarray, pose: Pose, peak: float, width_mm: float, rng: np.random.Generator) -> np.ndarray:
    """Return the image with a lamp's reflection on the bars."""
    px_per_mm = pose.module_px / MODULE_MM
    at = np.array(pose.centre) + rng.normal(0, 1, 2) * np.array([7, 3]) * px_per_mm * 0.7
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH].astype(np.float32)
    angle, long = rng.uniform(0, np.pi), rng.uniform(1.0, 2.5)
    along = (x - at[0]) * np.cos(angle) + (y - at[1]) * np.sin(angle)
    across = -(x - at[0]) * np.sin(angle) + (y - at[1]) * np.cos(angle)
    spread = width_mm / 2.355 * px_per_mm
    return image + peak * np.exp(-0.5 * ((along / (spread * long)) ** 2 + (across / spread) ** 2))


def defocus(image: np.ndarray, radius_px: float) -> np.ndarray:
    """Return the image blurred by a disc."""
    if radius_px < 0.3:
        return image
    size, times = int(np.ceil(radius_px)) * 2 + 3, 8
    y, x = np.mgrid[0 : size * times, 0 : size * times] - (size * times - 1) / 2
    disc = (np.hypot(x, y) <= radius_px * times).astype(np.float32)
    kernel = cv2.resize(disc, (size, size), interpolation=cv2.INTER_AREA)
    return cv2.filter2D(image, -1, kernel / kernel.sum(), borderType=cv2.BORDER_REFLECT)


def motion(image: np.ndarray, length_px: float, angle: float) -> np.ndarray:
    """Return the image smeared along a line."""
    size, times = int(np.ceil(length_px)) + 3 | 1, 8
    canvas = np.zeros((size * times, size * times), np.float32)
    middle, half = (size * times - 1) / 2, length_px * times / 2
    ends = [tuple(round(middle + sign * half * part) for part in (np.cos(angle), np.sin(angle)))
            for sign in (-1, 1)]
    cv2.line(canvas, ends[0], ends[1], 1.0, times)
    kernel = cv2.resize(canvas, (size, size), interpolation=cv2.INTER_AREA)
    return cv2.filter2D(image, -1, kernel / kernel.sum(), borderType=cv2.BORDER_REFLECT)


def expose(image: np.ndarray, electrons: float, rng: np.random.Generator, read_noise: float = 3.0) -> np.ndarray:
    """Return the 8-bit picture a sensor makes: shot noise, read noise, tone curve."""
    signal = np.clip(image, 0, None).astype(np.float32) * electrons
    noisy = signal + np.sqrt(signal + read_noise**2) * rng.standard_normal(image.shape).astype(np.float32)
    linear = np.clip(noisy / electrons, 0, 1)
    return (255 * linear ** (1 / 2.2) + 0.5).astype(np.uint8)
