"""Weighing characters at known places, and moving the places to where the symbol is."""

import numpy as np
import pytest

from labels.reading import templates as tp
from labels.reading.match import IssuedIndex, match_issued
from labels.reading.rectify import COLUMNS
from labels.reading.search import Geometry
from labels.reading.weigh import polish, warp, weigh
from labels.symbol import LABEL_MODULES, symbol_modules

TRUE = Geometry(np.array([190.0, 120.0, 3.0, -1.5]), 0.0)
SHARP = tp.FINAL_BLURS.index(tp.Blur("gauss", 0.3, 0.0))


def _profile(number: str, torn_from: float = np.inf) -> np.ndarray:
    """Return a soft profile of a number's symbol at the true places, nothing from a module on."""
    modules = np.arange(-20.0, 110.0, 1 / tp.FINE)
    bars = np.array(symbol_modules(number))
    inside = (modules >= 0) & (modules < LABEL_MODULES)
    fine = np.where(inside, np.where(bars[np.clip(modules, 0, LABEL_MODULES - 1).astype(int)], -1.0, 1.0), 1.0)
    fine = tp.soften(fine, tp.Blur("gauss", 0.3), 1.0)
    fine[modules > torn_from] = 0.0
    return np.interp(np.arange(COLUMNS), TRUE.places(modules), fine)


@pytest.mark.parametrize("torn_from", [np.inf, 55.0])
def test_polish__finds_the_places_of_what_is_left(issued, torn_from):
    """From places up to a module wrong, a whole symbol and one torn after four pairs are found to a third of one."""
    wrong = Geometry(TRUE.cubic + np.array([1.5, -1.0, 0.5, 0.5]), 0.0)
    found = polish(_profile(issued[3], torn_from), wrong, SHARP)
    legible = np.linspace(0, min(torn_from, LABEL_MODULES), 20)
    assert np.abs(found.places(legible) - TRUE.places(legible)).max() < TRUE.module_samples / 3


def test_weigh__torn_label_keeps_the_number_of_its_legible_pairs(issued):
    """What lies where the label is torn off cannot outweigh the pairs that are left."""
    weighed = weigh(_profile(issued[3], 55.0), TRUE)
    assert match_issued(weighed.table, IssuedIndex(issued)).digits == issued[3]


def test_warp__even_modules_cost_nothing_and_uneven_ones_a_bounded_price():
    """Unevenness is unlikely, but never so that it alone decides."""
    assert warp(np.array([190.0, 120.0, 0.0, 0.0])) == 0.0
    assert 0.0 < warp(np.array([190.0, 120.0, 3.0, 0.0])) < warp(np.array([190.0, 120.0, 9.0, 9.0])) <= 12.0
