"""Every drawing that a sheet may name is there, and no other; each lies inside its square."""

from __future__ import annotations

import pytest

from kiosk.service_sheet import PICTURES
from kiosk.widgets.figures import Arc, Disc, Fill, Stroke
from kiosk.widgets.step_pictures import STEP_PICTURES


def test_pictures__are_those_that_a_sheet_may_name() -> None:
    """The sheet loader and the drawings know the same names."""
    assert set(STEP_PICTURES) == set(PICTURES)


@pytest.mark.parametrize("name", PICTURES)
def test_picture__lies_inside_its_square(name: str) -> None:
    """Nothing of a drawing runs out of its place."""
    for part in STEP_PICTURES[name]:
        if isinstance(part, Stroke | Fill):
            assert all(0 <= value <= 1 for value in part.points)
        else:
            assert isinstance(part, Disc | Arc)
            assert part.radius <= min(part.x, part.y, 1 - part.x, 1 - part.y) + 0.01
