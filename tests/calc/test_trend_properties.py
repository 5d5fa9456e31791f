"""Trends and forecasts: what must hold for every series."""

from __future__ import annotations

import math
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kiosk.calc import capability, least_squares, line_fit, trend, trend_robust
from kiosk.errors import CalcError

HOURS = [0.0, 50.0, 100.0, 150.0, 200.0, 250.0]
WEAR = [0.02, 0.19, 0.35, 0.58, 0.71, 0.93]
noise = st.lists(st.floats(-0.2, 0.2), min_size=4, max_size=12)
slopes = st.floats(-0.05, 0.05)


def series(scatter: list[float], slope: float) -> tuple[list[float], list[float]]:
    """Readings every 40 hours about a straight line."""
    hours = [1000 + 40.0 * step for step in range(len(scatter))]
    return hours, [2 + slope * (place - 1000) + off for place, off in zip(hours, scatter, strict=True)]


@given(noise, slopes, st.floats(-1e4, 1e4), st.floats(-100, 100))
def test_moving_the_series_moves_the_line(scatter: list[float], slope: float, along: float, up: float) -> None:
    """Slope and scatter do not hang on where hour meter and gauge have their zero."""
    hours, values = series(scatter, slope)
    line = line_fit.fit_line(hours, values)
    moved = line_fit.fit_line([place + along for place in hours], [value + up for value in values])
    assert moved.slope == pytest.approx(line.slope, rel=1e-6, abs=1e-9)
    assert moved.residual_deviation == pytest.approx(line.residual_deviation, rel=1e-6, abs=1e-9)


@given(noise, slopes, st.floats(900, 1600))
def test_a_reading_is_known_less_well_than_the_line(scatter: list[float], slope: float, place: float) -> None:
    """The bounds of one reading hold those of the line, and a higher confidence is wider."""
    line = line_fit.fit_line(*series(scatter, slope))
    narrow, wide = line_fit.predict(line, place, 0.9), line_fit.predict(line, place, 0.99)
    assert narrow.reading_low <= narrow.line_low <= narrow.value <= narrow.line_high <= narrow.reading_high
    assert wide.line_low <= narrow.line_low and narrow.line_high <= wide.line_high


@given(noise, slopes, st.floats(-10, 10))
def test_forecast_bounds_hold_the_forecast(scatter: list[float], slope: float, limit: float) -> None:
    """Early and late stand about the forecast, the reading's outside the line's; without a trend there are none."""
    found = trend.forecast(*series(scatter, slope), limit)
    if not found.established:
        assert found.line_early_hours is None and found.reading_late_hours is None and found.reason
        return
    assert found.hours_at_limit is not None
    bounds = (found.reading_early_hours, found.line_early_hours, found.hours_at_limit, found.line_late_hours,
              found.reading_late_hours)
    slack = 1e-9 * max(map(abs, bounds))
    assert all(early <= late + slack for early, late in pairwise(bounds))


@given(noise, slopes, st.floats(-10, 10))
def test_a_bound_is_where_the_limit_cuts_the_curve(scatter: list[float], slope: float, limit: float) -> None:
    """At an early or late bound of the line the prediction's bound is the limit."""
    hours, values = series(scatter, slope)
    found = trend.forecast(hours, values, limit)
    assume(found.established and found.g is not None and found.g < 0.9)
    line = line_fit.fit_line(hours, values)
    for place in (found.line_early_hours, found.line_late_hours):
        at = line_fit.predict(line, place)
        assert min(abs(at.line_low - limit), abs(at.line_high - limit)) < 1e-6 * (1 + abs(limit))


def test_two_readings_have_a_guess_and_no_bounds() -> None:
    """Two readings give the place on their line, and the reason says that there are no bounds."""
    found = trend.forecast([0, 100], [0, 0.5], 1.5)
    assert (found.established, found.hours_at_limit, found.g) == (False, 300, None)
    assert "Two readings" in found.reason


@pytest.mark.parametrize("values", [[1.0, 1.02, 0.99, 1.01], [1.0, 1.0, 1.0, 1.0]])
def test_no_trend_is_said(values: list[float]) -> None:
    """Readings that only scatter, or never change, give no forecast."""
    found = trend.forecast([0, 50, 100, 150], values, 2.0)
    assert not found.established and "not established" in found.reason


def test_a_limit_behind_is_said() -> None:
    """A line that met the limit before the last reading is not a forecast of the future."""
    found = trend.forecast(HOURS, WEAR, 0.5)
    assert found.established and not found.ahead and "past the limit" in found.reason


def test_a_limit_far_ahead_is_said() -> None:
    """A limit further ahead than the readings reach back is marked."""
    assert trend.forecast(HOURS, WEAR, 3.0).beyond_span
    assert not trend.forecast(HOURS, WEAR, 1.5).beyond_span


def test_a_bad_point_shows() -> None:
    """One bad reading bends least squares and not the robust slope; the difference is marked."""
    bad = [*WEAR[:3], 2.9, *WEAR[4:]]
    found = trend.forecast(HOURS, bad, 5.0)
    assert found.slopes_differ and found.robust_slope == pytest.approx(0.0036)
    assert not trend.forecast(HOURS, WEAR, 5.0).slopes_differ


