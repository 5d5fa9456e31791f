"""Grease: what must hold for every bearing, temperature and gun."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.calc import grease, grease_interval, grease_kind, insert_bearing
from kiosk.errors import CalcError, NoTableRow, OutOfRange

sizes = st.floats(10, 300)
temperatures = st.floats(-20, 99)
speeds = st.floats(5, 3000)


@given(sizes, sizes, st.floats(0.1, 100))
def test_a_larger_bearing_takes_more(diameter: float, width: float, more: float) -> None:
    """The formula grows with either size."""
    amount = grease.formula_grease_grams(diameter, width)
    assert grease.formula_grease_grams(diameter + more, width) > amount
    assert grease.formula_grease_grams(diameter, width + more) > amount


@given(temperatures, st.floats(0.1, 50))
def test_warmer_is_never_longer(temperature: float, warmer: float) -> None:
    """A warmer bearing never gets a longer interval by the corrections."""
    assert (grease_interval.temperature_factor(temperature + warmer)
            <= grease_interval.temperature_factor(temperature))


@given(speeds, st.floats(1.01, 3), sizes)
def test_faster_is_never_longer(speed: float, faster: float, bore: float) -> None:
    """A faster shaft never gets a longer interval by the formula."""
    assert (grease_interval.formula_interval(speed * faster, bore).raw_hours
            < grease_interval.formula_interval(speed, bore).raw_hours)


@given(temperatures, st.floats(0, 1), st.floats(0, 2000), st.floats(1, 1.5))
def test_grease_never_lives_longer_for_more_of_anything(temperature: float, share: float, load: float,
                                                        more: float) -> None:
    """More load, speed or heat never lets the grease live longer."""
    speed = 100 + 3000 * share
    life = grease_interval.grease_life(25, 52, speed, load, 20_000, temperature).hours
    assert grease_interval.grease_life(25, 52, speed * more, load, 20_000, temperature).hours <= life * (1 + 1e-12)
    assert grease_interval.grease_life(25, 52, speed, load * more, 20_000, temperature).hours <= life * (1 + 1e-12)
    assert grease_interval.grease_life(25, 52, speed, load, 20_000, temperature + 1).hours <= life * (1 + 1e-12)


@given(st.lists(st.tuples(st.floats(1, 1e5), st.floats(1, 2000)), min_size=1, max_size=6), st.floats(0, 24))
def test_the_deciding_interval_is_the_first(pairs: list[tuple[float, float]], rate: float) -> None:
    """No other interval ends before the one that decides."""
    intervals = [grease_interval.Interval(f"number {order}", hours, days, "") for order, (hours, days)
                 in enumerate(pairs)]
    decided = grease_interval.deciding_interval(intervals, rate)
    ends = [min(days, hours / rate) if rate else days for hours, days in pairs]
    assert decided.days == pytest.approx(min(ends))
    assert len(decided.others) == len(pairs) - 1


def test_a_standing_unit_counts_days_only() -> None:
    """A unit that does not run has no interval in hours, and says so when there is no other."""
    hours_only = grease_interval.Interval("formula", 100, None, "")
    with pytest.raises(CalcError, match="stands"):
        grease_interval.deciding_interval([hours_only], 0)


def test_a_long_day_halves_the_schedule() -> None:
    """At 16 to 20 h a day the printed interval is halved."""
    assert grease_interval.schedule(40, "dust", 8).days == 2 * grease_interval.schedule(40, "dust", 18).days


def test_a_fast_large_bearing_is_outside_the_formula() -> None:
    """Where the formula turns negative there is no interval, and the raw figure is kept."""
    found = grease_interval.formula_interval(20_000, 200)
    assert found.raw_hours < 0 and found.hours is None and not found.capped


def test_an_unknown_thickener_is_refused_by_name() -> None:
    """What the table does not know is refused with what it knows."""
    with pytest.raises(NoTableRow, match="polyurea"):
        grease_kind.mixing("lithium", "butter")


@pytest.mark.parametrize("bearing", ["6205", "UC305", "UK205", "", "UC2050", "UC2x5"])
def test_another_series_is_refused(bearing: str) -> None:
    """Only set-screw inserts of the series UC 2xx are in these tables."""
    with pytest.raises(NoTableRow):
        insert_bearing.insert_bearing(bearing)


@pytest.mark.parametrize("bearing", ["UC205", "uc 205", "UCP205", "UCF-205", "UCFL205", "UCT 205", " UC205 "])
def test_a_housed_unit_names_its_insert(bearing: str) -> None:
    """What is stamped on the housing leads to the insert."""
    assert insert_bearing.insert_bearing(bearing).designation == "UC205"


def test_a_bearing_in_no_table_needs_sizes() -> None:
    """Without a table row and without sizes no amount is given."""
    with pytest.raises(NoTableRow):
        grease.grease_quantity("6205")
    assert grease.grease_quantity("6205", 52, 15).method == "formula"


def test_a_formula_amount_is_not_raised() -> None:
    """The formula gives too much already; only a table's amount may be raised for dirt."""
    with pytest.raises(CalcError):
        grease.quantity_for_service(grease.grease_quantity("", 52, 15), severe_at_low_speed=True)


def test_a_bearing_heavier_than_steel_is_refused() -> None:
    """A mass that leaves no free space is a slip."""
    with pytest.raises(CalcError, match="mass"):
        grease.free_space_cm3(25, 52, 15, 2.0)


def test_too_hot_for_the_schedule_is_refused_with_its_range() -> None:
    """The refusal names argument, unit and permitted range."""
    with pytest.raises(OutOfRange, match=r"temperature celsius.*between -40 and 100 °C"):
        grease_interval.schedule(101, "dust")
