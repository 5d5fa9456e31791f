"""Advice in the trade's words: every computation of the catalogue answers, and what it says can be checked by hand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.calc.computations import COMPUTATIONS
from kiosk.entities import Component, JobType, Phase, Reading, ServiceRecord, Side, Verdict
from kiosk.presenters.advice import ADVISERS, AdviceContext, advise, effective_parameters
from kiosk.presenters.advice.tracking_advice import logged_moves
from kiosk.presenters.advice.turns import advised_flats
from kiosk.presenters.drafts import Typed
from kiosk.presenters.readings import judge_typed
from kiosk.service_sheet import ComputationSpec, GreaseSpec, JobSpec, ReadingSpec

NOW = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)
PRACTICE = "common practice, no source"
LIMITS = {"strand-sag": (76.2, 101.6), "belt-edge-top": (2.0, 12.7), "belt-edge-bottom": (2.0, None)}
PARAMETERS = {
    "take-up for sag": {"span_mm": 1800.0, "sag_wanted_mm": 88.9, "takeup_thread_pitch_mm": 2.5},
    "chain wear": {"pitch_mm": 38.1, "pitches_measured": 12, "links": 108, "largest_sprocket_teeth": 12},
    "flight clearance": {"gauge_strip_mm": 10.0},
    "belt height": {"target_mm": 60.0, "takeup_thread_pitch_mm": 3.0},
    "belt tracking": {"bearing_spacing_mm": 900, "roller_diameter_mm": 200, "takeup_thread_pitch_mm": 2.0,
                      "belt_length_mm": 6283.185, "drive_roller_diameter_mm": 200, "engine_rpm": 1500,
                      "engine_to_roller_ratio": 15, "settle_revolutions": 150},
    "splice plan": {"cleat_pitch_mm": 250, "takeup_travel_in_mm": 200, "takeup_travel_out_mm": 60, "joint_bolts": 7},
    "roller offset": {"target_mm": 25.0, "takeup_thread_pitch_mm": 2.0},
    "height stop": {"sand_and_gravel_mm": 41.275, "leaves_and_litter_mm": 76.2},
    "bearing grease": {"bearing": "UC208", "temperature_celsius": 45, "environment": "dust+wet"},
    "bearing life": {"bearing": "UC208", "rpm": 60, "load_newton": 3000},
    "loop balance": {"pitch_mm": 20.0, "pitches_measured": 10, "driver_teeth": 17, "driven_teeth": 17},
    "bearing fixing": {"bearing": "UC208", "housing_bolt": "M12", "housing_bolts": 4, "tool_percent": 4},
    "gun weighing": {"strokes": 10, "grams_per_stroke": 0.6},
    "sprocket alignment": {"centre_distance_mm": 1800},
    "shaft run-out": {"span_mm": 1000, "sag_wanted_mm": 40},
    "frame square": {"frame_length_mm": 2000, "takeup_thread_pitch_mm": 3.0},
    "belt strain": {"mark_gap_mm": 1000, "tension_member": "polyester"},
    "take-up reserve": {"growth_mm": 30.0, "pitch_mm": 38.1},
}


def reading(quantity, value_mm, side=Side.BOTH, resolution=1.0):
    lower, upper = LIMITS.get(quantity, (1.0, None))
    spec = ReadingSpec(quantity, quantity.capitalize(), "mm", (side,), lower, upper, resolution, "rule", PRACTICE)
    return judge_typed(spec, side, Phase.AS_FOUND, Typed(f"{value_mm}", "mm"))


def sides(quantity, left_mm, right_mm):
    return reading(quantity, left_mm, Side.LEFT), reading(quantity, right_mm, Side.RIGHT)


def ask(name, *readings, history=(), properties=None, **parameters):
    job = JobSpec("job", "Job", JobType.ADJUST, computation=ComputationSpec(name, {**PARAMETERS[name], **parameters}),
                  grease=GreaseSpec(2, 3, 60, "EP 2", "lithium", 1.4))
    component = Component("c", "s", "p", "u", "part", "1", NOW, 0.0, properties=properties or {})
    return advise(tuple(readings), AdviceContext("mm", component, job, tuple(history)))


def texts(advice, weight=None):
    return [line.text for line in advice.lines if weight in (None, line.weight)]


def test_every_computation_of_the_catalogue_has_an_adviser():
    """What a sheet may name is answered, and nothing else is."""
    assert set(ADVISERS) == set(COMPUTATIONS)


@pytest.mark.parametrize("name", sorted(COMPUTATIONS))
def test_every_adviser_answers_with_the_required_parameters_alone(name):
    """Only what the catalogue requires is needed; no reading yet is no error."""
    assert set(PARAMETERS[name]) == set(COMPUTATIONS[name].parameters)
    advice = ask(name, properties={"belt_length_mm": 6000.0} if name == "splice plan" else {})
    assert advice.lines
    assert not any(line.text.startswith("No advice") for line in advice.lines)


@pytest.mark.parametrize("name", sorted(COMPUTATIONS))
def test_missing_parameter_is_a_sentence(name):
    """A sheet that lost a parameter gives a line for the supervisor, not a crash."""
    spec = ComputationSpec(name, {})
    job = JobSpec("job", "Job", JobType.ADJUST, computation=spec)
    component = Component("c", "s", "p", "u", "part", "1", NOW, 0.0, properties={"belt_length_mm": 6000.0})
    needed = [reading(key, 50.0, side) for key in COMPUTATIONS[name].readings or ("a", "b")
              for side in (Side.LEFT, Side.RIGHT)]
    context = AdviceContext("mm", component, job)
    assert all(line.weight == "stop" for line in advise(tuple(needed), context).lines)


def test_parts_own_property_goes_before_the_sheets_parameter():
    """The sheet speaks for the kind, the part for itself."""
    spec = ComputationSpec("chain wear", {"links": 108, "pitch_mm": 38.1})
    part = Component("c", "s", "p", "u", "part", "1", NOW, 0.0, properties={"links": 96, "colour": "red"})
    assert effective_parameters(spec, part) == {"links": 96, "pitch_mm": 38.1}


# --- chains ---


def test_sag_too_deep__hand_parabola():
    """By hand: 4/3 (120² − 88.9²)/1800 = 4.8 mm, on 2.5 mm a turn 11.5 flats: out."""
    advice = ask("take-up for sag", *sides("strand-sag", 120.0, 120.0))
    assert advice.details["movement_mm"]["left"] == pytest.approx(4.8, rel=0.02)
    assert advice.details["flats"]["left"] in (11, 12)
    assert advice.lines[0].text.startswith("Turn both take-ups out by")


def test_sag_too_tight_slackens():
    """A chain too tight goes in."""
    assert "in by" in ask("take-up for sag", *sides("strand-sag", 70.0, 70.0)).lines[0].text


def test_sag_right_is_left_alone():
    """At the wanted sag nothing is turned."""
    assert "Leave both take-ups" in ask("take-up for sag", *sides("strand-sag", 88.9, 88.9)).lines[0].text


def test_sides_that_differ_get_their_own_turns():
    """Each side is named with what it needs."""
    advice = ask("take-up for sag", *sides("strand-sag", 120.0, 95.0))
    assert advice.lines[0].text.startswith("Left take-up: out by")
    assert advice.lines[1].text.startswith("Right take-up: out by")
    assert advice.details["flats"]["left"] > advice.details["flats"]["right"] > 0


def test_grease_tensioner_is_not_turned():
    """A grease-filled tensioner has no thread to count."""
    advice = ask("take-up for sag", *sides("strand-sag", 120.0, 120.0), grease_tensioner=True)
    assert "grease" in advice.lines[0].text


def test_sag_beyond_reason_is_a_stop():
    """A strand deeper than a fifth of its span is refused in words."""
    assert ask("take-up for sag", *sides("strand-sag", 600.0, 600.0)).lines[0].weight == "stop"


def test_wear__hand_percent():
    """By hand: 12 pitches of 38.1 mm are 457.2 mm; 466.344 mm is 2 % longer, below 3 %."""
    advice = ask("chain wear", *sides("length-over-pitches", 466.344, 466.344))
    assert advice.details["elongation_percent"]["left"] == pytest.approx(2.0)
    assert advice.lines[0].text == "The wear is below the general limit of 3 %."
    assert any("grown by" in text and "82.3 mm" in text for text in texts(advice))


def test_worn_out_chain_stops():
    """4 % is worn out; links out is no repair."""
    advice = ask("chain wear", *sides("length-over-pitches", 475.5, 475.5))
    assert advice.lines[0].weight == "stop"
    assert "no repair" in advice.lines[0].text


def test_strands_worn_unlike_are_named():
    """The longer strand makes flights lean."""
    advice = ask("chain wear", *sides("length-over-pitches", 468.0, 460.0))
    assert any(text.startswith("The left strand is worn") for text in texts(advice, "stop"))


def test_shorter_than_new_asks_to_count_again():
    """A chain does not shrink."""
    assert "count the pitches again" in ask("chain wear", *sides("length-over-pitches", 450.0, 450.0)).lines[0].text


def test_link_count_that_carries_no_even_flights_is_named():
    """110 links do not carry a flight every 12."""
    advice = ask("chain wear", *sides("length-over-pitches", 458.0, 458.0), links=110, links_per_flight=12)
    assert any("108 or 120 would" in text for text in texts(advice))


# --- settings ---


def test_flight_clearance__hand():
    """14 mm over a 10 mm strip: the mount goes 4 mm down; 7 mm: 3 mm up; 10 mm stays."""
    advice = ask("flight clearance", *sides("flight-clearance-upper", 14.0, 7.0),
                 *sides("flight-clearance-lower", 10.0, 10.0))
    lines = texts(advice, "do")
    assert "down by 4 mm" in lines[0]
    assert "up by 3 mm" in lines[1]
    assert "leave the mount" in lines[2]


def test_belt_height__hand():
    """Mean 54 mm, 60 mm wanted, 3 mm a turn: both up by two turns (common practice, no source)."""
    advice = ask("belt height", *sides("cleat-height", 55.0, 53.0))
    assert advice.lines[0].text == "Raise both take-ups evenly by 2 turns."


def test_belt_that_touches_the_pan_is_a_stop():
    """A cleat on the pan is said first."""
    advice = ask("belt height", *sides("cleat-height", 0, 2.0))
    assert advice.lines[0].weight == "stop"
    assert "touches the pan" in advice.lines[0].text


def test_roller_offset__hand():
    """19 mm lower, 25 mm wanted, 2 mm a turn: 6 mm lower, three turns."""
    first = ask("roller offset", reading("roller-offset", 19.0)).lines[0].text
    assert first.startswith("Bring the roller's left end lower by 6 mm")
    assert first.endswith("3 turns.")


@pytest.mark.parametrize(("height", "words"), [
    (41.275, "suits sand and gravel"), (76.2, "suits leaves and litter"), (30.0, "too low even for sand"),
    (90.0, "too high even for leaves"),
])
def test_height_stop__common_practice_no_source__1_5_8_to_3_in(height, words):
    """1 5/8 in for sand and gravel, up to 3 in for leaves and litter."""
    assert words in ask("height stop", reading("stop-height", height)).lines[0].text


# --- tracking ---


def test_belt_too_far_left_raises_the_left_take_up():
    """It runs to the slacker side: raise the take-up of that side (common practice, no source)."""
    advice = ask("belt tracking", reading("belt-edge-top", 0.0), reading("belt-edge-bottom", 20.0))
    assert advice.lines[0].text.startswith("Raise the left take-up by")


def test_belt_too_far_right_raises_the_right_take_up():
    """The other way round."""
    advice = ask("belt tracking", reading("belt-edge-top", 25.0), reading("belt-edge-bottom", 25.0))
    assert advice.lines[0].text.startswith("Raise the right take-up by")


def test_run_time__common_practice_no_source__150_revolutions_15_minutes():
    """150 revolutions at 10 a minute are 15 minutes at 1500 engine r/min."""
    advice = ask("belt tracking", reading("belt-edge-top", 25.0), reading("belt-edge-bottom", 25.0))
    assert "150 belt revolutions (15 minutes at 1500 engine r/min)" in advice.lines[0].text


def test_belt_in_its_band_is_left_alone():
    """Nothing is turned while it runs right."""
    advice = ask("belt tracking", reading("belt-edge-top", 7.0), reading("belt-edge-bottom", 8.0))
    assert "leave the take-ups alone" in advice.lines[0].text
    assert advised_flats(advice.details) == {}


def move(number, before, after, left):
    def edge(key, phase, value):
        return Reading(key, Side.BOTH, phase, str(value), value, "mm", 0.3, 2.0, 12.7, "guarded 95 %", PRACTICE,
                       Verdict.WITHIN)
    readings = (edge("belt-edge-top", Phase.AS_FOUND, before), edge("belt-edge-top", Phase.AS_LEFT, after))
    return ServiceRecord(f"m{number}", "c", "p", "u", "s", 1, "track", JobType.ADJUST, NOW + timedelta(days=number),
                         100.0, "ana", readings, details={"turns_made_flats": {"left": left, "right": 0}})


def test_adviser_learns_from_the_records_of_this_belt():
    """Three moves that each shifted the belt 3 mm a flat say more than the roller's geometry."""
    history = [move(number, 20.0, 14.0, -2) for number in range(3, 0, -1)]
    advice = ask("belt tracking", reading("belt-edge-top", 20.0), reading("belt-edge-bottom", 20.0), history=history)
    assert advice.details["gain_mm_per_turn"] == pytest.approx(18.0, rel=0.15)
    assert any("3 logged moves" in text for text in texts(advice))


