"""Bearing load and life against printed tables and examples beyond the check values."""

from __future__ import annotations

import pytest

from kiosk.calc import bearing_life, bearing_load


@pytest.mark.parametrize(("percent", "iso_281_2007", "older"), [
    (90, 1.0, 1.0), (95, 0.64, 0.62), (96, 0.55, 0.53), (97, 0.47, 0.44), (98, 0.37, 0.33), (99, 0.25, 0.21)])
def test_life_factor__rolling_bearing_handbook__both_editions(percent: float, iso_281_2007: float,
                                                              older: float) -> None:
    """Both editions of a1 are in print; each answer carries the edition it is from."""
    new, old = (bearing_life.life_factor(percent, edition)
                for edition in (bearing_life.ISO_281_2007, bearing_life.OLDER_TABLES))
    assert (new.factor, old.factor) == (iso_281_2007, older)
    assert (new.edition, old.edition) == ("ISO 281:2007", "older tables (1990)")


def test_rating_life__older_tables__source_names_the_edition() -> None:
    """A life worked out with the older factor says so."""
    new, old = (bearing_life.rating_life(30_000, 5_000, 1_500, 99.0, edition=edition)
                for edition in (bearing_life.ISO_281_2007, bearing_life.OLDER_TABLES))
    assert new.source == "ISO 281:2007"
    assert "older tables (1990)" in old.source


@pytest.mark.parametrize(("relative", "e", "y"), [
    (0.172, 0.19, 2.30), (0.345, 0.22, 1.99), (0.689, 0.26, 1.71), (1.03, 0.28, 1.55), (1.38, 0.30, 1.45),
    (2.07, 0.34, 1.31), (3.45, 0.38, 1.15), (5.17, 0.42, 1.04), (6.89, 0.44, 1.00)])
def test_equivalent_load__mounted_unit_catalogue__rows_of_e_and_y(relative: float, e: float, y: float) -> None:
    """At a printed row e and Y are the printed ones."""
    found = bearing_load.equivalent_load(1000, relative * 10_000 / 14, 10_000, 14)
    assert (found.limit_ratio, found.axial_factor) == (pytest.approx(e), pytest.approx(y))


@pytest.mark.parametrize(("drive", "low", "high"), [
    ("chain", 1.2, 1.5), ("V-belt", 2, 2.5), ("flat belt with tensioner", 2.5, 3), ("flat belt", 4, 5)])
def test_drive_factor__mounted_unit_catalogue__range(drive: str, low: float, high: float) -> None:
    """The printed ranges of the drive factor."""
    assert bearing_load.drive_factors(drive) == (low, high)


@pytest.mark.parametrize(("service", "low", "high"), [
    ("farm machinery", 4000, 8000), ("intermittent", 12_000, 20_000), ("8 h a day", 20_000, 30_000)])
def test_design_life__mounted_unit_catalogue__range(service: str, low: float, high: float) -> None:
    """The printed design lives."""
    assert bearing_life.design_life_hours(service) == (low, high)


@pytest.mark.parametrize(("service", "least"), [
    ("hardly turns", 0.5), ("ordinary", 1.0), ("impact", 1.5), ("precise", 2.0)])
def test_static_safety__insert_bearing_catalogue_iso_76__least(service: str, least: float) -> None:
    """The least static safety of each kind of service."""
    assert bearing_load.static_safety(1000, 0, 5000, service).least == least


def test_system_life__load_life_theory__two_equal_ball_bearings() -> None:
    """Two equal ball bearings last 2**-0.9 = 0.536 of one, by hand."""
    assert bearing_life.system_life_hours([10_000, 10_000]) == pytest.approx(5360, rel=1e-3)


def test_rating_at_90_percent__textbook__is_the_basic_rating() -> None:
    """At R = 0.9 the three-parameter form meets L10 = (C/P)**3 within half a percent, as its constants are rounded."""
    assert bearing_life.rating_for_reliability_newton(1000, 1000, 0.9) == pytest.approx(10_000, rel=5e-3)


def test_theta__two_editions_of_the_textbook__one_constant() -> None:
    """Some editions print theta = 4.459 with x0 = 0.02: theta - x0 = 4.439, used here; R of one theta is 1/e."""
    rating = bearing_life.rating_for_reliability_newton(1000, 4.459, 0.36787944)
    assert rating == pytest.approx(1000, rel=1e-6)
