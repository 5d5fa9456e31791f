"""Pictures of labels in trouble, made by a seeded program, for measuring how well labels are read.

Kinds and severities 1 to 5 follow the trial whose results we compare with; the pictures are our own. A picture is
1280x720 and depends on nothing but its kind, severity and seed. Negatives show no label, a foreign symbol or a
well-formed label that was never issued.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass, replace

import cv2
import numpy as np
from label_damage import (
    MODULE_MM,
    PRINTER,
    Drawing,
    draw_label,
    fade,
    scratch,
    smear_grease,
    tear,
)
from label_scenes import (
    HEIGHT,
    WIDTH,
    Pose,
    background,
    bars_corners,
    defocus,
    expose,
    glare,
    light,
    motion,
    place,
)

from labels.number import IssuedNumbers, Kind, compose, issue
from labels.symbol import STOP_WIDTHS, WIDTHS, check_value, modules_of_widths

SEVERITIES = (1, 2, 3, 4, 5)
SINGLE_KINDS = ("scale", "rotation", "tilt", "curved along", "curved across", "defocus", "motion", "low light",
                "glare", "grease", "scratches", "torn", "fading", "printer", "JPEG")
KINDS = ("clean", *SINGLE_KINDS, "mixed")
NEGATIVES = ("no label", "foreign symbol", "never issued")

SCALE = (2.0, 1.6, 1.3, 1.15, 1.0)
ROTATION = ((0, 10), (10, 20), (20, 30), (30, 38), (38, 45))
TILT = (20, 32, 44, 54, 62)
RADIUS_MM = (80, 60, 45, 30, 20)
DEFOCUS = (0.6, 0.9, 1.2, 1.6, 2.0)
MOTION = (0.8, 1.4, 2.0, 2.8, 3.6)
ELECTRONS = (400, 150, 60, 25, 12)
GLARE = ((0.5, 5), (1, 7), (2, 9), (4, 12), (8, 16))
JPEG = (40, 25, 15, 10, 6)
# From label to camera: a reflection wanders over a label by twice its tilt times this.
LAMP_MM = 150.0
_MIXED_FAULTS = (1, 2, 2, 3, 4)
_MIXABLE = ("tilt", "defocus", "motion", "low light", "glare", "grease", "scratches", "torn", "fading", "printer",
            "JPEG")


@dataclass(frozen=True)
class Picture:
    """A picture and what is in it.

    Attributes:
        image: uint8, shape (720, 1280), grey. [-]
        number: The label number in it, None in a negative that shows none.
        corners: The bar field's corners, start first, shape (4, 2); None without a label.
        faults: What was done to it, kind and severity.
        pose: How the label is held; None without a label.
    """

    image: np.ndarray
    number: str | None
    corners: np.ndarray | None
    faults: tuple[tuple[str, int], ...] = ()
    pose: Pose | None = None


def issued_numbers(count: int, seed: int = 1) -> list[str]:
    """Return numbers as a yard with a few kiosks would have issued them; those of kiosk 90 and up never are."""
    rng = np.random.default_rng(seed)
    issued, result, serials = IssuedNumbers(), [], dict.fromkeys(range(10), 0)
    kinds = (Kind.COMPONENT, Kind.UNIT, Kind.POSITION)
    while len(result) < count:
        kiosk, kind = int(rng.integers(10)), kinds[int(rng.choice(3, p=(0.8, 0.1, 0.1)))]
        number, serial = issue(kind, kiosk, serials[kiosk], issued)
        serials[kiosk] = serial + 1
        issued.add(number)
        result.append(number.digits)
    return result


def draw(kind: str, severity: int, seed: int, number: str) -> Picture:
    """Return one picture of a label.

    Args:
        kind: One of KINDS.
        severity: 1 to 5; a clean picture has none.
        seed: Which of the endless pictures of this kind and severity.
        number: The label's number.
    """
    rng = np.random.default_rng((zlib.crc32(kind.encode()), severity, seed))
    pose, faults = _mixed_pose(severity, rng) if kind == "mixed" else _single_pose(kind, severity, rng)
    return _picture(number, None, pose, faults, rng)


def draw_second(kind: str, severity: int, seed: int, number: str, frames: int = 8) -> list[Picture]:
    """Return the frames of a second in which a hand holds a label before the camera.

    The label, its damage, the surface and the light stay; the hand turns, tilts and moves the label a little, so the
    lamp's reflection wanders over it by twice the tilt, and noise and motion are new in each frame.

    Args:
        kind: One of KINDS.
        severity: 1 to 5.
        seed: Which of the endless seconds of this kind and severity.
        number: The label's number.
        frames: How many frames the reader comes to look at.
    """
    rng = np.random.default_rng((zlib.crc32(kind.encode()), severity, seed, 2))
    pose, faults = _mixed_pose(severity, rng) if kind == "mixed" else _single_pose(kind, severity, rng)
    drawing = _drawing(number, None, faults, rng)
    surface, lamp, hand = background(rng), int(rng.integers(2**32)), np.zeros(5)
    result = []
    for _ in range(frames):
        held = replace(pose, angle=pose.angle + hand[0], tilt=pose.tilt + hand[1],
                       tilt_axis=pose.tilt_axis + (hand[2] if pose.tilt else 0.0),
                       centre=(pose.centre[0] + hand[3], pose.centre[1] + hand[4]))
        scene = light(place(surface, drawing, held), np.random.default_rng(lamp))
        shift = 2 * hand[1] * LAMP_MM / MODULE_MM * pose.module_px
        shine = (held.centre[0] + shift * np.cos(held.angle), held.centre[1] + shift * np.sin(held.angle))
        image = _sensor(scene, replace(held, centre=shine), faults, rng, np.random.default_rng(lamp))
        result.append(Picture(image, number, bars_corners(held), tuple(faults.items()), held))
        hand = 0.8 * hand + rng.normal(0, (0.03, 0.05, 0.03, 8, 8))
    return result


def draw_negative(sort: str, seed: int) -> Picture:
    """Return a picture that must not be read as an issued label.

    Args:
        sort: One of NEGATIVES.
        seed: Which of the endless pictures of this sort.
    """
    rng = np.random.default_rng((zlib.crc32(sort.encode()), seed))
    if sort == "no label":
        return Picture(_sensor(light(background(rng), rng), Pose(), {}, rng), None, None)
    severity = int(rng.integers(1, 6))
    pose, faults = _mixed_pose(severity, rng)
    if sort == "never issued":
        number = compose(Kind(int(rng.integers(1, 6))), int(rng.integers(90, 100)), int(rng.integers(1_000_000)))
        return _picture(number.digits, None, pose, faults, rng)
    modules, text = _foreign_symbol(rng)
    return replace(_picture(text, modules, pose, faults, rng), number=None)


def _foreign_symbol(rng: np.random.Generator) -> tuple[tuple[bool, ...], str]:
    """Return the modules of a symbol that is not ours: other lengths, code sets, or no Code 128 at all."""
    if rng.random() < 0.25:
        widths = rng.integers(1, 5, 51)
        row = np.repeat(np.arange(51) % 2 == 0, widths)[:130]
        return tuple(bool(one) for one in row), "LOT " + str(int(rng.integers(10_000)))
    length = int(rng.choice([3, 4, 5, 5, 5, 6, 7]))
    start = int(rng.choice([103, 104, 105]))
    values = [start, *(int(one) for one in rng.integers(0, 96, length))]
    values.append(check_value(values))
    widths = "".join(WIDTHS[one] for one in values) + STOP_WIDTHS
    return modules_of_widths(widths), "PO-" + str(int(rng.integers(10_000_000)))


def _centre(rng: np.random.Generator) -> tuple[float, float]:
    return WIDTH / 2 + rng.uniform(-0.2, 0.2) * WIDTH, HEIGHT / 2 + rng.uniform(-0.16, 0.16) * HEIGHT


def _single_pose(kind: str, severity: int, rng: np.random.Generator) -> tuple[Pose, dict[str, int]]:
    base = float(rng.integers(4)) * 90
    pose = Pose(np.deg2rad(base + rng.uniform(-12, 12)), module_px=rng.uniform(1.8, 3.5), centre=_centre(rng))
    if kind == "scale":
        return replace(pose, module_px=SCALE[severity - 1]), {}
    if kind == "rotation":
        angle = rng.uniform(*ROTATION[severity - 1]) * rng.choice([-1, 1])
        return replace(pose, angle=np.deg2rad(base + angle)), {}
    if kind == "tilt":
        return replace(pose, tilt=np.deg2rad(TILT[severity - 1]), tilt_axis=rng.uniform(0, 2 * np.pi)), {}
    if kind.startswith("curved"):
        return replace(pose, radius_mm=RADIUS_MM[severity - 1], is_curved_along=kind.endswith("along")), {}
    return pose, {} if kind == "clean" else {kind: severity}


def _mixed_pose(severity: int, rng: np.random.Generator) -> tuple[Pose, dict[str, int]]:
    def about() -> int:
        return int(np.clip(severity + rng.choice([-1, 0, 0, 1]), 1, 5))

    pose = Pose(rng.uniform(0, 2 * np.pi), module_px=rng.uniform(1.3, 3.4), centre=_centre(rng))
    if rng.random() < 0.45:
        pose = replace(pose, radius_mm=RADIUS_MM[about() - 1], is_curved_along=bool(rng.random() < 0.5))
    chosen = rng.choice(len(_MIXABLE), _MIXED_FAULTS[severity - 1], replace=False)
    faults = {_MIXABLE[int(one)]: about() for one in chosen}
    if "tilt" in faults:
        tilt = np.deg2rad(TILT[faults.pop("tilt") - 1])
        pose = replace(pose, tilt=tilt, tilt_axis=rng.uniform(0, 2 * np.pi))
    return pose, faults


def _picture(number: str, modules: tuple[bool, ...] | None, pose: Pose, faults: dict[str, int],
             rng: np.random.Generator) -> Picture:
    drawing = _drawing(number, modules, faults, rng)
    scene = light(place(background(rng), drawing, pose), rng)
    return Picture(_sensor(scene, pose, faults, rng), number, bars_corners(pose), tuple(faults.items()), pose)


def _drawing(number: str, modules: tuple[bool, ...] | None, faults: dict[str, int],
             rng: np.random.Generator) -> Drawing:
    dead, growth = PRINTER[faults["printer"] - 1] if "printer" in faults else (0, float(rng.uniform(0, 0.2)))
    drawing = draw_label(number, rng, dead, growth, modules)
    _damage(drawing, faults, rng)
    return drawing


def _damage(drawing: Drawing, faults: dict[str, int], rng: np.random.Generator) -> None:
    steps = {"fading": fade, "scratches": scratch, "grease": smear_grease, "torn": tear}
    for kind, step in steps.items():
        if kind in faults:
            step(drawing, faults[kind], rng)


def _sensor(scene: np.ndarray, pose: Pose, faults: dict[str, int], rng: np.random.Generator,
            lamp: np.random.Generator | None = None) -> np.ndarray:
    """Return what the camera makes of the scene; the lamp's reflection is drawn from a generator of its own."""
    if "glare" in faults:
        peak, width_mm = GLARE[faults["glare"] - 1]
        scene = glare(scene, pose, peak, width_mm, lamp or rng)
    radius = DEFOCUS[faults["defocus"] - 1] * pose.module_px if "defocus" in faults else rng.uniform(0.3, 0.8)
    scene = defocus(scene, radius)
    if "motion" in faults:
        scene = motion(scene, MOTION[faults["motion"] - 1] * pose.module_px, rng.uniform(0, np.pi))
    electrons = ELECTRONS[faults["low light"] - 1] if "low light" in faults else rng.uniform(800, 4000)
    picture = expose(scene * rng.uniform(0.7, 1.05), electrons, rng)
    quality = JPEG[faults["JPEG"] - 1] if "JPEG" in faults else int(rng.integers(80, 96))
    coded = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])[1]
    return cv2.imdecode(coded, cv2.IMREAD_GRAYSCALE)
