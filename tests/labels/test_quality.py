"""Print quality by a camera: good prints grade well, each kind of fault pulls the grade down and is named."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from labels.errors import NotALabelNumber
from labels.layout import LabelStock, lay_out
from labels.number import Kind, compose
from labels.page import single
from labels.quality import decodability_percent, print_quality
from labels.raster import dots_of
from labels.symbol import symbol_modules

NUMBER = compose(Kind.COMPONENT, kiosk=1, serial=42).digits


def picture(scale: float = 2.0, dark: int = 25, light: int = 215, stock: LabelStock | None = None) -> np.ndarray:
    """Return a print as a camera sees it, on a darker ground."""
    dots = dots_of(single(lay_out(NUMBER, ["Upper shaft bearing, left"], stock)))
    grey = np.where(dots, dark, light).astype(np.uint8)
    seen = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    return cv2.copyMakeBorder(seen, 60, 60, 60, 60, cv2.BORDER_CONSTANT, value=90)


def turned(image: np.ndarray, degrees: float) -> np.ndarray:
    """Return the picture turned about its middle."""
    height, width = image.shape
    matrix = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 0.8)
    return cv2.warpAffine(image, matrix, (width, height), borderValue=90)


@pytest.mark.parametrize("scale", [1.5, 2.0, 3.0])
@pytest.mark.parametrize("degrees", [0, 7, 180])
def test_good_print_grades_well_however_it_is_held(scale: float, degrees: float) -> None:
    """Near or far, turned or upside down: A or B, every scan reads."""
    quality = print_quality(turned(picture(scale), degrees), NUMBER)
    assert quality is not None
    assert quality.letter in "AB" and quality.share_percent == 100


def test_faint_print_is_named_by_its_contrast() -> None:
    """A head that prints too light: poor, because of contrast or what follows from it."""
    quality = print_quality(picture(dark=150), NUMBER)
    assert quality is not None and quality.grade < 1.5
    assert quality.worst in ("symbol contrast", "min reflectance")


def test_grade_falls_as_the_print_fades() -> None:
    """The fainter, the worse."""
    grades = [print_quality(picture(dark=dark), NUMBER).grade for dark in (25, 60, 100, 150)]
    assert grades == sorted(grades, reverse=True) and grades[0] > grades[-1]


def test_blurred_print_loses_modulation() -> None:
    """Thin bars fade first."""
    quality = print_quality(cv2.GaussianBlur(picture(), (0, 0), 3.2), NUMBER)
    assert quality is None or (quality.grade < 1.5 and quality.worst in ("modulation", "decodability", "edge contrast"))


def test_light_streaks_of_a_dirty_head_are_defects() -> None:
    """Lines without ink along the paper's way cut each wide bar."""
    seen = picture(3.0)
    layout = lay_out(NUMBER, ["Upper shaft bearing, left"])
    for bar in layout.bars:
        if bar.width >= 3 * layout.module_dots:
            middle = 60 + round((bar.x + bar.width / 2) * 3)
            seen[60:-60, middle - 2 : middle + 2] = 150
    quality = print_quality(seen, NUMBER)
    assert quality is not None and quality.grade < 2.5 and quality.worst in ("defects", "decodability")


def test_fewer_scans_read_on_a_torn_label() -> None:
    """The lower half torn off beside the middle: some scans do not read."""
    seen = picture(2.0)
    seen[170:, 200:330] = 120
    quality = print_quality(seen, NUMBER)
    assert quality is not None and quality.share_percent < 100


def test_another_label_is_not_graded_as_this_one() -> None:
    """The picture must hold the number."""
    other = compose(Kind.COMPONENT, kiosk=1, serial=43).digits
    quality = print_quality(picture(), other)
    assert quality is None or quality.share_percent == 0


def test_picture_without_a_label_has_no_grade() -> None:
    """An empty view."""
    assert print_quality(np.full((300, 400), 128, np.uint8), NUMBER) is None


def test_number_must_be_one() -> None:
    """Rubbish is refused."""
    with pytest.raises(NotALabelNumber):
        print_quality(picture(), "123")


def test_decodability_of_perfect_edges_is_100_iso_15416() -> None:
    """Every width on its module: K is half a module, V = 1 (by the formula, by hand)."""
    modules = symbol_modules(NUMBER)
    row = [5.0 if module else 85.0 for module in modules for _ in range(8)]
    assert decodability_percent(row, modules) == pytest.approx(100.0, abs=0.1)


def test_decodability_when_one_edge_is_off_by_a_quarter_module_iso_15416() -> None:
    """An edge a quarter of a module off leaves K of a quarter of a module: V = 0.25 / 0.5 = 50 % (by hand)."""
    modules = symbol_modules(NUMBER)
    row = [5.0 if module else 85.0 for module in modules for _ in range(8)]
    first_edge = next(at for at in range(len(row) - 1) if row[at] != row[at + 1]) + 1
    row[first_edge : first_edge + 2] = [5.0, 5.0]
    assert decodability_percent(row, modules) == pytest.approx(50.0, abs=1.0)
