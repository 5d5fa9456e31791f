"""The splice planner: worked by hand on small loops, and properties on many."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.calc.splice import CleatedLoop, SplicePlan, SpliceRules, plan_splices
from kiosk.calc.splice_plan import CLOSE_UP, INSERT, REPLACE
from kiosk.errors import OutOfRange

# 16 cleats, 300 mm apart, the first at 0; cuts lie at 150, 450 …; no splice yet.
LOOP = CleatedLoop(4800.0, 300.0, takeup_in_mm=200.0, takeup_out_mm=120.0)
SHORT_INSERTS = SpliceRules(minimum_insert_mm=250.0, largest_insert_sections=2)


def _plan(plans: tuple[SplicePlan, ...], kind: str, sections: int = 0) -> SplicePlan:
    return next(plan for plan in plans if (plan.kind, plan.insert_sections) == (kind, sections))


def test_close_up_by_hand() -> None:
    """Damage from 1000 to 1050 lies between the cut lines 750 and 1050: one pitch out, rollers 150 mm closer."""
    plan = _plan(plan_splices(LOOP, 1000.0, 1050.0).feasible, CLOSE_UP)
    assert (plan.cut_from_mm, plan.cut_to_mm, plan.cut_length_mm) == (750.0, 1050.0, 300.0)
    assert (plan.new_loop_length_mm, plan.pitches_after, plan.splices_after) == (4500.0, 15, 1)
    assert (plan.centre_change_mm, plan.takeup_in_left_mm, plan.takeup_out_left_mm) == (-150.0, 50.0, 270.0)
    assert plan.nearest_splice_mm is None
    assert plan.is_pitch_whole


def test_insert_one_section_by_hand() -> None:
    """One pitch out and one section in leaves the length; its joints lie where the cuts were, 300 mm apart."""
    plan = _plan(plan_splices(LOOP, 1000.0, 1050.0, SHORT_INSERTS).feasible, INSERT, 1)
    assert (plan.new_loop_length_mm, plan.centre_change_mm) == (4800.0, 0.0)
    assert plan.splice_positions_after_mm == (750.0, 1050.0)
    assert (plan.joint_spacing_mm, plan.nearest_splice_mm) == (300.0, 4500.0)


def test_short_insert_is_refused_by_the_default_spacing() -> None:
    """The shop's default of 1000 mm refuses a 300 mm piece and says that the figure has no source."""
    plan = _plan(plan_splices(LOOP, 1000.0, 1050.0).refused, INSERT, 1)
    assert plan.refusals == ("The joints of the piece put in would lie 300 mm apart; the shop's setting asks for "
                             "1000 mm (common practice, no source).",)


def test_length_uncertainty_by_hand() -> None:
    """u = sqrt(1 + 2 x 0.25) for two cuts, doubled; four cuts where a piece goes in."""
    plans = plan_splices(LOOP, 1000.0, 1050.0, SHORT_INSERTS).feasible
    assert _plan(plans, CLOSE_UP).new_loop_uncertainty_mm == pytest.approx(2 * 1.5**0.5)
    assert _plan(plans, INSERT, 1).new_loop_uncertainty_mm == pytest.approx(2 * 2.0**0.5)


def test_too_little_travel_inwards_refuses_closing_up() -> None:
    """149 mm of travel do not follow 150 mm; the refusal says how much is missing."""
    plans = plan_splices(replace(LOOP, takeup_in_mm=140.0), 1000.0, 1050.0)
    assert "the take-ups lack 10 mm of travel inwards" in _plan(plans.refused, CLOSE_UP).refusals[0]


def test_travel_smaller_than_the_uncertainty_is_told_and_ranked_last() -> None:
    """Closing up leaves 1 mm while the length is known to 2.4 mm: feasible, but after the insert and with a warning."""
    plans = plan_splices(replace(LOOP, takeup_in_mm=151.0), 1000.0, 1050.0, SHORT_INSERTS).feasible
    assert plans[0].kind == INSERT
    assert any("measure the loop again" in reason for reason in _plan(plans, CLOSE_UP).reasons)


def test_expected_growth_needs_travel_outwards() -> None:
    """A belt expected to grow 300 mm needs 150 mm outwards: 120 mm refuse the insert, closing up makes room."""
    plans = plan_splices(LOOP, 1000.0, 1050.0, replace(SHORT_INSERTS, expected_growth_mm=300.0))
    assert _plan(plans.feasible, CLOSE_UP).takeup_out_left_mm == 270.0
    assert "expected to grow 300 mm" in _plan(plans.refused, REPLACE).refusals[0]