def test_coarse_readings_on_a_line_are_not_exact() -> None:
    """Three readings that happen to lie on a line keep the uncertainty of a reading."""
    exact = trend.forecast([0, 50, 100], [0, 0.5, 1.0], 2.0)
    honest = trend.forecast([0, 50, 100], [0, 0.5, 1.0], 2.0, least_deviation=0.05)
    assert exact.line_early_hours == exact.line_late_hours
    assert not honest.established or honest.line_early_hours < honest.line_late_hours


def test_a_series_starts_anew_at_an_adjustment() -> None:
    """Only readings since the last restart count; of those at its very hour the last, which was left."""
    hours = [100, 150, 200, 200, 250, 300]
    values = [1.0, 1.5, 2.0, 0.5, 1.0, 1.5]
    assert trend.since_restart(hours, values, [120, 200]) == ((200, 250, 300), (0.5, 1.0, 1.5))
    assert trend.since_restart(hours, values, []) == (tuple(hours), tuple(values))
    assert trend.since_restart(hours, values, [400]) == ((), ())


@given(st.lists(st.floats(-1e3, 1e3), min_size=3, max_size=20))
def test_turning_a_series_round_turns_its_trend(values: list[float]) -> None:
    """Backwards, a rising series falls as surely."""
    ahead, back = trend_robust.trend_test(values), trend_robust.trend_test(values[::-1])
    assert ahead.score == -back.score
    assert ahead.probability == pytest.approx(back.probability)


@given(noise, slopes)
def test_the_robust_slope_lies_within_its_bounds(scatter: list[float], slope: float) -> None:
    """Low bound, slope and high bound stand in order."""
    line = trend_robust.robust_line(*series(scatter, slope))
    assert line.slope_low <= line.slope <= line.slope_high


@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(-5, 5))
def test_a_curve_through_its_own_points_comes_back(b0: float, b1: float, b2: float) -> None:
    """Readings that lie on a curve give its coefficients back."""
    x = [0.0, 1.0, 2.0, 3.0, 5.0]
    fit = least_squares.fit_quadratic(x, [b0 + b1 * place + b2 * place**2 for place in x])
    assert fit.coefficients == pytest.approx((b0, b1, b2), abs=1e-9)


def test_columns_that_say_the_same_are_refused() -> None:
    """Two columns that cannot be told apart, and one that never changes, are refused."""
    with pytest.raises(CalcError, match="same"):
        least_squares.fit_columns([[1, 2, 3, 4], [2, 4, 6, 8]], [1, 2, 3, 5])
    with pytest.raises(CalcError, match="never changes"):
        least_squares.fit_columns([[1, 1, 1, 1]], [1, 2, 3, 5])


def test_readings_at_one_place_are_refused() -> None:
    """A line needs two different places."""
    with pytest.raises(CalcError, match="one place"):
        line_fit.fit_line([5, 5, 5], [1, 2, 3])
    with pytest.raises(CalcError, match="one place"):
        trend_robust.robust_slope([5, 5, 5], [1, 2, 3])


@given(st.floats(0.1, 10), st.floats(-20, 20), st.floats(0.1, 5))
def test_the_nearer_side_decides(width: float, mean: float, deviation: float) -> None:
    """C_pk is never above C_p, and equal to it in the middle."""
    found = capability.capability(-width, width, mean, deviation)
    assert found.nearer <= found.spread + 1e-12
    assert capability.capability(-width, width, 0, deviation).nearer == pytest.approx(found.spread)


def test_capability_of_settings_as_left() -> None:
    """Of settings 9, 10, 11 the mean is 10 and s is 1, by hand."""
    assert capability.capability_of([9, 10, 11], 7, 13).spread == pytest.approx(1.0)


@given(st.floats(-100, 100), st.floats(-100, 100), st.floats(0.001, 1), st.floats(0.5, 24))
def test_the_date_is_never_late(value: float, limit: float, rate: float, per_day: float) -> None:
    """The day named is the last whole day before the hours are used up."""
    start = date(2026, 1, 1)
    found = trend.date_at_limit(value, start, rate, limit, per_day)
    if found.due is not None:
        assert found.hours_left is not None
        assert (found.due - start).days <= found.hours_left / per_day < (found.due - start).days + 1


def test_no_date_is_said_and_not_divided_by_zero() -> None:
    """A unit that stands and a value that does not change give no date but a reason."""
    day = date(2026, 1, 1)
    assert "not run" in trend.date_at_limit(1, day, 0.01, 2, 0).reason
    assert "does not change" in trend.date_at_limit(1, day, 0, 2, 8).reason
    assert "hundred years" in trend.date_at_limit(1, day, 1e-9, 2, 8).reason


def test_a_clearance_that_does_not_grow_has_no_hours() -> None:
    """Two equal readings give no time to the limit."""
    assert trend.clearance_rate(6, 6, 100, 9).hours_to_limit is None
    assert math.isclose(trend.clearance_rate(6, 5, 100, 9).rate_mm_per_100_hours, -1)