def test_records_without_turns_or_readings_teach_nothing():
    """A record that does not say what was turned is no move."""
    blank = ServiceRecord("x", "c", "p", "u", "s", 1, "track", JobType.ADJUST, NOW, 100.0, "ana")
    assert logged_moves((blank,)) == []
    assert len(logged_moves((move(2, 20.0, 14.0, 2), move(1, 26.0, 20.0, 2)))) == 2


def test_moves_are_told_oldest_first():
    """The adviser gets the history in the order in which it happened."""
    moves = logged_moves((move(2, 20.0, 14.0, 2), move(1, 26.0, 20.0, 2)))
    assert [one.edge_top_before_mm for one in moves] == [26.0, 20.0]


# --- bearings ---


def test_grease_dose__insert_table_uc208():
    """The printed 5.6 g of a UC208 are four strokes of a gun that gives 1.4 g."""
    advice = ask("bearing grease")
    assert advice.details["grams"] == 5.6
    assert advice.details["strokes_exact"] == pytest.approx(4.0)
    assert any("the table wins" in text for text in texts(advice))


def test_grease_interval_names_what_decides():
    """With speed and load the shortest interval is named."""
    advice = ask("bearing grease", rpm=60, load_newton=3000)
    assert any("decides" in text for text in texts(advice))


