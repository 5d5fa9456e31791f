"""Grease and insert bearings against printed tables; each row names its source."""

from __future__ import annotations

import pytest

from kiosk.calc import grease, grease_interval, grease_kind, insert_bearing

THICKENERS = ("lithium", "calcium", "sodium", "lithium complex", "calcium complex", "sodium complex",
              "barium complex", "aluminium complex", "clay", "polyurea")


@pytest.mark.parametrize(("bearing", "sizes"), [
    pytest.param("UC206", (30, 62, 38.1, 19, 19_600, 11_300), id="general_catalogue-UC206"),
    pytest.param("UC209", (45, 85, 49.2, 22, 33_000, 20_500), id="general_catalogue-UC209"),
    pytest.param("UC211", (55, 100, 55.6, 24, 43_000, 29_400), id="general_catalogue-UC211"),
])
def test_insert_bearing__general_catalogue__rows(bearing: str, sizes: tuple[float, ...]) -> None:
    """Sizes and ratings are the catalogue's."""
    row = insert_bearing.insert_bearing(bearing)
    assert (row.bore_mm, row.outside_diameter_mm, row.inner_width_mm, row.outer_width_mm,
            row.dynamic_rating_newton, row.static_rating_newton) == pytest.approx(sizes)


@pytest.mark.parametrize("number", range(4, 13))
def test_bore__bore_code__five_times_the_number(number: int) -> None:
    """From 04 on the bore is five times the bearing's last two digits (ISO 15, bore code)."""
    assert insert_bearing.insert_bearing(f"UC2{number:02}").bore_mm == 5 * number


@pytest.mark.parametrize(("bearing", "grams"), [
    pytest.param("UC206", 3.3, id="mounted_unit_catalogue-06"),
    pytest.param("UC209", 6.5, id="mounted_unit_catalogue-09"),
    pytest.param("UC211", 10.3, id="mounted_unit_catalogue-11"),
])
def test_grease_amount__mounted_unit_catalogue__rows(bearing: str, grams: float) -> None:
    """The table decides for an insert bearing."""
    assert grease.grease_quantity(bearing).grams == grams


@pytest.mark.parametrize(("bearing", "table_grams", "formula_grams"), [
    pytest.param("UC205", 1.8, 4.4, id="UC205"),
    pytest.param("UC208", 5.6, 8.4, id="UC208"),
    pytest.param("UC212", 13.2, 14.3, id="UC212"),
])
def test_grease_amount__two_catalogues__table_first_formula_beside(bearing: str, table_grams: float,
                                                                   formula_grams: float) -> None:
    """Two sources disagree: the mounted-unit table wins, 0.005·D·B of the general catalogues is kept beside it."""
    quantity = grease.grease_quantity(bearing)
    assert (quantity.grams, quantity.method) == (table_grams, "insert table")
    assert quantity.formula_grams == pytest.approx(formula_grams, abs=0.05)


@pytest.mark.parametrize(("last", "screw", "torque"), [
    pytest.param(1, "M6x0.75", 4.0, id="201"), pytest.param(6, "M6x0.75", 4.0, id="206"),
    pytest.param(7, "M8x1", 8.5, id="207"), pytest.param(9, "M8x1", 8.5, id="209"),
    pytest.param(12, "M10x1.25", 17.5, id="212"), pytest.param(18, "M12x1.5", 28.0, id="218"),
])
def test_set_screw__mounted_unit_catalogue_appendix__ends_of_rows(last: int, screw: str, torque: float) -> None:
    """Set screws come from their own table, both ends of each row included."""
    found = insert_bearing.set_screw(f"UC2{last:02}")
    assert (found.thread, found.torque_newton_metre) == (screw, torque)


@pytest.mark.parametrize(("tolerance", "factor"), [("h6", 1.0), ("h7", 0.8), ("h8", 0.5), ("h9", 0.2)])
def test_speed_limit__mounted_unit_catalogue_6_1_6_2__fit(tolerance: str, factor: float) -> None:
    """A looser shaft takes its printed share of the speed."""
    assert insert_bearing.speed_limit_rpm("UC209", tolerance) == pytest.approx(3100 * factor)


