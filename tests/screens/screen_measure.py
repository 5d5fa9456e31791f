"""Measures a shown stage from its widget tree and its pixels: targets, gaps, overlaps, clipped text, size, contrast."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

import numpy as np

from kiosk.calc import legibility

Box = tuple[float, float, float, float]
DISTANCE_MM = 600.0
MM_PER_INCH = 25.4
# Pixels by which edges may touch before they count as an overlap: places are set in fractions of a pixel.
SLACK_PX = 1.5


@dataclass
class Measured:
    """What was found on one screen; the lists name what is wrong."""

    smallest_target_mm: float = 999.0
    smallest_gap_mm: float = 999.0
    smallest_text_arcmin: float = 999.0
    lowest_contrast: float = 99.0
    clipped: list[str] = field(default_factory=list)
    overlaps: list[str] = field(default_factory=list)


def measure(stage: Any, ppi: float) -> Measured:
    """Return the measures of what the stage shows now; covered parts under a message are left out."""
    found = Measured()
    cover = _covers(stage)
    targets = [(touch, box_of(touch)) for touch in _touches(stage) if not _is_covered(touch, cover)]
    labels = [(label, text_box(label)) for label in _labels(stage) if not _is_covered(label, cover)]
    _measure_targets(found, targets, ppi)
    _measure_texts(found, labels, stage, ppi)
    _measure_contrast(found, labels, stage)
    return found


def box_of(widget: Any) -> Box:
    """Return a widget's box in the window [px]: left, bottom, right, top."""
    x, y = widget.to_window(widget.x, widget.y)
    return x, y, x + widget.width, y + widget.height


def text_box(label: Any) -> Box:
    """Return the box of a label's drawn text, as Kivy places it in the label."""
    x, y = label.to_window(label.center_x, label.center_y)
    width, height = label.texture_size
    return x - width / 2, y - height / 2, x + width / 2, y + height / 2


def _walk(widget: Any) -> Iterator[Any]:
    if widget.opacity == 0:
        return
    yield widget
    for child in widget.children:
        yield from _walk(child)


def _touches(stage: Any) -> Iterator[Any]:
    from kiosk.widgets.press import Touch

    return (widget for widget in _walk(stage) if isinstance(widget, Touch) and _is_inside(box_of(widget), stage))


def _labels(stage: Any) -> Iterator[Any]:
    from kivy.uix.label import Label

    return (widget for widget in _walk(stage)
            if isinstance(widget, Label) and widget.text.strip() and _is_inside(box_of(widget), stage))


def _is_inside(box: Box, stage: Any) -> bool:
    """Say whether any of a box is in the window; what is parked beside it does not count."""
    return box[2] > 0 and box[0] < stage.width and box[3] > 0 and box[1] < stage.height


def _covers(stage: Any) -> list[Any]:
    over = [stage._message] if stage._message.parent else []
    over += [stage._pad] if stage._pad else []
    return over + ([stage.ids.letters] if stage.ids.letters.is_open else [])


def _is_covered(widget: Any, covers: list[Any]) -> bool:
    return any(not _descends(widget, cover) and _overlap(box_of(widget), box_of(cover)) for cover in covers)


def _descends(widget: Any, ancestor: Any) -> bool:
    while widget is not None and widget is not widget.parent:
        if widget is ancestor:
            return True
        widget = widget.parent
    return False


def _overlap(first: Box, second: Box, slack: float = SLACK_PX) -> bool:
    return (first[0] + slack < second[2] and second[0] + slack < first[2]
            and first[1] + slack < second[3] and second[1] + slack < first[3])


def _gap_px(first: Box, second: Box) -> float:
    across = max(second[0] - first[2], first[0] - second[2], 0.0)
    up = max(second[1] - first[3], first[1] - second[3], 0.0)
    return (across**2 + up**2) ** 0.5


def _measure_targets(found: Measured, targets: list[tuple[Any, Box]], ppi: float) -> None:
    for _touch, box in targets:
        side = min(box[2] - box[0], box[3] - box[1])
        found.smallest_target_mm = min(found.smallest_target_mm, side * MM_PER_INCH / ppi)
    for (first, first_box), (second, second_box) in combinations(targets, 2):
        if _overlap(first_box, second_box):
            found.overlaps.append(f"{_name(first)} over {_name(second)}")
        gap = _gap_px(first_box, second_box)
        found.smallest_gap_mm = min(found.smallest_gap_mm, gap * MM_PER_INCH / ppi)


def _measure_texts(found: Measured, labels: list[tuple[Any, Box]], stage: Any, ppi: float) -> None:
    from kiosk.widgets.theme import CAPITAL_OVER_SIZE

    for label, box in labels:
        height_mm = label.font_size * CAPITAL_OVER_SIZE * MM_PER_INCH / ppi
        arcmin = legibility.visual_angle_arcmin(height_mm, DISTANCE_MM)
        found.smallest_text_arcmin = min(found.smallest_text_arcmin, arcmin)
        if not _holds(box_of(label), box) or not _holds(box_of(stage), box) or _breaks_a_word(label):
            found.clipped.append(label.text[:40])
        touch = _touch_around(label)
        if touch is not None and not _holds(box_of(touch), box):
            found.clipped.append(f"{label.text[:40]} out of its button")
    for (first, first_box), (second, second_box) in combinations(labels, 2):
        if _overlap(first_box, second_box, 4):
            found.overlaps.append(f"'{first.text[:30]}' over '{second.text[:30]}'")


def _holds(outer: Box, inner: Box) -> bool:
    return (inner[0] >= outer[0] - SLACK_PX and inner[2] <= outer[2] + SLACK_PX
            and inner[1] >= outer[1] - SLACK_PX and inner[3] <= outer[3] + SLACK_PX)


def _breaks_a_word(label: Any) -> bool:
    from kiosk.widgets.words import text_size_px

    return any(text_size_px(word, label.font_size, label.bold)[0] > label.width + 1 for word in label.text.split())


def _touch_around(label: Any) -> Any:
    from kiosk.widgets.press import Touch

    widget = label.parent
    while widget is not None and widget is not widget.parent:
        if isinstance(widget, Touch):
            return widget
        widget = widget.parent
    return None


def _measure_contrast(found: Measured, labels: list[tuple[Any, Box]], stage: Any) -> None:
    """Compare each text's colour with the commonest colour of the pixels around it."""
    texture = stage.export_as_image().texture
    shape = (texture.height, texture.width, 4)
    pixels = np.frombuffer(texture.pixels, np.uint8).reshape(shape)[::-1]  # export_as_image has its rows from the top
    for label, box in labels:
        ground = _commonest(pixels, box)
        if ground:
            ink = "#" + "".join(f"{round(part * 255):02x}" for part in label.color[:3])
            found.lowest_contrast = min(found.lowest_contrast, legibility.contrast_ratio(ink, ground))


def _commonest(pixels: np.ndarray, box: Box) -> str:
    """Return the commonest colour in a box; `pixels` uint8, shape (height, width, 4), from the bottom."""
    left, bottom, right, top = (max(0, int(edge)) for edge in box)
    part = pixels[bottom:top:2, left:right:2, :3].astype(np.uint32)
    if not part.size:
        return ""
    colours, counts = np.unique(part[..., 0] << 16 | part[..., 1] << 8 | part[..., 2], return_counts=True)
    return f"#{int(colours[counts.argmax()]):06x}"


def _name(touch: Any) -> str:
    return str(getattr(touch, "text", "") or getattr(touch, "title", "") or type(touch).__name__)