@pytest.mark.parametrize(("inside", "weight"), [("polyurea", "stop"), ("lithium", None)])
def test_mixing_thickeners(inside, weight):
    """What is in the bearing must go with what is in the gun."""
    advice = ask("bearing grease", properties={"thickener": inside})
    assert any("In the bearing" in text for text in texts(advice, "stop")) == (weight == "stop")


def test_unknown_bearing_is_a_sentence():
    """A bearing that no table knows is refused in words."""
    assert ask("bearing grease", bearing="XY999").lines[0].weight == "stop"


def test_life__iso281_hand():
    """By hand: 1e6/(60 · 60) (29.3/8)³ = 13,647 h with the catalogue's C of 29.3 kN; it is called a ceiling."""
    advice = ask("bearing life", load_newton=8000)
    assert advice.details["basic_hours"] == pytest.approx(13_647, rel=1e-4)
    assert any("ceiling" in text for text in texts(advice))


def test_life_beyond_all_use_is_not_told_to_the_hour():
    """Millions of hours mean 'not by fatigue'."""
    assert any("more than 100,000 h" in text for text in texts(ask("bearing life", load_newton=1000)))


# --- splice ---


def test_splice_advice_names_the_best_plan():
    """From two places on the belt to the best way out."""
    advice = ask("splice plan", reading("start", 2800.0), reading("end", 2950.0),
                 properties={"belt_length_mm": 6000.0, "cleat_phase_mm": 125.0})
    assert advice.lines[0].text.startswith("Cut out 250 mm")
    assert advice.details["new_loop_length_mm"] == 5750


def test_tracking_gain__for_a_person_in_inches__is_told_in_inches():
    """What a turn does on this machine is told in the units of whoever stands there (18 mm a turn, 6 flats of 3 mm)."""
    computation = ComputationSpec("belt tracking", PARAMETERS["belt tracking"])
    job = JobSpec("job", "Job", JobType.ADJUST, computation=computation)
    history = tuple(move(number, 20.0, 14.0, -2) for number in range(3, 0, -1))
    context = AdviceContext("in", Component("c", "s", "p", "u", "part", "1", NOW, 0.0), job, history)
    advice = advise((reading("belt-edge-top", 20.0), reading("belt-edge-bottom", 20.0)), context)
    told = next(text for text in texts(advice) if "logged moves" in text)
    assert " in," in told and " mm" not in told
