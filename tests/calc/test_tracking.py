"""The tracking adviser: what it learns from logs, what it advises, and when it stops."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.calc.tracking import (
    LEAVE,
    LOOK,
    LOWER_ROLLER,
    TURN,
    BeltTrack,
    Move,
    TrackGeometry,
    TrackLimits,
    advise,
    learned_gain,
)
from kiosk.errors import OutOfRange

GEOMETRY = TrackGeometry(bearing_spacing_mm=900.0, roller_diameter_mm=150.0, takeup_thread_pitch_mm=2.5)
LIMITS = TrackLimits()


def _log(gain: float, turns: tuple[float, ...], start: float = 30.0) -> list[Move]:
    """Moves of a machine without noise; positive turns raise the left take-up. The edge stays off the frame."""
    moves = []
    for turn in turns:
        after = start + gain * turn * (1 - 0.0497870684)  # 150 revolutions settle all but e**-3
        moves.append(Move(turn, 0.0, start, after))
        start = after
    return moves


@pytest.mark.parametrize("gain", [-30.0, -8.0, -3.0, 3.0, 8.0, 30.0])
def test_gain_and_sign_are_learned(gain: float) -> None:
    """Eight clean moves give the machine's own gain within its stated uncertainty, whatever its sign."""
    learned = learned_gain(_log(gain, (0.5, -0.5) * 4, 60.0), GEOMETRY)
    assert abs(learned.mm_per_turn - gain) < 2 * learned.uncertainty_mm_per_turn + 0.05 * abs(gain)
    assert (learned.reversed_chance > 0.99) == (gain < 0)


def test_more_logs_make_the_gain_surer() -> None:
    """Each further move lowers the uncertainty."""
    spreads = [learned_gain(_log(8.0, (0.5, -0.5) * count), GEOMETRY).uncertainty_mm_per_turn for count in (0, 1, 3, 9)]
    assert spreads == sorted(spreads, reverse=True)


@pytest.mark.parametrize("place", [0, 3, 7])
def test_one_bad_log_hardly_moves_the_gain(place: int) -> None:
    """A log with its sign slipped and its size off moves the gain by less than a tenth and is named as doubtful."""
    clean = _log(8.0, (0.5, -0.5) * 4, 40.0)
    bad = [*clean]
    bad[place] = replace(bad[place], edge_top_after_mm=bad[place].edge_top_before_mm + 30.0 * -bad[place].turns_left)
    learned, truth = learned_gain(bad, GEOMETRY), learned_gain(clean, GEOMETRY)
    assert learned.mm_per_turn == pytest.approx(truth.mm_per_turn, rel=0.1)
    assert learned.doubtful_moves == (place,)


def test_no_logs_leave_the_trade_rule_with_a_doubt() -> None:
    """Before the first move the sign follows the rule at nine to one, and the gain is hardly known."""
    learned = learned_gain((), GEOMETRY)
    assert learned.reversed_chance == pytest.approx(0.1)
    assert learned.uncertainty_mm_per_turn > learned.mm_per_turn > 0
    assert learned.moves_used == 0


def test_both_take_ups_alike_teach_nothing_about_steering() -> None:
    """Raising both evenly says nothing about the gain."""
    evenly = [Move(1.0, 1.0, 10.0, 14.0)]
    assert learned_gain(evenly, GEOMETRY).mm_per_turn == learned_gain((), GEOMETRY).mm_per_turn


def test_reversed_machine_is_turned_the_other_way() -> None:
    """Where raising the right drove the belt further right, the left is raised next, and the advice says why."""
    history = [Move(0.0, 0.5, 25.0, 33.0), Move(0.0, 0.5, 33.0, 41.0)]
    advice = advise(history, BeltTrack(41.0), LIMITS, GEOMETRY)
    assert (advice.action, advice.side) == (TURN, "left")
    assert "the other side must be tightened" in advice.reasons[0]


def test_known_machine_is_brought_in_with_one_move() -> None:
    """With a gain of 8 mm known, a belt at 13.4 mm goes to the middle of the band in one move of about 3/4 turn."""
    advice = advise(_log(8.0, (0.5, -0.5) * 6), BeltTrack(13.4), LIMITS, GEOMETRY)
    assert advice.side == "right"
    assert advice.turns == pytest.approx(0.75, abs=0.2)
    assert advice.flats == pytest.approx(advice.turns * 6)
    assert advice.travel_mm == pytest.approx(advice.turns * 2.5)
    assert advice.chance_in_band > 0.95


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 60.0), st.floats(0.1, 2.0))
def test_a_move_is_whole_flats_within_its_limit(edge: float, most: float) -> None:
    """Any advice to turn is at least one flat, at most the largest move, in whole flats."""
    advice = advise((), BeltTrack(edge), replace(LIMITS, largest_move_turns=most), GEOMETRY)
    if advice.action == TURN:
        assert 1 <= advice.flats <= max(1, round(most * 6))
        assert advice.turns * 6 == pytest.approx(advice.flats)


def test_in_band_is_left_alone() -> None:
    """A belt inside its band is not touched."""
    advice = advise((), BeltTrack(7.0, 5.0), LIMITS, GEOMETRY)
    assert (advice.action, advice.flats, advice.run_revolutions) == (LEAVE, 0, 0.0)


def test_bottom_at_the_frame_is_moved_off_though_the_top_is_in_band() -> None:
    """A hard touch at the bottom tears the belt: the left side is raised, and the touch comes first in the reasons."""
    advice = advise((), BeltTrack(6.0, 0.0), LIMITS, GEOMETRY)
    assert (advice.action, advice.side) == (TURN, "left")
    assert "touches the frame" in advice.reasons[0]


