"""Life data against printed answers and reference libraries beyond the check values."""

from __future__ import annotations

import math

import pytest
import scipy.stats

from kiosk.calc import life_data, replacement, weibull

NIST_FAILURES = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
NIST_RUNNING = [500] * 10
SIX_MP = [(35, 0), (34, 0), (32, 0), (32, 0), (25, 0), (23, 1), (22, 1), (20, 0), (19, 0), (17, 0), (16, 1), (13, 1),
          (11, 0), (10, 0), (10, 1), (9, 0), (7, 1), (6, 0), (6, 1), (6, 1), (6, 1)]


def test_weibull__nist_e_handbook_8_4_1_3__sign_slips_of_the_page() -> None:
    """The page prints the log-likelihood without its sign and a formula without its minus; its answers are met."""
    fit = weibull.weibull_fit(NIST_FAILURES, NIST_RUNNING)
    assert fit.log_likelihood == pytest.approx(-75.135, abs=5e-4)
    assert fit.deviation_hours == pytest.approx(323.806, rel=5e-5)


def test_weibull__two_libraries__both_bounds_kept_and_named() -> None:
    """Two libraries print 405 to 908 h and 362 to 851 h for one fit; both are kept, each says which it is."""
    fit = weibull.weibull_fit(NIST_FAILURES, NIST_RUNNING)
    assert (fit.scale_bounds.low, fit.scale_bounds.high) == pytest.approx((405, 908), abs=0.6)
    assert (fit.scale_bounds_linear.low, fit.scale_bounds_linear.high) == pytest.approx((362, 851), abs=0.6)
    assert "log scale" in fit.scale_bounds.note and "linear scale" in fit.scale_bounds_linear.note


@pytest.mark.parametrize(("failures", "running"), [
    ([120, 400, 410, 800], [200, 900]), ([30, 31, 33, 36, 40], []), ([5, 50, 500], [100] * 6)])
def test_weibull__scipy_weibull_min_fit__censored(failures: list[float], running: list[float]) -> None:
    """Shape and scale are those of scipy.stats.weibull_min.fit with running parts."""
    theirs = scipy.stats.weibull_min.fit(scipy.stats.CensoredData(failures, right=running), floc=0)
    ours = weibull.weibull_fit(failures, running)
    assert (ours.shape, ours.scale_hours) == pytest.approx((theirs[0], theirs[2]), rel=1e-3)


def test_survival__six_mp_leukaemia_table__from_memory() -> None:
    """The classic table prints 0.857 0.807 0.753 0.690 0.627 0.538 0.448; from memory."""
    curve = life_data.survival_curve([age for age, _ in SIX_MP], [bool(failed) for _, failed in SIX_MP])
    assert [round(step.survival, 3) for step in curve.steps] == [0.857, 0.807, 0.753, 0.690, 0.627, 0.538, 0.448]


@pytest.mark.parametrize("count", [2, 7, 25])
def test_median_ranks__benard__within_one_percent(count: int) -> None:
    """Benard's short form is printed as good to 1 %, a hundredth of rank."""
    ranks = life_data.median_ranks(count)
    assert ranks.approximate == pytest.approx(ranks.exact, abs=0.01)


@pytest.mark.parametrize(("failures", "half_chi_square"), [(0, 2.303), (1, 3.890), (2, 5.322), (5, 9.275)])
def test_mean_time__chi_square_table_90_percent__one_sided(failures: int, half_chi_square: float) -> None:
    """Half the printed 90 % quantiles of chi² with 2r + 2 degrees: 4.605, 7.779, 10.645, 18.549; from memory."""
    found = life_data.mean_time_between_failures(10_000, failures, 0.9)
    assert found.low_one_sided_hours == pytest.approx(10_000 / half_chi_square, rel=5e-4)


def test_spares__poisson_table_mean_2__by_hand() -> None:
    """For 2 expected: P(at most 3) = 0.857, P(at most 4) = 0.947, P(at most 5) = 0.983, as any Poisson table prints."""
    assert [replacement.spares(500, 1000, wanted).spares for wanted in (0.85, 0.9, 0.98)] == [3, 4, 5]


@pytest.mark.parametrize(("shape", "failure_cost"), [(2.0, 5), (3.5, 10), (1.5, 20)])
def test_replacement_age__barlow_proschan__no_age_is_cheaper(shape: float, failure_cost: float) -> None:
    """Cost per hour by plain summing is nowhere lower than at the age found, to a hundredth of a percent."""

    def cost(age: float) -> float:
        steps = 4000
        survived = [math.exp(-((age * (step + 0.5) / steps / 900) ** shape)) for step in range(steps)]
        lasts = math.exp(-((age / 900) ** shape))
        return (lasts + failure_cost * (1 - lasts)) / (sum(survived) * age / steps)

    best = replacement.best_replacement_age(900, shape, 1.2, 1, failure_cost)
    assert best.age_hours is not None
    assert cost(best.age_hours) <= min(cost(20.0 * step) for step in range(2, 120)) * (1 + 1e-4)
