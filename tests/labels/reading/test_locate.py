"""Finding and straightening bar fields."""

import numpy as np
import pytest

from labels.reading.locate import find_bar_fields
from labels.reading.rectify import COLUMNS, rectify


@pytest.mark.parametrize(("kind", "severity"), [("scale", 5), ("rotation", 3), ("fading", 3), ("low light", 4)])
def test_find_bar_fields__finds_the_bars(draw, kind, severity):
    """One of the boxes lies on the bars and has their direction."""
    picture = draw(kind, severity, 1)
    middle = picture.corners.mean(axis=0)
    along = picture.corners[1] - picture.corners[0]
    direction = np.arctan2(along[1], along[0])
    hits = [field for field in find_bar_fields(picture.image)
            if np.hypot(field.x - middle[0], field.y - middle[1]) < 0.15 * np.hypot(*along)
            and abs((field.angle - direction + np.pi / 2) % np.pi - np.pi / 2) < 0.15]
    assert hits


def test_find_bar_fields__blank_picture_has_none():
    """No contrast, no boxes."""
    assert find_bar_fields(np.full((400, 600), 90, np.uint8)) == []


def test_rectify__makes_bars_upright(draw):
    """After straightening, the strips of one box agree with one another, leaving the edges of the bars aside."""
    picture = draw("tilt", 2, 2)
    inner = slice(COLUMNS // 5, -COLUMNS // 5)
    crops = [rectify(picture.image, field).strips[1:-1, inner] for field in find_bar_fields(picture.image)]
    assert max(float(np.corrcoef(strips).min()) for strips in crops) > 0.8
