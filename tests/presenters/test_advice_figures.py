"""Advice on what holds a bearing, on frames, shafts, take-ups and the whole loop: by hand, in the trade's words."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from kiosk.entities import Component, JobType, Phase, Reading, ServiceRecord, Side, Verdict
from kiosk.presenters.advice import AdviceContext, advise
from kiosk.presenters.drafts import Typed
from kiosk.presenters.readings import judge_typed
from kiosk.service_sheet import ComputationSpec, JobSpec, ReadingSpec

NOW = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)
PRACTICE = "common practice, no source"
LOOP = {"pitch_mm": 20.0, "pitches_measured": 10, "driver_teeth": 17, "driven_teeth": 17}


def reading(quantity, value, side=Side.BOTH, resolution=0.1, unit="mm", upper=None):
    spec = ReadingSpec(quantity, quantity.capitalize(), unit, (side,), 0.5, upper, resolution, "rule", PRACTICE)
    return judge_typed(spec, side, Phase.AS_FOUND, Typed(f"{value}", "mm"))


def sides(quantity, left, right, resolution=0.1):
    return reading(quantity, left, Side.LEFT, resolution), reading(quantity, right, Side.RIGHT, resolution)


def ask(name, *readings, history=(), hours_now=None, **parameters):
    job = JobSpec("job", "Job", JobType.ADJUST, computation=ComputationSpec(name, parameters))
    component = Component("c", "s", "p", "u", "part", "1", NOW, 0.0)
    return advise(tuple(readings), AdviceContext("mm", component, job, tuple(history), hours_now=hours_now))


def texts(advice, weight=None):
    return [line.text for line in advice.lines if weight in (None, line.weight)]


# --- bearings ---


def test_bearing_fixing__catalogue__uc208_and_m12():
    """Set screws and housing bolts each by their own printed table, in a star of four and three passes."""
    advice = ask("bearing fixing", bearing="UC208", housing_bolt="M12", housing_bolts=4, tool_percent=4)
    assert advice.details["housing_bolt_newton_metre"] == [21, 37]
    text = " ".join(texts(advice))
    assert "21 to 37 N·m, in the order 1 3 2 4, in passes of 14, 22, 29 N·m" in text
    assert "Never by the bolt's grade" in text


def test_gun_weighing__hand_6_g_of_ten_strokes():
    """By hand: 6 g over ten strokes is 0.6 g; the sheet counts on the same."""
    advice = ask("gun weighing", reading("grease-weighed", 6.0, unit="grams"), strokes=10, grams_per_stroke=0.6)
    assert advice.details["grams_per_stroke"] == pytest.approx(0.6)
    assert texts(advice, "do") == ["Go on with it: the sheet counts on 0.6 g a stroke."]


def test_gun_that_gives_twice_as_much_is_stopped():
    """Two strokes of such a gun are four: the bearing's seal would go."""
    advice = ask("gun weighing", reading("grease-weighed", 12.0, unit="grams"), strokes=10, grams_per_stroke=0.6)
    assert "have the sheet changed" in texts(advice, "stop")[0]


# --- straight and square ---


def test_sprocket_alignment__chain_handbook__both_limits_kept():
    """1.8 mm at 1800 mm by the handbook beside the sheet's 3 mm, with the reason which one decides."""
    advice = ask("sprocket alignment", reading("out-of-line", 2.5, upper=3.0), centre_distance_mm=1800)
    assert advice.details["handbook_limit_mm"] == pytest.approx(1.8)
    assert "Both are kept: the sheet's decides" in " ".join(texts(advice, "why"))
    assert texts(advice, "do")[0].startswith("Move one sprocket by 2.5 mm")


def test_shaft_run_out__geometry__half_the_swing():
    """A swing of 0.8 mm is 0.4 mm off the middle; by the parabola 40 mm of sag swing from 38.1 to 41.8."""
    advice = ask("shaft run-out", reading("shaft-run-out", 0.8), span_mm=1000, sag_wanted_mm=40)
    assert advice.details["eccentricity_mm"] == pytest.approx(0.4)
    assert advice.details["sag_between_mm"] == [pytest.approx(38.1, abs=0.1), pytest.approx(41.8, abs=0.1)]


