"""Check values of topic 10, life data of replaced parts."""

from __future__ import annotations

from typing import Any

from kiosk.calc import life_data, weibull


def _weibull_mle(inputs: dict[str, Any]) -> dict[str, Any]:
    fit = weibull.weibull_fit(inputs["failures"], inputs.get("censored", ()))
    return {
        "eta": fit.scale_hours, "beta": fit.shape, "loglik": fit.log_likelihood, "aic": fit.akaike,
        "mean": fit.mean_hours, "sd": fit.deviation_hours, "B10": fit.b10_hours,
    }


def _weibull_ci(inputs: dict[str, Any]) -> dict[str, Any]:
    fit = weibull.weibull_fit(inputs["failures"], inputs.get("censored", ()), inputs["confidence"])
    return {
        "eta_lo_log": fit.scale_bounds.low, "eta_hi_log": fit.scale_bounds.high,
        "beta_lo_log": fit.shape_bounds.low, "beta_hi_log": fit.shape_bounds.high,
        "eta_lo_lin": fit.scale_bounds_linear.low, "eta_hi_lin": fit.scale_bounds_linear.high,
        "beta_lo_lin": fit.shape_bounds_linear.low, "beta_hi_lin": fit.shape_bounds_linear.high,
    }


def _weibull_quantile(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"t": weibull.weibull_quantile_hours(inputs["eta"], inputs["beta"], inputs["F"])}


def _weibull_cdf(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"F": weibull.weibull_failed_share(inputs["eta"], inputs["beta"], inputs["t"])}


def _conditional(inputs: dict[str, Any]) -> dict[str, Any]:
    return {"R": weibull.conditional_reliability(inputs["eta"], inputs["beta"], inputs["age"], inputs["mission"])}


def _kaplan_meier(inputs: dict[str, Any]) -> dict[str, Any]:
    curve = life_data.survival_curve(inputs["times"], [bool(event) for event in inputs["event"]])
    steps = [life_data.survival_at(curve, age) for age in inputs["at"]]
    return {"S": [step.survival for step in steps], "greenwood_se": [step.standard_error for step in steps]}


def _mtbf(inputs: dict[str, Any]) -> dict[str, Any]:
    found = life_data.mean_time_between_failures(inputs["unit_hours"], inputs["failures"], inputs["confidence"])
    return {
        "mtbf": found.mean_hours, "lower_one_sided": found.low_one_sided_hours,
        "lower_two_sided": found.low_hours, "upper_two_sided": found.high_hours,
    }


def _median_ranks(inputs: dict[str, Any]) -> dict[str, Any]:
    ranks = life_data.median_ranks(inputs["n"])
    return {"exact": list(ranks.exact), "benard": list(ranks.approximate)}


def _zero_failures(inputs: dict[str, Any]) -> dict[str, Any]:
    bound = weibull.zero_failure_scale_hours(inputs["times"], inputs["beta"], inputs["confidence"])
    return {"eta_lower": bound}


def _laplace_trend(inputs: dict[str, Any]) -> dict[str, Any]:
    found = life_data.laplace_trend(inputs["failure_hours"], inputs["observed_to"])
    return {"U": found.score, "p_two_sided": found.probability}


ADAPTORS = {
    "weibull_mle": _weibull_mle,
    "weibull_ci": _weibull_ci,
    "weibull_quantile": _weibull_quantile,
    "weibull_cdf": _weibull_cdf,
    "weibull_conditional_reliability": _conditional,
    "kaplan_meier": _kaplan_meier,
    "mtbf_time_terminated": _mtbf,
    "median_ranks": _median_ranks,
    "weibayes_zero_failures": _zero_failures,
    "laplace_trend": _laplace_trend,
}