def test_old_splice_too_near_goes_out_with_a_longer_cut() -> None:
    """A splice at 450 is 300 mm from the cut at 750: the plan cuts it out too, and leaves one joint instead of two."""
    loop = replace(LOOP, splice_positions_mm=(450.0,), takeup_in_mm=400.0)
    plan = _plan(plan_splices(loop, 1000.0, 1050.0).feasible, CLOSE_UP)
    assert (plan.cut_from_mm, plan.cut_to_mm, plan.old_splices_removed, plan.splices_after) == (450.0, 1050.0, 1, 1)


def test_distance_to_a_splice_runs_round_the_datum() -> None:
    """From a joint at 750 back over the datum to a splice at 4350 are 1200 mm along the belt."""
    loop = replace(LOOP, splice_positions_mm=(4350.0,))
    assert _plan(plan_splices(loop, 1000.0, 1050.0).feasible, CLOSE_UP).nearest_splice_mm == 1200.0


def test_damage_over_the_datum_is_one_stretch() -> None:
    """Damage from 4700 over the datum to 100 lies between the lines 4650 and 150: one pitch."""
    plan = _plan(plan_splices(LOOP, 4700.0, 100.0).feasible, CLOSE_UP)
    assert (plan.cut_from_mm, plan.cut_to_mm, plan.cut_length_mm) == (4650.0, 150.0, 300.0)


def test_old_splice_keeps_its_place_from_the_datum() -> None:
    """300 mm out between 750 and 1050 bring a splice at 3000 to 2700; the cleats stay at whole pitches."""
    loop = replace(LOOP, splice_positions_mm=(3000.0,))
    plan = _plan(plan_splices(loop, 1000.0, 1050.0).feasible, CLOSE_UP)
    assert plan.splice_positions_after_mm == (750.0, 2700.0)
    assert plan.cleat_phase_after_mm == 0.0


def test_positions_run_from_the_first_cut_when_the_datum_came_out() -> None:
    """Cut from 4650 over the datum to 150: a splice at 3000 lies 2850 mm on from the new joint, a cleat 150 mm on."""
    loop = replace(LOOP, splice_positions_mm=(3000.0,))
    plan = _plan(plan_splices(loop, 4700.0, 100.0).feasible, CLOSE_UP)
    assert plan.splice_positions_after_mm == (0.0, 2850.0)
    assert plan.cleat_phase_after_mm == 150.0


def test_odd_gap_is_mended_only_by_a_cut_over_it() -> None:
    """16 pitches and 120 mm: away from the datum the odd gap stays, at the datum the cut takes it out."""
    loop = replace(LOOP, loop_length_mm=4920.0, takeup_in_mm=600.0)
    away = _plan(plan_splices(loop, 2000.0, 2050.0).feasible, CLOSE_UP)
    at_datum = _plan(plan_splices(loop, 4700.0, 4800.0).feasible, CLOSE_UP)
    assert not away.is_pitch_whole
    assert "thumps" in away.reasons[0]
    assert at_datum.is_pitch_whole
    assert at_datum.new_loop_length_mm % 300.0 == pytest.approx(0.0, abs=1e-6)


def test_section_that_is_no_whole_pitch_breaks_the_pitch() -> None:
    """A 200 mm section in a 300 mm pitch leaves an odd gap, and the plan says so."""
    plans = plan_splices(LOOP, 1000.0, 1050.0, replace(SHORT_INSERTS, section_length_mm=200.0, minimum_insert_mm=0.0))
    assert not _plan(plans.feasible, INSERT, 1).is_pitch_whole


def test_stock_limits_the_sections() -> None:
    """Two sections are refused with one on the shelf."""
    plans = plan_splices(LOOP, 1000.0, 1050.0, replace(SHORT_INSERTS, sections_in_stock=1))
    assert plans.refused[0].refusals == ("It takes 2 cleat sections; 1 are in stock.",)


def test_separate_sections_have_a_joint_each() -> None:
    """Two sections joined one by one make three joints, 300 mm apart."""
    plans = plan_splices(LOOP, 1000.0, 1300.0, replace(SHORT_INSERTS, sections_in_one_piece=False))
    plan = _plan(plans.feasible, INSERT, 2)
    assert (plan.splices_after, plan.joint_spacing_mm) == (3, 300.0)


def test_damage_nearly_all_round_leaves_only_a_new_belt() -> None:
    """Where no whole pitch of sound belt is left, the plan to close up is refused with that reason."""
    plans = plan_splices(LOOP, 100.0, 50.0)
    assert [plan.kind for plan in plans.feasible] == [REPLACE]
    assert "no whole pitch of sound belt" in plans.refused[0].refusals[0]


