"""The drawings of how a reading is taken."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.service_sheet import MEASURE_PICTURES
from kiosk.sheets import SheetShelf
from kiosk.widgets import measure_pictures
from kiosk.widgets.designs import Wheel

SHEETS = SheetShelf.load(Path(__file__).parents[2] / "demo_shop" / "sheets").sheets()
READINGS = [(sheet.key, reading) for sheet in SHEETS for reading in sheet.readings]


def test_every_name_that_a_sheet_may_give_is_drawn_and_no_other() -> None:
    """The sheet's list and the drawings are the same set; an unknown name has no drawing."""
    assert set(measure_pictures._DRAWN) == set(MEASURE_PICTURES)
    assert measure_pictures.shapes_of("no such thing") == () == measure_pictures.shapes_of("")


@pytest.mark.parametrize("name", MEASURE_PICTURES)
def test_drawing_stays_in_its_box(name: str) -> None:
    """Nothing of a drawing lies outside 0..1."""
    for shape in measure_pictures.shapes_of(name):
        points = (shape.x, shape.y) if isinstance(shape, Wheel) else shape.points
        assert all(-0.001 <= value <= 1.001 for value in points)


@pytest.mark.parametrize(("sheet", "reading"), READINGS, ids=[f"{sheet}-{one.key}" for sheet, one in READINGS])
def test_every_reading_of_the_demo_sheets_has_a_drawing_words_and_a_reason(sheet, reading) -> None:
    """Whoever stands there for the first time sees where to hold the instrument, and why the limit is there."""
    assert reading.picture in MEASURE_PICTURES and reading.how
    assert reading.reason.endswith(".")
