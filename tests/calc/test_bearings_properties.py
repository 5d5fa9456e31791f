"""Bearing load and life: what must hold for every load and speed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.calc import bearing_life, bearing_load
from kiosk.errors import NoTableRow, OutOfRange

ratings = st.floats(1000, 1e5)
loads = st.floats(10, 1e5)
speeds = st.floats(0.5, 5000)
exponents = st.sampled_from([3.0, 10 / 3])
more = st.floats(1.001, 10)


@given(ratings, loads, speeds, more, exponents)
def test_more_load_never_lives_longer(rating: float, load: float, speed: float, factor: float, p: float) -> None:
    """More load or speed shortens the life, a higher rating lengthens it."""
    life = bearing_life.basic_rating_life_hours(rating, load, speed, p)
    assert bearing_life.basic_rating_life_hours(rating, load * factor, speed, p) < life
    assert bearing_life.basic_rating_life_hours(rating, load, speed * factor, p) < life
    assert bearing_life.basic_rating_life_hours(rating * factor, load, speed, p) > life


@given(ratings, loads, speeds, exponents)
def test_rating_and_life_are_inverse(rating: float, load: float, speed: float, p: float) -> None:
    """The rating that a life asks for is the rating that gave the life."""
    life = bearing_life.basic_rating_life_hours(rating, load, speed, p)
    if life < 1e12:
        assert bearing_life.required_rating_newton(load, life, speed, p) == pytest.approx(rating)


@given(loads, st.floats(1, 1e4), st.floats(0.5, 0.999), exponents)
def test_rating_and_reliability_are_inverse(load: float, life: float, reliability: float, a: float) -> None:
    """The reliability of the rating that it asked for is the reliability asked for."""
    rating = bearing_life.rating_for_reliability_newton(load, life, reliability, a)
    assert bearing_life.reliability_of_rating(load, life, rating, a) == pytest.approx(reliability, rel=1e-9)


@given(ratings, loads, speeds)
def test_more_reliable_is_never_longer(rating: float, load: float, speed: float) -> None:
    """The life falls from 90 to 99 % in either edition."""
    for edition in (bearing_life.ISO_281_2007, bearing_life.OLDER_TABLES):
        lives = [bearing_life.rating_life(rating, load, speed, percent, edition=edition).hours
                 for percent in (90, 95, 96, 97, 98, 99)]
        assert lives == sorted(lives, reverse=True)


@given(st.lists(st.floats(100, 1e6), min_size=1, max_size=8))
def test_a_machine_never_outlives_its_shortest_bearing(lives: list[float]) -> None:
    """A system's life is at most that of its shortest bearing, and equal to it when alone."""
    life = bearing_life.system_life_hours(lives)
    assert life <= min(lives) * (1 + 1e-12)
    assert bearing_life.system_life_hours(lives[:1]) == pytest.approx(lives[0])


@given(st.lists(st.tuples(st.floats(-1e5, 1e5), st.floats(-2000, 3000)), min_size=1, max_size=6),
       st.floats(50, 3000))
def test_reactions_carry_the_loads(pairs: list[tuple[float, float]], span: float) -> None:
    """The two bearings together carry the loads, and the moments about B balance."""
    forces, places = [force for force, _ in pairs], [place for _, place in pairs]
    found = bearing_load.two_bearing_reactions(forces, places, span)
    assert found.at_a_newton + found.at_b_newton == pytest.approx(sum(forces), abs=1e-3)
    about_b = sum(force * (span - place) for force, place in pairs)
    assert found.at_a_newton * span == pytest.approx(about_b, abs=1e-3 + 1e-9 * sum(map(abs, forces)) * span)


def test_an_overhung_sprocket_lifts_the_far_bearing() -> None:
    """A load beyond bearing B lifts A, and the answer says so instead of clipping it."""
    found = bearing_load.two_bearing_reactions([4500], [1200], 900)
    assert found.at_a_newton == pytest.approx(-1500) and found.lifted == "A"


@given(loads, st.floats(0, 1e5), ratings, st.floats(12, 16))
def test_an_axial_load_never_lightens(radial: float, axial: float, rating: float, f0: float) -> None:
    """The equivalent load is never far below the radial load: 0.56 Fr + Y Fa takes over only past e."""
    found = bearing_load.equivalent_load(radial, axial, rating, f0)
    assert found.load_newton >= 0.95 * radial


def test_beyond_the_table_is_said() -> None:
    """Beyond the last row the end value is held and the answer is flagged."""
    found = bearing_load.equivalent_load(100, 9000, 10_000, 14)
    assert found.outside_table and found.axial_factor == 1.00


@given(st.lists(st.tuples(st.floats(0, 1e5), st.floats(1, 500), st.floats(0.01, 1)), min_size=1, max_size=6), exponents)
def test_the_mean_load_lies_between(states: list[tuple[float, float, float]], p: float) -> None:
    """The mean equivalent load lies between the least and the largest."""
    forces, turns, times = zip(*states, strict=True)
    mean = bearing_load.mean_equivalent_load_newton(forces, turns, times, p)
    assert min(forces) * (1 - 1e-9) - 1e-6 <= mean <= max(forces) * (1 + 1e-9)


def test_life_carries_its_cautions() -> None:
    """A life is shown as a ceiling, and a heavy load or a crawling shaft is called out."""
    assert "ceiling" in bearing_life.rating_life(14_000, 1_000, 60).caution.lower()
    heavy = bearing_life.rating_life(14_000, 9_000, 5).caution
    assert "half the rating" in heavy and "static safety" in heavy


def test_a_reliability_between_rows_is_refused() -> None:
    """Nothing is interpolated in the table of a1."""
    with pytest.raises(NoTableRow):
        bearing_life.life_factor(92)


def test_an_edition_that_is_not_there_is_refused() -> None:
    """An edition of a1 must be named as it is kept."""
    with pytest.raises(NoTableRow, match="ISO 281:2007"):
        bearing_life.life_factor(95, "ISO 281:1977")


def test_unequal_counts_are_refused() -> None:
    """Every load has its place."""
    with pytest.raises(OutOfRange, match="positions"):
        bearing_load.two_bearing_reactions([1, 2], [100], 900)