LOOPS = st.builds(
    lambda cleats, pitch, phase, inward, outward, splices: CleatedLoop(
        cleats * pitch, pitch, inward, outward, phase * pitch, tuple(share * cleats * pitch for share in splices)),
    st.integers(4, 40), st.floats(100.0, 500.0), st.floats(0.0, 0.99), st.floats(0.0, 600.0), st.floats(0.0, 300.0),
    st.lists(st.floats(0.0, 0.999), max_size=3))
SHARES = st.floats(0.0, 0.999)


@settings(max_examples=150, deadline=None)
@given(LOOPS, SHARES, st.floats(0.0, 0.4), st.integers(0, 4))
def test_every_plan_takes_the_damage_out_and_keeps_its_books(loop: CleatedLoop, start: float, stretch: float,
                                                             sections: int) -> None:
    """The cut covers the damage; lengths, travel, splices and pitches add up; feasible plans keep every rule."""
    begin = start * loop.loop_length_mm
    end = (begin + stretch * loop.loop_length_mm) % loop.loop_length_mm
    rules = SpliceRules(largest_insert_sections=sections)
    plans = plan_splices(loop, begin, end, rules)
    for plan in plans.feasible + plans.refused:
        if plan.kind != REPLACE and plan.pitches_after:
            _assert_books(loop, plan, begin, stretch * loop.loop_length_mm)
    for plan in plans.feasible:
        assert min(plan.takeup_in_left_mm, plan.takeup_out_left_mm) >= -1e-5
        assert plan.nearest_splice_mm is None or plan.nearest_splice_mm >= 1000.0 - 1e-5


def _assert_books(loop: CleatedLoop, plan: SplicePlan, begin: float, stretch: float) -> None:
    lead = (begin - plan.cut_from_mm + 1e-3) % loop.loop_length_mm
    assert lead + stretch <= plan.cut_length_mm + 2e-3
    assert plan.new_loop_length_mm == pytest.approx(loop.loop_length_mm - plan.cut_length_mm + plan.insert_length_mm)
    assert plan.centre_change_mm == pytest.approx((plan.new_loop_length_mm - loop.loop_length_mm) / 2, abs=1e-6)
    assert plan.takeup_in_left_mm + plan.takeup_out_left_mm == pytest.approx(loop.takeup_in_mm + loop.takeup_out_mm)
    joints = 2 if plan.insert_sections else 1
    assert plan.splices_after == len(loop.splice_positions_mm) - plan.old_splices_removed + joints
    assert plan.new_loop_length_mm == pytest.approx(plan.pitches_after * loop.cleat_pitch_mm, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(LOOPS, SHARES, st.floats(0.0, 500.0))
def test_more_travel_never_loses_a_plan(loop: CleatedLoop, start: float, more: float) -> None:
    """A take-up with more travel left allows at least as many kinds of plan."""
    begin = start * loop.loop_length_mm
    longer = replace(loop, takeup_in_mm=loop.takeup_in_mm + more, takeup_out_mm=loop.takeup_out_mm + more)
    kinds, more_kinds = ({(plan.kind, plan.insert_sections) for plan in plan_splices(one, begin, begin).feasible}
                         for one in (loop, longer))
    assert kinds <= more_kinds


@pytest.mark.parametrize("field, bad", [
    ("loop_length_mm", float("nan")), ("loop_length_mm", 0.0), ("cleat_pitch_mm", -1.0), ("cleat_pitch_mm", 4000.0),
    ("takeup_in_mm", -1.0), ("takeup_out_mm", float("inf")), ("cleat_phase_mm", 5000.0),
    ("splice_positions_mm", (5000.0,)), ("loop_length_uncertainty_mm", -0.1),
])
def test_impossible_loop_is_refused_by_name(field: str, bad: object) -> None:
    """A loop that cannot be is refused with the field's name."""
    with pytest.raises(OutOfRange) as refused:
        plan_splices(replace(LOOP, **{field: bad}), 100.0, 200.0)  # type: ignore[arg-type]
    assert refused.value.name == field


def test_plans_come_in_time_for_a_screen() -> None:
    """A long belt with short pitches, four splices and up to twenty sections is planned in well under a second."""
    loop = CleatedLoop(20000.0, 100.0, 2000.0, 2000.0, 30.0, (150.0, 4000.0, 8000.0, 12345.0))
    start = time.perf_counter()
    plan_splices(loop, 19900.0, 700.0, SpliceRules(largest_insert_sections=20, section_length_mm=200.0))
    assert time.perf_counter() - start < 0.5
