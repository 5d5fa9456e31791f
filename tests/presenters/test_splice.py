"""Splicing a belt: where the bad length is, the plans, the bolts in order, and what the belt is afterwards."""

from __future__ import annotations

import pytest

from kiosk.events import JobDone
from kiosk.presenters.states import ComponentState, SavedState, SpliceState


@pytest.fixture
def splice(yard):
    """Return the yard with the splice of a 6,000 mm belt open, cleats every 250 mm, fields in mm."""
    yard.open_job("c-belt", "splice")
    yard.screen.toggle_unit()
    return yard


def enter_damage(yard, start="2800", end="2950"):
    yard.type(start)
    yard.screen.key("next")
    yard.type(end)
    yard.screen.go_on()


def choose(yard, words="close up"):
    plan = next(plan for plan in yard.state.plans if plan.feasible and words in plan.title)
    yard.screen.choose_plan(plan.key)
    yard.screen.go_on()


def tighten_all(yard):
    for turn in range(1, 8):
        bolt = next(bolt.number for bolt in yard.state.bolts if bolt.turn == turn)
        yard.screen.tick_bolt(bolt)


def test_belt_is_shown_as_recorded(splice):
    """Length, pitch, splices and take-up travel come from the records and the sheet."""
    assert "6000 mm" in splice.state.facts[0]
    assert splice.state.drawing.splices == (0.0,)
    assert len(splice.state.drawing.cleats) == 24


def test_damage_is_drawn_as_it_is_typed(splice):
    """The bad length stands on the drawing at its share of the loop."""
    splice.type("1500")
    splice.screen.key("next")
    splice.type("3000")
    assert splice.state.drawing.damage == (0.25, 0.5)


def test_plans_are_ranked_and_refused_ones_say_why(splice):
    """Feasible plans come first; every refused one has its reason."""
    enter_damage(splice)
    plans = splice.state.plans
    assert plans[0].feasible
    assert all(plan.reasons for plan in plans)
    assert [plan.feasible for plan in plans] == sorted((plan.feasible for plan in plans), reverse=True)


def test_close_up_shortens_by_whole_pitches(splice):
    """By hand: 150 mm bad, one pitch of 250 mm out, 5,750 mm left, the rollers 125 mm (4.92 in) nearer."""
    enter_damage(splice)
    plan = next(plan for plan in splice.state.plans if "close up" in plan.title)
    assert "5750 mm" in plan.new_length
    assert "go in by" in plan.takeup
    assert "4 29/32 in" in plan.takeup


def test_place_beyond_the_belt_is_refused_and_kept(splice):
    """A start beyond the loop has its sentence, and the text stays."""
    splice.type("7000")
    assert "The belt is" in splice.state.entries[0].message
    splice.screen.go_on()
    assert splice.state.stage == "damage"
    assert splice.state.entries[0].typed == "7000"


def test_going_on_without_both_ends_is_refused(splice):
    """Half a measurement makes no plan."""
    splice.type("2900")
    splice.screen.go_on()
    assert splice.state.stage == "damage"
    assert splice.message.kind == "refused"


def test_going_on_without_a_plan_is_refused(splice):
    """The joint comes after the choice."""
    enter_damage(splice)
    splice.screen.go_on()
    assert "Choose one of the plans" in splice.message.text


def test_refused_plan_cannot_be_chosen(splice):
    """A touch on a refused plan says why it cannot be done."""
    enter_damage(splice, "100", "3500")
    refused = next(plan for plan in splice.state.plans if not plan.feasible)
    splice.screen.choose_plan(refused.key)
    assert splice.message.text == refused.reasons[0]
    assert not any(plan.chosen for plan in splice.state.plans)


def test_new_belt_is_a_replacement(splice):
    """The plan 'a new belt' leads to the other job."""
    enter_damage(splice)
    choose(splice, "new belt")
    assert splice.state.stage == "plan"
    assert "replacement" in splice.message.text


def test_bolt_order_is_from_the_centre_outward(splice):
    """Seven bolts: 4, 3, 5, 2, 6, 1, 7 (published rule: middle first, then alternately outward)."""
    enter_damage(splice)
    choose(splice)
    in_order = sorted(splice.state.bolts, key=lambda bolt: bolt.turn)
    assert [bolt.number for bolt in in_order] == [4, 3, 5, 2, 6, 1, 7]


