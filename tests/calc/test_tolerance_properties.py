"""Verdicts, probabilities and uncertainties behave as the standards say, whatever the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.calc import risk, temperature, tolerance
from kiosk.errors import CalcError

VALUES = st.floats(-1e4, 1e4)
SIGMAS = st.floats(1e-3, 1e3)
RULES = st.sampled_from(sorted(tolerance.RULES))
WINDOWS = st.tuples(VALUES, VALUES).map(sorted)


@given(VALUES, WINDOWS, SIGMAS)
def test_probability_is_between_zero_and_one(value: float, window: list[float], u: float) -> None:
    """A probability stays one."""
    assert 0.0 <= tolerance.conformance_probability(value, *window, u) <= 1.0


@given(VALUES, VALUES, VALUES, SIGMAS)
def test_one_sided_probability_falls_as_the_reading_nears_its_upper_limit(one: float, other: float, upper: float,
                                                                          u: float) -> None:
    """The larger reading is not the likelier one to be below an upper limit."""
    low, high = sorted((one, other))
    assert tolerance.conformance_probability(low, None, upper, u) >= \
        tolerance.conformance_probability(high, None, upper, u)


@given(VALUES, VALUES, SIGMAS)
def test_upper_and_lower_limit_share_out_all_chances(value: float, limit: float, u: float) -> None:
    """Below and above one limit add up to certainty."""
    below = tolerance.conformance_probability(value, None, limit, u)
    assert below + tolerance.conformance_probability(value, limit, None, u) == pytest.approx(1.0)


@given(VALUES, WINDOWS, SIGMAS, RULES)
def test_mirrored_reading_has_the_mirrored_verdict(value: float, window: list[float], u: float, rule: str) -> None:
    """Turning the axis round changes nothing."""
    mirrored = tolerance.judge(-value, -window[1], -window[0], u, rule)
    assert mirrored.verdict == tolerance.judge(value, *window, u, rule).verdict


@given(VALUES, WINDOWS, SIGMAS)
def test_simple_acceptance_never_finds_it_too_close(value: float, window: list[float], u: float) -> None:
    """Without a guard band a reading is within exactly when it is between the limits."""
    verdict = tolerance.judge(value, *window, u, "simple acceptance").verdict
    assert verdict == (tolerance.WITHIN if window[0] <= value <= window[1] else tolerance.OUTSIDE)


@given(VALUES, WINDOWS, SIGMAS)
def test_wider_guard_never_turns_a_verdict_round(value: float, window: list[float], u: float) -> None:
    """A stricter rule may find it too close to call, never the opposite."""
    verdicts = {tolerance.judge(value, *window, u, rule).verdict for rule in tolerance.RULES}
    assert not {tolerance.WITHIN, tolerance.OUTSIDE} <= verdicts


@given(VALUES, WINDOWS, SIGMAS)
def test_guarded_within_means_95_percent_to_each_limit(value: float, window: list[float], u: float) -> None:
    """What the guarded rule passes is 95 % sure against each limit alone."""
    judged = tolerance.judge(value, *window, u)
    if judged.verdict == tolerance.WITHIN:
        assert tolerance.conformance_probability(value, None, window[1], u) > 0.95 - 1e-6
        assert tolerance.conformance_probability(value, window[0], None, u) > 0.95 - 1e-6


@given(VALUES, WINDOWS, SIGMAS, RULES)
def test_incapable_gauge_passes_nothing(value: float, window: list[float], u: float, rule: str) -> None:
    """Where the bands fill the window no reading is within."""
    judged = tolerance.judge(value, *window, u, rule)
    assert judged.gauge_capable or judged.verdict != tolerance.WITHIN


@given(st.floats(0.0, 10.0), st.floats(0.1, 10.0), SIGMAS)
def test_never_negative_gauge_is_capable_only_if_zero_passes(value: float, upper: float, u: float) -> None:
    """For a run-out the gauge is capable exactly when a reading of zero would be within."""
    judged = tolerance.judge(value, None, upper, u, never_negative=True)
    assert judged.gauge_capable == (tolerance.judge(0.0, None, upper, u).verdict == tolerance.WITHIN)
    assert judged.probability_within <= tolerance.conformance_probability(value, None, upper, u) + 1e-12


@given(st.floats(1.0, 1e4), st.floats(0.01, 100.0), RULES.filter(lambda rule: rule != "simple acceptance"))
def test_coarsest_resolution_is_just_capable(lower: float, width: float, rule: str) -> None:
    """At the coarsest scale the middle just passes, a tenth coarser it does not."""
    upper = lower + width
    scale = tolerance.coarsest_resolution(lower, upper, rule)
    for times, capable in ((0.999, True), (1.1, False)):
        u = tolerance.standard_uncertainty("resolution", scale * times)
        assert tolerance.judge((lower + upper) / 2, lower, upper, u, rule).gauge_capable is capable


@given(st.floats(0.0, 1.0))
def test_words_exist_for_every_probability(probability: float) -> None:
    """Each probability has its words, and they take a side as it does."""
    words = tolerance.probability_in_words(probability)
    assert ("outside" in words and "than not" not in words) or "within" in words or probability < 0.5


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=12), st.floats(0.01, 10.0), st.floats(0.0, 10.0))
def test_combined_uncertainty_is_at_least_its_largest_term(readings: list[float], resolution: float,
                                                           calibration: float) -> None:
    """Terms add as squares, and the resolution keeps u above zero."""
    got = tolerance.combine_readings(readings, resolution, calibration)
    assert got.standard_uncertainty >= max(got.terms.values()) > 0.0
    assert min(readings) - 1e-9 <= got.mean <= max(readings) + 1e-9


@given(st.dictionaries(st.sampled_from(["repeat", "resolution", "calibration", "taper"]), st.floats(0.0, 1e3),
                       min_size=1))
def test_largest_term_is_the_largest(terms: dict[str, float]) -> None:
    """The term to improve is the largest, its share no less than an equal share."""
    if max(terms.values()) ** 2 == 0.0:
        with pytest.raises(CalcError):
            tolerance.largest_term(terms)
        return
    got = tolerance.largest_term(terms)
    assert terms[got.name] == max(terms.values())
    assert 1.0 / len(terms) - 1e-9 <= got.share <= 1.0


def test_reading_without_any_uncertainty_is_refused() -> None:
    """A single reading of an instrument of unknown resolution cannot be judged."""
    with pytest.raises(CalcError, match="resolution"):
        tolerance.combine_readings([10.0], 0.0)


@given(st.floats(1.0, 1e4), st.floats(-40.0, 60.0), st.floats(0.0, 2e-4))
def test_warm_part_is_shorter_at_20(length: float, warm: float, expansion: float) -> None:
    """A part above 20 °C is longer than at 20 °C, and an equal tape cancels that."""
    cold = temperature.length_at_20_mm(length, warm, expansion)
    assert (cold <= length) if warm >= 20.0 else (cold >= length)
    assert temperature.length_at_20_mm(length, warm, expansion, expansion) == pytest.approx(length)


@given(st.floats(1.0, 20.0), st.floats(0.5, 0.99))
def test_finer_gauge_decides_wrongly_less_often(ratio: float, share: float) -> None:
    """A higher test uncertainty ratio lowers both risks."""
    coarse, fine = (risk.uncertainty_ratio_risk(times * ratio, share) for times in (1.0, 1.5))
    assert fine.consumer_risk < coarse.consumer_risk
    assert fine.producer_risk < coarse.producer_risk


@given(st.floats(0.05, 0.5), st.floats(0.001, 0.02))
def test_guard_band_reaches_the_wanted_risk(u: float, target: float) -> None:
    """With the band given back, the risk is the one asked for, or smaller when none was needed."""
    spread = risk.NormalSpread(0.0, 1.0)
    guard = risk.guard_band_for_risk(spread, -2.0, 2.0, u, target)
    got = risk.population_risk(spread, -2.0, 2.0, u, -2.0 + guard, 2.0 - guard).consumer_risk
    assert got == pytest.approx(target, abs=1e-6) if guard else got <= target


@given(st.floats(1.0, 50.0), st.floats(0.1, 5.0))
def test_gamma_spread_is_a_distribution(shape: float, scale: float) -> None:
    """Below and above any bound is everything."""
    spread = risk.GammaSpread(shape, scale)
    bound = shape * scale
    total = risk.nonconforming_share(spread, bound, None) + risk.nonconforming_share(spread, None, bound)
    assert math.isclose(total, 1.0, abs_tol=1e-5)
