"""The colours of both themes: every text on its ground, every mark's shape."""

from __future__ import annotations

import pytest

from kiosk.calc.legibility import contrast_ratio
from kiosk.presenters.parts import SHAPES
from kiosk.widgets.figures import MARKS
from kiosk.widgets.palette import PALETTES, TEXT_PAIRS


@pytest.mark.parametrize("theme_name", PALETTES)
@pytest.mark.parametrize(("ink", "ground"), TEXT_PAIRS)
def test_text_contrast__wcag22_enhanced__at_least_7(theme_name: str, ink: str, ground: str) -> None:
    """Every text colour stands out at 7:1 or more from the ground it is used on."""
    palette = PALETTES[theme_name]
    assert contrast_ratio(palette[ink], palette[ground]) >= 7.0


def test_themes__same_roles() -> None:
    """Both themes colour the same roles, so that none is missing at night."""
    assert set(PALETTES["day"]) == set(PALETTES["night"])


def test_marks__a_figure_for_every_shape() -> None:
    """Every shape that a presenter can name can be drawn."""
    assert set(SHAPES.values()) <= set(MARKS)


def test_marks__shapes_differ_from_each_other() -> None:
    """No two states share a drawing, whatever their colours."""
    without_colour = {name: tuple(replace_colour(part) for part in figure) for name, figure in MARKS.items()}
    assert len(set(without_colour.values())) == len(MARKS)


def replace_colour(part: object) -> str:
    """Return a part's drawing without its colour."""
    return str([(name, value) for name, value in vars(part).items() if name != "colour"])
