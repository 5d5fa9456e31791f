"""Rubbish stops at the first function: NaN, infinity, huge, wrong sign and wrong kind, each refused by name."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from typing import Any

import pytest

from kiosk import units
from kiosk.calc import (
    alignment,
    chain,
    chain_wear,
    conversion,
    legibility,
    loop_balance,
    risk,
    slack,
    span,
    takeup,
    temperature,
    tolerance,
)
from kiosk.errors import CalcError, NoTableRow, OutOfRange

NORMAL = risk.NormalSpread(10.0, 0.3)

# One good call of each function; its numbers are then spoilt one at a time.
GOOD_CALLS: list[tuple[Callable[..., Any], dict[str, Any]]] = [
    (tolerance.judge, {"value": 77.0, "lower": 76.2, "upper": 101.6, "standard_uncertainty": 0.2}),
    (tolerance.judge_with_factor, {"value": 77.0, "lower": 76.2, "upper": 101.6, "standard_uncertainty": 0.2,
                                   "guard_factor": 2.0}),
    (tolerance.conformance_probability, {"value": 77.0, "lower": 76.2, "upper": 101.6,
                                         "standard_uncertainty": 0.2}),
    (tolerance.probability_in_words, {"probability": 0.5}),
    (tolerance.standard_uncertainty, {"kind": "expanded", "size": 0.5, "coverage_factor": 2.0}),
    (tolerance.combine_readings, {"readings": [1.0, 2.0], "resolution": 0.5, "calibration_uncertainty": 0.1}),
    (tolerance.coarsest_resolution, {"lower": 1.0, "upper": 2.0}),
    (tolerance.uncertainty_ratio, {"lower": 1.0, "upper": 2.0, "expanded_uncertainty": 0.1}),
    (temperature.length_at_20_mm, {"length_mm": 1500.0, "temperature_celsius": 30.0, "expansion_per_kelvin": 1e-5,
                                   "gauge_expansion_per_kelvin": 1e-5}),
    (risk.NormalSpread, {"mean": 1.0, "standard_deviation": 1.0}),
    (risk.GammaSpread, {"shape": 4.0, "scale": 1.0}),
    (risk.population_risk, {"spread": NORMAL, "lower": 9.5, "upper": 10.5, "standard_uncertainty": 0.1,
                            "accept_lower": 9.6, "accept_upper": 10.4}),
    (risk.guard_band_for_risk, {"spread": NORMAL, "lower": 9.5, "upper": 10.5, "standard_uncertainty": 0.1,
                                "consumer_risk": 0.01}),
    (risk.uncertainty_ratio_risk, {"uncertainty_ratio": 4.0, "in_tolerance_share": 0.9}),
    (span.strand_weight_newton_per_metre, {"chain_mass_kg_per_m": 1.5}),
    (span.level_span, {"span_mm": 1000.0, "sag_mm": 40.0, "weight_newton_per_metre": 14.6}),
    (span.slack_from_excess, {"span_mm": 1000.0, "excess_mm": 4.0}),
    (span.slack_from_measurement, {"span_mm": 1000.0, "measured_mm": 40.0, "measured": "movement"}),
    (span.excess_from_sag_mm, {"span_mm": 1000.0, "sag_mm": 40.0}),
    (span.inclined_span, {"chord_mm": 1000.0, "angle_degrees": 30.0, "excess_mm": 2.0,
                          "weight_newton_per_metre": 14.6}),
    (span.inclined_sag_mm, {"chord_mm": 1000.0, "angle_degrees": 30.0, "excess_mm": 2.0}),
    (span.inclined_excess_mm, {"chord_mm": 1000.0, "angle_degrees": 30.0, "sag_mm": 20.0}),
    (slack.slack_window, {"centre_distance_mm": 1000.0, "case": "conveyor return"}),
    (takeup.takeup_for_sag, {"span_mm": 1000.0, "sag_now_mm": 40.0, "sag_wanted_mm": 20.0, "hanging_strands": 1,
                             "angle_degrees": 0.0}),
    (takeup.sag_after_takeup_mm, {"span_mm": 1000.0, "sag_now_mm": 40.0, "movement_mm": 1.0, "hanging_strands": 1,
                                  "angle_degrees": 10.0}),
    (takeup.turning, {"movement_mm": 1.6, "takeup_thread_pitch_mm": 2.0, "travel_left_mm": 20.0}),
    (takeup.grease_tensioner_words, {"movement_mm": 1.6}),
    (takeup.in_turns_and_flats, {"flats": 8}),
    (chain.pitch_diameter_mm, {"pitch_mm": 19.05, "teeth": 17, "elongation_percent": 1.0}),
    (chain.chordal_speed_variation, {"teeth": 17}),
    (chain.chain_length, {"centre_distance_mm": 800.0, "pitch_mm": 19.05, "driver_teeth": 17, "driven_teeth": 23}),
    (chain.centre_distance_mm_for, {"links": 102, "pitch_mm": 19.05, "driver_teeth": 17, "driven_teeth": 23}),
    (chain.exact_centre_distance_mm, {"links": 102, "pitch_mm": 19.05, "driver_teeth": 17, "driven_teeth": 23}),
    (chain.chain_speed_m_per_s, {"teeth": 17, "pitch_mm": 19.05, "speed_rpm": 60.0}),
    (chain.flight_spacing, {"links": 120, "links_per_flight": 6}),
    (chain_wear.wear_limit_percent, {"largest_sprocket_teeth": 17}),
    (chain_wear.elongation, {"measured_mm": 460.0, "pitch_mm": 19.05, "pitches": 24, "length_uncertainty_mm": 0.3,
                             "elongation_limit_percent": 3.0}),
    (chain_wear.pitches_needed, {"pitch_mm": 19.05, "length_uncertainty_mm": 0.3,
                                 "wanted_uncertainty_percent": 0.1}),
    (chain_wear.wear_growth, {"links": 120, "pitch_mm": 19.05, "elongation_percent": 1.0}),
    (chain_wear.takeup_reserve_mm, {"pitch_mm": 19.05}),
    (chain_wear.compare_strands, {"left_elongation_percent": 1.0, "right_elongation_percent": 1.1,
                                  "strand_length_mm": 3000.0, "strand_distance_mm": 700.0,
                                  "elongation_uncertainty_percent": 0.1}),
    (alignment.offset_limit_mm, {"centre_distance_mm": 800.0}),
    (alignment.eccentricity_mm, {"run_out_mm": 0.3}),
    (legibility.pixels_per_inch, {"panel_width_px": 1280, "panel_height_px": 800, "diagonal_mm": 256.5}),
    (legibility.target_size, {"size_px": 72.0, "panel_pixels_per_inch": 149.0, "device_pixel_ratio": 1.0}),
    (legibility.visual_angle_arcmin, {"height_mm": 4.0, "distance_mm": 600.0}),
    (legibility.character_height_mm, {"visual_angle_arcmin": 20.0, "distance_mm": 600.0}),
    (conversion.convert, {"value": 1.0, "from_unit": "in", "to_unit": "mm"}),
    (units.nearest_fraction, {"mm": 41.0, "denominator": 16}),
    (units.format_length, {"mm": 41.0, "unit": "in"}),
    (units.suspect_unit_slip, {"mm": 410.0, "low_mm": 30.0, "high_mm": 60.0}),
]

# These may be below zero, or at it.
SIGNED = {"value", "lower", "upper", "readings", "mean", "accept_lower", "accept_upper", "temperature_celsius",
          "movement_mm", "elongation_percent", "left_elongation_percent", "right_elongation_percent", "mm", "low_mm",
          "high_mm"}
ZERO_ALLOWED = SIGNED | {
    "guard_factor", "probability", "size", "resolution", "calibration_uncertainty", "length_mm",
    "expansion_per_kelvin", "gauge_expansion_per_kelvin", "excess_mm", "measured_mm", "sag_mm", "sag_now_mm",
    "angle_degrees", "travel_left_mm", "flats", "speed_rpm", "length_uncertainty_mm",
    "elongation_uncertainty_percent", "run_out_mm",
}

NUMBERS = [(function, good, name) for function, good in GOOD_CALLS for name, value in good.items()
           if isinstance(value, int | float)]
IDS = [f"{function.__name__}-{name}" for function, _, name in NUMBERS]


def _refusal(function: Callable[..., Any], good: dict[str, Any], name: str, rubbish: Any) -> OutOfRange:
    with pytest.raises(OutOfRange) as caught:
        function(**{**good, name: rubbish})
    return caught.value


@pytest.mark.parametrize(("function", "good"), GOOD_CALLS, ids=[f.__name__ for f, _ in GOOD_CALLS])
def test_good_call_is_answered(function: Callable[..., Any], good: dict[str, Any]) -> None:
    """The calls that the other tests spoil are good ones."""
    assert function(**good) is not None


@pytest.mark.parametrize(("function", "good", "name"), NUMBERS, ids=IDS)
def test_rubbish_is_refused_by_name(function: Callable[..., Any], good: dict[str, Any], name: str) -> None:
    """NaN, infinities, huge numbers, texts and truth values are refused, the argument named."""
    for rubbish in (math.nan, math.inf, -math.inf, 1e300, -1e300, "3", True):
        assert _refusal(function, good, name, rubbish).name == name


@pytest.mark.parametrize(("function", "good", "name"), [row for row in NUMBERS if row[2] not in SIGNED],
                         ids=[row_id for row_id, row in zip(IDS, NUMBERS, strict=True) if row[2] not in SIGNED])
def test_negative_is_refused_with_its_range(function: Callable[..., Any], good: dict[str, Any], name: str) -> None:
    """A quantity that cannot be below zero says so, with its permitted range."""
    refusal = _refusal(function, good, name, -1)
    assert refusal.low is not None and "must be" in refusal.operator_message


@pytest.mark.parametrize(
    ("function", "good", "name"), [row for row in NUMBERS if row[2] not in ZERO_ALLOWED],
    ids=[row_id for row_id, row in zip(IDS, NUMBERS, strict=True) if row[2] not in ZERO_ALLOWED])
def test_zero_is_refused_where_it_means_nothing(function: Callable[..., Any], good: dict[str, Any],
                                                name: str) -> None:
    """Spans, pitches, teeth and uncertainties of zero are refused."""
    assert _refusal(function, good, name, 0).low is not None


@pytest.mark.parametrize(("function", "good", "name"), NUMBERS, ids=IDS)
def test_refusal_names_the_unit(function: Callable[..., Any], good: dict[str, Any], name: str) -> None:
    """A refused quantity carries the unit that its name ends in."""
    expected = {"_mm": "mm", "_percent": "%", "_newton_per_metre": "N/m", "_rpm": "r/min", "_degrees": "°",
                "_celsius": "°C", "_px": ("px", ""), "_arcmin": "'", "_kg_per_m": "kg/m", "_per_kelvin": "1/K"}
    unit = next((unit for suffix, unit in expected.items() if name.endswith(suffix)), None)
    if unit is not None:
        assert _refusal(function, good, name, math.nan).unit in unit


def test_missing_limits_are_refused() -> None:
    """A reading without any limit cannot be judged."""
    with pytest.raises(OutOfRange):
        tolerance.judge(1.0, None, None, 0.1)


def test_crossed_limits_are_refused() -> None:
    """A lower limit above the upper one is a slip on the sheet."""
    with pytest.raises(OutOfRange, match="upper"):
        tolerance.judge(1.0, 3.0, 2.0, 0.1)


@pytest.mark.parametrize("ask", [
    lambda: tolerance.judge(1.0, 0.0, 2.0, 0.1, "by eye"),
    lambda: tolerance.standard_uncertainty("guess", 1.0),
    lambda: span.slack_from_measurement(1000.0, 40.0, "somehow"),
    lambda: slack.slack_window(1000.0, "tight as a drum"),
    lambda: conversion.convert(1.0, "cubit", "mm"),
    lambda: units.parse_length("1", "cubit"),
    lambda: units.format_length(1.0, "cubit"),
], ids=["rule", "kind", "measure", "case", "unit", "form's unit", "shown unit"])
def test_unknown_names_are_refused(ask: Callable[[], object]) -> None:
    """A name that a table does not know is refused, nothing is guessed."""
    with pytest.raises(NoTableRow):
        ask()


def test_torque_is_no_energy() -> None:
    """A torque and an energy share a dimension and do not convert."""
    with pytest.raises(CalcError, match="torque"):
        conversion.convert(1.0, "lbf·ft", "J")


def test_loop_balance_refuses_rubbish_by_name() -> None:
    """The fields of a loop are checked like arguments."""
    good = {"links": 97, "pitch_mm": 20.0, "driver_teeth": 17, "driven_teeth": 17, "centre_distance_mm": 800.0,
            "elongation_percent": 0.0, "excess_mm": 1.0}
    for name in good:
        with pytest.raises(OutOfRange) as caught:
            loop_balance.balance(loop_balance.Loop(**{**good, name: math.nan}), 0.5, 0.05)
        assert caught.value.name == name


def test_every_number_of_the_functions_is_tried() -> None:
    """The good calls name every required argument."""
    for function, good in GOOD_CALLS:
        required = [name for name, parameter in inspect.signature(function).parameters.items()
                    if parameter.default is inspect.Parameter.empty]
        assert set(required) <= good.keys()