def test_frame_square__parallelogram__longer_left_diagonal():
    """By hand: (2100² − 2094²)/(4·2000) = 3.146 mm; the upper right end stands ahead."""
    advice = ask("frame square", *sides("frame-diagonal", 2100, 2094), frame_length_mm=2000, takeup_thread_pitch_mm=3.0)
    assert advice.details["offset_mm"] == pytest.approx(3.1455)
    assert texts(advice, "do")[0].startswith("The right end of the upper roller stands 3.15 mm")


def test_square_frame_is_left_alone():
    """A difference within its uncertainty turns nothing."""
    advice = ask("frame square", *sides("frame-diagonal", 2100, 2100, 1.0), frame_length_mm=2000,
                 takeup_thread_pitch_mm=3.0)
    assert "leave both take-ups" in texts(advice, "do")[0]


@pytest.mark.parametrize(("gap", "weight", "word"), [(1001, "do", "Tighten"), (1006, "do", "Leave"),
                                                     (1015, "stop", "Slacken")])
def test_belt_strain__makers_article__polyester_window(gap, weight, word):
    """Polyester is right between 0.3 and 1 %."""
    advice = ask("belt strain", reading("mark-gap", gap), mark_gap_mm=1000, tension_member="polyester")
    assert texts(advice, weight)[0].startswith(word)


def test_take_up_reserve__hand_half_of_the_growth():
    """30 mm of growth take 15 mm of travel; of 10 mm left that is too much, and two pitches no longer come out."""
    enough, short = (ask("take-up reserve", reading("thread-left", left), growth_mm=30.0, pitch_mm=38.1)
                     for left in (60, 10))
    assert enough.details["travel_remaining_mm"] == pytest.approx(45.0)
    assert texts(short, "stop") and "less than 38.1 mm" in " ".join(texts(short, "check"))


# --- the loop ---


def loop(links):
    return (reading("links-counted", links, unit="count", resolution=0.001), reading("centre-distance", 799.3),
            reading("strand-sag", 20.0), reading("length-over-pitches", 200.0, resolution=0.05))


def test_loop_balance__hand__right_count_fits():
    """By hand: 2 x 799.3 + 17 x 20 + 1.33 of slack is 1939.9 mm, 97 links of 20 mm."""
    advice = ask("loop balance", *loop(97), **LOOP)
    assert advice.details["loop"]["both"]["links_off"] == 0
    assert advice.lines[0].weight == "do"


def test_loop_balance__hand__a_wrong_count_is_named():
    """98 counted on the same machine is one too many."""
    advice = ask("loop balance", *loop(98), **LOOP)
    assert advice.details["loop"]["both"]["links_off"] == 1
    assert "97 links, not 98" in texts(advice, "stop")[0]


def test_same_slack_by_hand_and_left_alone_are_told_apart():
    """The movement by hand is 2.31 times the sag left alone, and a printed rule is named with its source."""
    advice = ask("take-up for sag", reading("strand-sag", 45.0, upper=50.0), span_mm=1800.0, sag_wanted_mm=40.0,
                 takeup_thread_pitch_mm=0.5, slack_case="horizontal, by custom")
    text = " ".join(texts(advice))
    assert "2.3 times as far" in text and "Printed for 'horizontal, by custom': 36 mm" in text
    assert "After the first half turn it must hang about" in text


def test_flight_clearance__hand__rate_since_it_was_set():
    """3 mm in 150 h are 2 mm in 100 h; 3 mm of 6 to go are 150 h."""
    key = "flight-clearance-upper"
    left = Reading(key, Side.BOTH, Phase.AS_LEFT, "10", 10.0, "mm", 0.3, 0.5, 16.0, "guarded 95 %", PRACTICE,
                   Verdict.WITHIN)
    record = ServiceRecord("r", "c", "p", "u", "s", 1, "job", JobType.ADJUST, NOW, 100.0, "who", (left,))
    advice = ask("flight clearance", reading(key, 13.0, upper=16.0), history=[record], hours_now=250.0,
                 gauge_strip_mm=10.0)
    assert "grows by 2 mm" in " ".join(texts(advice)) and "about 150 h to its limit" in " ".join(texts(advice))