def test_bolt_out_of_order_is_refused(splice):
    """From one side the belt will not track (common practice, no source)."""
    enter_damage(splice)
    choose(splice)
    splice.screen.tick_bolt(1)
    assert "Bolt 4 comes next" in splice.message.text
    assert not any(bolt.ticked for bolt in splice.state.bolts)


def test_last_tick_can_be_taken_back(splice):
    """A bolt ticked by mistake is unticked."""
    enter_damage(splice)
    choose(splice)
    splice.screen.tick_bolt(4)
    splice.screen.untick_bolt()
    assert not any(bolt.ticked for bolt in splice.state.bolts)
    assert splice.state.save.missing == "7 bolts still to tighten."


def test_saving_before_the_last_bolt_is_refused(splice):
    """Six of seven bolts are not enough."""
    enter_damage(splice)
    choose(splice)
    splice.screen.save()
    assert isinstance(splice.state, SpliceState)
    assert "7 bolts still to tighten" in splice.message.text


def test_saved_splice_changes_the_belts_recorded_length(splice):
    """From then on the belt is 5,750 mm, with its new splice and its take-up travel."""
    enter_damage(splice)
    choose(splice)
    tighten_all(splice)
    splice.screen.save()
    assert isinstance(splice.state, SavedState)
    belt = splice.records.component("c-belt").properties
    assert belt["belt_length_mm"] == 5750
    assert len(belt["splices_mm"]) == 2
    assert belt["takeup_travel_in_mm"] == 200 - 250 / 2
    assert belt["takeup_travel_out_mm"] == 60 + 250 / 2


def test_record_keeps_plan_and_bolts(splice):
    """What was cut, where, what it became, and that the bolts went from the centre outward."""
    enter_damage(splice)
    choose(splice)
    tighten_all(splice)
    splice.screen.save()
    details = splice.records.payloads(JobDone)[-1].record.details
    assert details["splice"]["cut_length_mm"] == pytest.approx(250)
    assert details["splice"]["damage_from_mm"] == 2800
    assert (details["bolts_tightened"], details["bolt_order"]) == (7, "from the centre outward")


def test_second_splice_plans_on_the_spliced_belt(splice):
    """The next plan starts from the new length and from the travel that is left."""
    enter_damage(splice)
    choose(splice)
    tighten_all(splice)
    splice.screen.save()
    splice.screen.answer("part")
    splice.screen.open_job("splice")
    assert "5750 mm" in splice.state.facts[0]
    assert "2 15/16 in inwards" in splice.state.facts[2]


def test_draft_of_a_splice_comes_back(splice):
    """Half-way, another part is scanned; the splice goes on where it was."""
    enter_damage(splice)
    choose(splice)
    splice.screen.tick_bolt(4)
    splice.scan(splice.label_of("c-chain"))
    splice.screen.answer("go")
    splice.scan(splice.label_of("c-belt"))
    splice.screen.open_job("splice")
    assert splice.state.stage == "joint"
    assert sum(bolt.ticked for bolt in splice.state.bolts) == 1


def test_another_damage_forgets_plan_and_bolts(splice):
    """A corrected measurement makes another plan."""
    enter_damage(splice)
    choose(splice)
    splice.screen.tick_bolt(4)
    splice.screen.back()
    splice.screen.back()
    splice.screen.key("back")
    splice.screen.key("9")
    splice.screen.go_on()
    assert not any(plan.chosen for plan in splice.state.plans)


def test_back_goes_stage_by_stage(splice):
    """Joint, plan, damage, part."""
    enter_damage(splice)
    choose(splice)
    stages = []
    for _ in range(3):
        stages.append(getattr(splice.state, "stage", ""))
        splice.screen.back()
    assert stages == ["joint", "plan", "damage"]
    assert isinstance(splice.state, ComponentState)


def test_belt_without_a_recorded_length_is_refused(yard):
    """No plan is made from nothing."""
    del yard.records.components["c-belt"].properties["belt_length_mm"]
    yard.open_job("c-belt", "splice")
    assert "length is not on record" in yard.message.text