@pytest.mark.parametrize(("grade", "low", "high"), [
    ("000", 445, 475), ("00", 400, 430), ("0", 355, 385), ("1", 310, 340), ("2", 265, 295), ("3", 220, 250),
    ("4", 175, 205), ("5", 130, 160), ("6", 85, 115)])
def test_consistency__astm_d217_note_1__both_ends(grade: str, low: int, high: int) -> None:
    """Both ends of a printed range belong to the grade."""
    assert grease_kind.consistency_number(low) == grease_kind.consistency_number(high) == grade


@pytest.mark.parametrize(("penetration", "words"), [
    (296, "between 1 and 2"), (443, "between 000 and 00"), (80, "firmer than 6"), (480, "softer than 000")])
def test_consistency__astm_d217_note_1__gaps_are_no_grade(penetration: int, words: str) -> None:
    """What lies in a gap or beyond the ends is no grade."""
    assert grease_kind.consistency_number(penetration) == words


@pytest.mark.parametrize(("temperature", "environment", "printed"), [
    (20, "clean", "not needed"), (50, "dust", "1 year"), (50, "dust+wet", "4 months"),
    (51, "clean", "1 year"), (70, "dust", "4 months"), (70, "dust+wet", "1 month"),
    (71, "clean", "6 months"), (100, "dust", "2 months"), (100, "dust+wet", "2 weeks")])
def test_schedule__mounted_unit_catalogue__every_cell(temperature: float, environment: str, printed: str) -> None:
    """Every cell of the grease schedule is the catalogue's."""
    assert grease_interval.schedule(temperature, environment).printed == printed


@pytest.mark.parametrize("first", THICKENERS)
def test_mixing__rolling_bearing_handbook__symmetric(first: str) -> None:
    """It does not matter which of two greases is in the bearing."""
    assert all(grease_kind.mixing(first, second).verdict == grease_kind.mixing(second, first).verdict
               for second in THICKENERS)


@pytest.mark.parametrize("thickener", THICKENERS)
def test_mixing__rolling_bearing_handbook__same_with_same(thickener: str) -> None:
    """A thickener may meet itself."""
    assert grease_kind.mixing(thickener, thickener).verdict == "compatible"


def test_mixing__not_in_the_handbook__to_be_tested() -> None:
    """Calcium sulfonate complex is newer than the table, so every pair is to be tested."""
    assert {grease_kind.mixing("calcium sulfonate complex", other).verdict for other in THICKENERS} == {"test"}


def test_interval__dirty_slow_elevator__calendar_decides() -> None:
    """At 60 r/min both formulas give tens of thousands of hours; dust and wet on the calendar decide."""
    intervals = grease_interval.insert_intervals(25, 52, 60, 500, 14_000, 45, "dust+wet")
    decided = grease_interval.deciding_interval(intervals, 6)
    assert decided.deciding.name == "calendar"
    assert {interval.name for interval in decided.others} == {"formula", "grease life"}


def test_grease_life__mounted_unit_catalogue__all_floors_by_hand() -> None:
    """On all three floors the formula is 6.10 - 0.55 - (0.021 - 0.00225) * 50 = 4.6125 by hand."""
    life = grease_interval.grease_life(25, 52, 45, 300, 14_000, 30)
    assert life.floors == ("speed", "load", "temperature")
    assert life.log10_hours == pytest.approx(4.6125)


def test_first_fill__mounted_unit_catalogue__is_the_most() -> None:
    """An amount raised for dirt stops at 35 % of the free space."""
    raised = grease.quantity_for_service(grease.grease_quantity("UC205"), severe_at_low_speed=True, free_space_cm3=8.0)
    assert raised.grams == pytest.approx(8.0 * 0.35 * 0.9)