def test_take_up_at_its_end_lowers_the_other_side() -> None:
    """With no travel left on the right, the left one is lowered instead."""
    advice = advise((), BeltTrack(20.0, takeup_right_out_mm=0.2), LIMITS, GEOMETRY)
    assert (advice.side, advice.direction) == ("left", "lower")
    assert "no travel left" in " ".join(advice.reasons)


def test_three_moves_that_do_not_help_end_the_advice() -> None:
    """Three moves without effect: no further turn, but what else to look at, the take-ups first for a dead machine."""
    history = [Move(0.0, 0.5, 25.0, 25.0), Move(0.0, 1.0, 25.0, 25.5), Move(0.0, 1.0, 25.5, 25.0)]
    advice = advise(history, BeltTrack(25.0), LIMITS, GEOMETRY)
    assert advice.action == LOOK
    assert "did not bring the belt nearer" in advice.reasons[0]
    assert advice.look_at[0].startswith("The take-ups")
    assert any(place.startswith("The splice") for place in advice.look_at)
    assert any(place.startswith("The rollers: debris") for place in advice.look_at)
    assert any(place.startswith("The frame") for place in advice.look_at)


def test_moves_that_help_may_go_on() -> None:
    """Five moves, each a few millimetres nearer, do not end the advice."""
    history = [Move(0.0, 1.0, edge, edge - 4.0) for edge in (40.0, 36.0, 32.0, 28.0, 24.0)]
    assert advise(history, BeltTrack(20.0), LIMITS, GEOMETRY).action == TURN


def test_eight_moves_one_way_end_the_advice_though_they_help() -> None:
    """After eight moves the same way the roller stands far out of square: frame or splice."""
    history = [Move(0.0, 1.0, edge, edge - 3.0) for edge in range(50, 26, -3)]
    advice = advise(history, BeltTrack(26.0), LIMITS, GEOMETRY)
    assert advice.action == LOOK
    assert "8 moves the same way" in advice.reasons[0]


def test_a_good_run_in_between_starts_the_count_anew() -> None:
    """Moves from before the belt last ran in its band do not count against a new adjustment."""
    stale = [Move(0.0, 0.5, 25.0, 25.0)] * 3 + [Move(0.0, 0.5, 25.0, 8.0)]
    assert advise(stale, BeltTrack(15.0), LIMITS, GEOMETRY).action == TURN


def test_an_edge_that_wanders_more_than_the_band_is_no_job_for_a_take_up() -> None:
    """The edge wanders 15 mm each revolution: look at the splice."""
    advice = advise((), BeltTrack(20.0, wander_mm=15.0), LIMITS, GEOMETRY)
    assert advice.action == LOOK
    assert advice.look_at[0].startswith("The splice")


def test_lowered_roller_that_does_not_help_ends_the_advice() -> None:
    """The lower roller's left end is an inch down already and the bottom still in the way: look elsewhere."""
    now = BeltTrack(25.0, 5.0, lower_roller_offset_mm=25.4)
    assert advise((), now, LIMITS, GEOMETRY).action == LOOK
    assert advise((), replace(now, lower_roller_offset_mm=0.0), LIMITS, GEOMETRY).action == LOWER_ROLLER


def test_advice_at_the_frame_counts_on_hidden_movement() -> None:
    """A belt hard on the frame may want to run beyond it: the move is larger than for one just clear of it."""
    touching, clear = (advise((), BeltTrack(edge), LIMITS, GEOMETRY).turns for edge in (0.0, 1.5))
    assert touching > clear


def test_a_move_with_no_sign_at_the_frame_raises_the_doubt() -> None:
    """Raised a turn and still touching: the chance that this machine is reversed goes up, but not over the rule."""
    history = [Move(1.0, 0.0, 0.0, 0.0)]
    assert 0.1 < learned_gain(history, GEOMETRY).reversed_chance < 0.5


@pytest.mark.parametrize("change", [
    {"edge_top_mm": float("nan")}, {"edge_top_mm": -1.0}, {"edge_bottom_mm": -1.0}, {"takeup_left_out_mm": -1.0},
    {"wander_mm": float("inf")}, {"edge_top_mm": "ten"},
])
def test_impossible_track_is_refused_by_name(change: dict[str, object]) -> None:
    """A reading that cannot be is refused with its name."""
    with pytest.raises(OutOfRange) as refused:
        advise((), replace(BeltTrack(5.0), **change), LIMITS, GEOMETRY)  # type: ignore[arg-type]
    assert refused.value.name in change


@pytest.mark.parametrize("move", [
    Move(float("nan"), 0.0, 5.0, 6.0), Move(0.0, 99.0, 5.0, 6.0), Move(0.0, 1.0, -5.0, 6.0),
    Move(0.0, 1.0, 5.0, 1e13), Move(0.0, 1.0, 5.0, 6.0, revolutions=-1.0), Move(0.0, 1.0, 5.0, 6.0, -1.0, 2.0),
])
def test_impossible_log_is_refused(move: Move) -> None:
    """A log that cannot be is refused, not learned from."""
    with pytest.raises(OutOfRange):
        learned_gain([move], GEOMETRY)


def test_band_upside_down_is_refused() -> None:
    """The band's upper end below its lower end is refused by name."""
    with pytest.raises(OutOfRange) as refused:
        advise((), BeltTrack(5.0), replace(LIMITS, edge_low_mm=15.0), GEOMETRY)
    assert refused.value.name == "edge_high_mm"
