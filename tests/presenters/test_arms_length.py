"""What a mechanic in bad light must not stumble over: the words that say what is so and what to do next."""

from __future__ import annotations

from dataclasses import replace

from kiosk.entities import SeriesPoint


def open_chain_trend(yard, start):
    """Return the sentence of a chain's trend whose first reading was at these hours; the meter shows 1,236.5 h."""
    values = [80.0, 82.1, 83.9, 86.0, 88.1, 89.9]
    yard.records.series_points["c-chain", "strand-sag"] = [
        SeriesPoint(yard.clock(), start + place * 40.0, value, "as found", "left")
        for place, value in enumerate(values)]
    yard.scan(yard.label_of("c-chain"))
    yard.screen.show_trend()
    return yard.state.trend.sentence


def test_trend__early_end_ahead__says_not_before_which_day(yard):
    """A bound that is still ahead comes with its day."""
    assert "Not before " in open_chain_trend(yard, 1000.0)


def test_trend__early_end_behind__says_so_and_what_to_do(yard):
    """No day in the past is given as a 'not before'."""
    sentence = open_chain_trend(yard, 600.0)
    assert "Not before" not in sentence
    assert "has passed already: measure it today" in sentence


def test_label_pad__one_digit_missing__is_one_digit(yard):
    """'1 digits' is no English."""
    yard.screen.open_label_pad()
    for key in "104512874":
        yard.screen.label_key(key)
    assert yard.state.frame.label_pad.hint == "1 digit to go"


# --- the hour meter ---


def refused_hours(yard, text):
    """Return what is said of hours that cannot be; the meter was last read at 1,236.5 h."""
    yard.scan(yard.label_of("c-bearing"))
    yard.sign_in()
    yard.screen.save_quick()
    for key in ("clear", *text):
        yard.screen.hours_key(key)
    yard.screen.confirm_hours()
    return yard.state.hours


def test_hours_refused_without_an_offer__says_whom_to_tell(yard):
    """'Choose what you meant' stands only where there is something to choose."""
    hours = refused_hours(yard, "1100")
    assert not hours.suggestions
    assert "choose" not in hours.message
    assert "tell the supervisor" in hours.message


def test_hours_on_the_field_at_first__are_called_a_guess(yard):
    """Nobody takes the estimate for the meter."""
    yard.scan(yard.label_of("c-bearing"))
    yard.sign_in()
    yard.screen.save_quick()
    assert "is a guess" in yard.state.hours.prompt
    yard.screen.hours_key("1")
    assert "guess" not in yard.state.hours.prompt


# --- readings and advice ---


def open_sag(yard, *texts):
    """Return the sag form (3 to 4 in) with readings typed in inches, left then right."""
    yard.open_job("c-chain", "sag")
    for place, text in enumerate(texts):
        if place:
            yard.screen.key("next")
        yard.type(text)
    return yard.state


def test_impossible_reading__is_named_with_its_range_in_inches(yard):
    """A computation's refusal names no variable."""
    stop = open_sag(yard, "350").advice[0]
    assert stop.weight == "stop"
    assert stop.text.startswith("No advice: ")
    assert " in cannot be. It lies not below " in stop.text
    assert stop.text.endswith("Check what was typed, or tell the supervisor.")


def test_sides_that_read_the_same__are_alike(yard):
    """'They differ by 0 in (0 mm)' helps nobody."""
    assert open_sag(yard, "3 1/2", "3 1/2").differences[0].text.endswith("both sides are alike.")


def test_advice_lengths__come_in_the_persons_units_only(yard):
    """Two units in one sentence are too much at arm's length; the record keeps millimetres."""
    lines = [line.text for line in open_sag(yard, "3 7/8", "3 7/8").advice if line.weight in ("do", "why")]
    assert lines
    assert not any(" in (" in text for text in lines)


def test_tracking__an_edge_outside_is_never_called_right(yard):
    """The left edge alone looks right, the right one is outside: measure again, turn nothing."""
    yard.open_job("c-belt", "track")
    yard.screen.toggle_unit()
    for place, text in enumerate(("25", "60", "25", "25")):
        if place:
            yard.screen.key("next")
        yard.type(text)
    verdicts = [row.verdict.word for row in yard.state.rows if row.verdict]
    assert "outside" in verdicts
    assert not any("runs where it should" in line.text for line in yard.state.advice)


# --- the belt ---


def splice_plans_of(yard, **properties):
    """Return the plans for 150 mm bad in the middle of the belt, cleats every 250 mm."""
    yard.records.components["c-belt"] = replace(
        yard.records.components["c-belt"],
        properties={**yard.records.components["c-belt"].properties, **properties})
    yard.open_job("c-belt", "splice")
    yard.screen.toggle_unit()
    yard.type("2800")
    yard.screen.key("next")
    yard.type("2950")
    yard.screen.go_on()
    return yard.state.plans


def test_splice__short_belt_without_travel__takes_one_cleat_section(yard):
    """With 20 mm of travel closing up is refused, and one section put in leaves the belt as long as it was."""
    plans = splice_plans_of(yard, takeup_travel_in_mm=20.0, min_insert_mm=250.0)
    best = next(plan for plan in plans if plan.feasible)
    assert "put in one cleat section" in best.title
    closing = next(plan for plan in plans if "close up" in plan.title)
    assert "sections put in make it longer again" in closing.reasons[0]


def test_splice__new_belt__is_as_long_as_this_one_was_when_new(yard):
    """A belt that was shortened is replaced by one of its first length."""
    plans = splice_plans_of(yard, belt_length_when_new_mm=6250.0, takeup_travel_out_mm=200.0)
    assert "(6250 mm)" in next(plan for plan in plans if "new belt" in plan.title).new_length


def test_missing_reading__names_the_row_that_a_touch_leads_to(yard):
    """From 'as left' back to the reading as found that cannot be read."""
    open_sag(yard, "3..1", "3 1/2")
    yard.screen.show_phase("as left")
    assert yard.state.save.row == "as found|strand-sag|left"
    yard.screen.focus(yard.state.save.row)
    assert yard.state.phase == "as found"


def test_splice__every_plan_says_where_to_cut__hand(yard):
    """Cleats every 250 mm from 125 mm on: the lines mid-way next to 2,800 and 2,950 mm are 2,750 and 3,000 mm."""
    plans = splice_plans_of(yard, cleat_phase_mm=125.0)
    closing = next(plan for plan in plans if "close up" in plan.title)
    # 2,750 mm = 108.27 in and 3,000 mm = 118.11 in, to the nearest 1/32 in
    assert closing.cuts == "Cut at 108 9/32 in and 118 1/8 in from the datum mark."
