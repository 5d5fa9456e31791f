"""Life data: what must hold for every sample."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kiosk.calc import life_data, replacement, weibull
from kiosk.errors import CalcError, OutOfRange

ages = st.floats(1, 5000)
shapes = st.floats(0.3, 8)
scales = st.floats(10, 10_000)


@given(st.lists(ages, min_size=3, max_size=10), st.lists(ages, max_size=8), st.floats(0.1, 10))
def test_measuring_in_other_units_scales_the_life(failed: list[float], running: list[float], factor: float) -> None:
    """Shape stays and scale follows when all ages are measured in another unit."""
    assume(max(failed) > 1.05 * min(failed))
    fit = weibull.weibull_fit(failed, running)
    other = weibull.weibull_fit([age * factor for age in failed], [age * factor for age in running])
    assert other.shape == pytest.approx(fit.shape, rel=1e-6)
    assert other.scale_hours == pytest.approx(fit.scale_hours * factor, rel=1e-6)


@given(st.lists(ages, min_size=3, max_size=10), ages)
def test_a_part_that_still_runs_lengthens_the_life(failed: list[float], extra: float) -> None:
    """One more part that outlived all others never shortens the characteristic life."""
    assume(max(failed) > 1.05 * min(failed))
    without = weibull.weibull_fit(failed)
    running = weibull.weibull_fit(failed, [max(failed) + extra])
    assert running.scale_hours > without.scale_hours


@given(st.lists(ages, min_size=2, max_size=10), st.lists(ages, max_size=8))
def test_bounds_hold_the_fit_and_are_positive(failed: list[float], running: list[float]) -> None:
    """Bounds on the log scale stand about the fit and are never negative."""
    assume(max(failed) > 1.05 * min(failed))
    fit = weibull.weibull_fit(failed, running)
    for value, bounds in ((fit.scale_hours, fit.scale_bounds), (fit.shape, fit.shape_bounds),
                          (fit.b10_hours, fit.b10_bounds)):
        assert 0 < bounds.low <= value <= bounds.high


@given(scales, shapes, st.floats(0.001, 0.999))
def test_quantile_and_share_are_inverse(scale: float, shape: float, share: float) -> None:
    """The share that has failed by the age of a share is that share."""
    age = weibull.weibull_quantile_hours(scale, shape, share)
    assert weibull.weibull_failed_share(scale, shape, age) == pytest.approx(share)


@given(scales, shapes, st.floats(0, 3000), st.floats(0, 3000), st.floats(0.1, 3000))
def test_wanting_more_hours_is_never_surer(scale: float, shape: float, age: float, mission: float,
                                           more: float) -> None:
    """The chance of running on falls with the hours wanted; a new part's is 1 - F."""
    chance = weibull.conditional_reliability(scale, shape, age, mission)
    assert 0 <= weibull.conditional_reliability(scale, shape, age, mission + more) <= chance <= 1
    new = weibull.conditional_reliability(scale, shape, 0, mission)
    assert new == pytest.approx(1 - weibull.weibull_failed_share(scale, shape, mission), abs=1e-12)


def test_far_beyond_its_life_nothing_runs_on() -> None:
    """No overflow turns a part beyond all life into a sure one."""
    assert weibull.conditional_reliability(1, 100, 1e6, 1e6) == 0


@given(st.lists(ages, min_size=1, max_size=6), shapes)
def test_surer_is_lower_without_failures(running: list[float], shape: float) -> None:
    """The zero-failure bound falls with the confidence asked for."""
    low = weibull.zero_failure_scale_hours(running, shape, 0.95)
    assert low <= weibull.zero_failure_scale_hours(running, shape, 0.9)


def test_parts_that_all_failed_at_one_age_are_refused() -> None:
    """All failures at one, largest age give no shape, and the sentence says so."""
    with pytest.raises(CalcError, match="same, largest age"):
        weibull.weibull_fit([500, 500, 500], [200])


def test_few_failures_are_called_out() -> None:
    """Below three failures nothing is to be shown, below ten the shape is doubtful."""
    assert not weibull.weibull_fit([100, 300]).may_show
    assert "read too high" in weibull.weibull_fit([100, 200, 300, 400]).note


@given(st.lists(st.tuples(ages, st.booleans()), min_size=1, max_size=15))
def test_a_survival_curve_only_falls(parts: list[tuple[float, bool]]) -> None:
    """Survival starts at 1, never rises, never leaves 0 to 1; without running parts it ends at 0."""
    curve = life_data.survival_curve([age for age, _ in parts], [failed for _, failed in parts])
    levels = [1.0, *(step.survival for step in curve.steps)]
    assert levels == sorted(levels, reverse=True) and levels[-1] >= 0
    if all(failed for _, failed in parts):
        assert levels[-1] == pytest.approx(0, abs=1e-12)


def test_beyond_the_oldest_part_nothing_is_known() -> None:
    """A survival curve is not drawn on beyond the oldest part."""
    curve = life_data.survival_curve([100, 200], [True, False])
    assert life_data.survival_at(curve, 50).survival == 1
    with pytest.raises(OutOfRange, match="age hours"):
        life_data.survival_at(curve, 201)


@given(st.floats(100, 1e6), st.integers(0, 50), st.floats(0.5, 0.99))
def test_mean_time_lies_in_its_bounds(total: float, failures: int, confidence: float) -> None:
    """The mean lies between the two-sided bounds; without a failure there is only a low one."""
    found = life_data.mean_time_between_failures(total, failures, confidence)
    if failures == 0:
        assert found.mean_hours is None and found.high_hours is None
        return
    assert found.mean_hours is not None and found.high_hours is not None
    assert found.low_hours < found.low_one_sided_hours
    assert found.low_hours < found.mean_hours < found.high_hours


@given(st.lists(st.floats(0, 1000), min_size=1, max_size=12))
def test_a_repair_history_turned_round_turns_its_trend(times: list[float]) -> None:
    """Failures mirrored in time turn the sign of the trend."""
    ahead = life_data.laplace_trend(times, 1000)
    back = life_data.laplace_trend([1000 - time for time in times], 1000)
    assert ahead.score == pytest.approx(-back.score, abs=1e-9)


@given(st.floats(10, 1e4), st.floats(0, 1e4), st.floats(0.5, 0.999))
def test_one_spare_fewer_would_not_do(mean: float, hours: float, confidence: float) -> None:
    """The spares found are enough; their chance never falls below what was asked for."""
    found = replacement.spares(mean, hours, confidence)
    assert found.enough_chance >= confidence
    assert found.expected == pytest.approx(hours / mean)


@pytest.mark.parametrize(("low", "failure_cost"), [(1.0, 10), (0.8, 10), (1.5, 1), (1.5, 0.5)])
def test_no_age_without_shown_wear_out_or_saving(low: float, failure_cost: float) -> None:
    """Without shown wear-out, or where failures cost no more, a part runs until it fails."""
    found = replacement.best_replacement_age(900, 2, low, 1, failure_cost)
    assert found.age_hours is None and found.reason


@given(scales, st.floats(1.2, 20), st.floats(1.5, 100), st.floats(1.1, 5))
def test_dearer_failures_mean_an_earlier_age(scale: float, shape: float, cost: float, dearer: float) -> None:
    """The more a failure costs, the earlier a part is replaced and the more is saved."""
    mild = replacement.best_replacement_age(scale, shape, 1.1, 1, cost)
    dear = replacement.best_replacement_age(scale, shape, 1.1, 1, cost * dearer)
    if mild.age_hours is not None:
        assert dear.age_hours is not None and dear.age_hours <= mild.age_hours
        assert dear.saving_percent >= mild.saving_percent
