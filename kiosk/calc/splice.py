"""The splice planner: every way to get a bad length out of a cleated belt, ranked, each with its reasons.

Positions run along the belt from a datum, in the direction of travel, once round the loop. Cuts lie mid-way between two
cleats, so that a joint keeps the pitch whole. Where the loop does not hold a whole number of pitches its one odd gap is
taken to lie at the datum: set the datum there. Moving the take-ups by half the change of length is exact for equal
rollers and within a thousandth for any pair met in the yard. How the joint is bolted is in `sequence`.

Sources: the loop must hold a whole number of cleat pitches, and the centre distance changes by half the change of
length (plain geometry); a mechanical splice sits mid-way between two cleats; the smallest distance between splices has
no printed source and is a setting of the shop.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from kiosk.calc import guards
from kiosk.calc.splice_plan import (
    CLOSE_UP,
    COVERAGE_FACTOR,
    INSERT,
    MINIMUM_SPLICE_SPACING_MM,
    REPLACE,
    CleatedLoop,
    SplicePlan,
    SplicePlans,
    SpliceRules,
    judged,
    rank,
)
from kiosk.language import tr, trn

__all__ = ["CleatedLoop", "InsertPiece", "SplicePlan", "SplicePlans", "SpliceRules", "WholePitchCut", "insert_piece",
           "plan_splices", "whole_pitch_cut"]

WHOLE_PITCH_SHARE = 0.05
"""A loop or section this close to a whole number of pitches, as a share of one, counts as whole. (our assumption)"""
SAME_GAP_SHARE = 0.25
"""An old splice within this share of a pitch from a cut goes out with it. (our assumption)"""
TINY_MM = 1e-6
LARGEST_EXTENSION = 24
"""Pitches that a cut is made longer than need be, at most, in search of a better place."""
LARGEST_INSERT = 50


@dataclass(frozen=True)
class WholePitchCut:
    """What must come out so that a whole number of pitches is left.

    Args:
        pitches_now: Pitches in the loop; not whole when one gap is odd. [-]
        pitches_after: Whole pitches left. [count]
        loop_length_mm: Length of the loop afterwards. [mm]
        removed_mm: Length to take out. [mm]
        centre_change_mm: How far the rollers come together. [mm]
    """

    pitches_now: float
    pitches_after: int
    loop_length_mm: float
    removed_mm: float
    centre_change_mm: float


@dataclass(frozen=True)
class InsertPiece:
    """The piece that replaces a damaged length.

    Args:
        length_mm: Its length. [mm]
        pitches: Cleat pitches in it. [count]
    """

    length_mm: float
    pitches: int


def whole_pitch_cut(loop_length_mm: float, cleat_pitch_mm: float, cut_out_mm: float) -> WholePitchCut:
    """Return what must come out, at the least, so that the loop holds a whole number of pitches again.

    Args:
        loop_length_mm: Loop length now. [mm] above 0
        cleat_pitch_mm: Distance from cleat to cleat. [mm] above 0
        cut_out_mm: Length that has to go. [mm] above 0, at most the loop less one pitch

    Returns:
        Whole pitches left, the new length, what is removed and the change of the centre distance.

    Raises:
        OutOfRange: a size is not above zero, or not one whole pitch would be left.

    Source:
        Plain geometry: whole pitches only, else one gap is odd and the belt thumps or jams; the centre distance
        falls by half of what is removed.
    """
    loop = guards.positive("loop_length_mm", loop_length_mm, "mm")
    pitch = guards.positive("cleat_pitch_mm", cleat_pitch_mm, "mm", loop)
    cut = guards.positive("cut_out_mm", cut_out_mm, "mm", loop - pitch)
    after = math.floor((loop - cut) / pitch + 1e-9)
    removed = loop - after * pitch
    return WholePitchCut(loop / pitch, after, after * pitch, removed, removed / 2)


def insert_piece(damaged_mm: float, cleat_pitch_mm: float,
                 minimum_splice_spacing_mm: float = MINIMUM_SPLICE_SPACING_MM) -> InsertPiece:
    """Return the smallest piece that replaces a damaged length like for like.

    Args:
        damaged_mm: Length that is damaged. [mm] above 0
        cleat_pitch_mm: Distance from cleat to cleat. [mm] above 0
        minimum_splice_spacing_mm: The shop's smallest distance between splices. [mm] 0 or more

    Returns:
        Its length and pitches.

    Raises:
        OutOfRange: an argument is out of its range.

    Source:
        common practice, no source: the piece's two joints keep the smallest spacing; rounded up to whole pitches.
    """
    damaged = guards.positive("damaged_mm", damaged_mm, "mm")
    pitch = guards.positive("cleat_pitch_mm", cleat_pitch_mm, "mm")
    spacing = guards.number("minimum_splice_spacing_mm", minimum_splice_spacing_mm, "mm", 0.0)
    pitches = math.ceil(max(damaged, spacing) / pitch - 1e-9)
    return InsertPiece(pitches * pitch, pitches)


class _Belt(NamedTuple):
    """The loop with its derived sizes; the pitch is the true one of a stretched loop."""

    length: float
    pitch: float
    cleats: int
    phase: float
    is_whole: bool
    splices: tuple[float, ...]

    def cleat(self, number: int) -> float:
        """Position of a cleat, numbers running on past the datum."""
        rounds, within = divmod(number, self.cleats)
        return self.phase + within * self.pitch + rounds * self.length

    def cut_after(self, gap: int) -> float:
        """The line half a pitch after the gap's first cleat."""
        return self.cleat(gap) + self.pitch / 2

    def cut_before(self, gap: int) -> float:
        """The line half a pitch before the gap's second cleat; the same line in any regular gap."""
        return self.cleat(gap + 1) - self.pitch / 2

    def holds_odd_gap(self, first: int, last: int) -> bool:
        """True when the gap over the datum is one of first..last."""
        return (last + 1) // self.cleats > first // self.cleats


class _Cut(NamedTuple):
    """One place to cut, from gap to gap."""

    start: float
    end: float
    cleats: int
    mends_odd_gap: bool
    kept: tuple[float, ...]  # old splices that stay, along the rest from the second cut

    @property
    def length(self) -> float:
        return self.end - self.start


def plan_splices(loop: CleatedLoop, damage_start_mm: float, damage_end_mm: float,
                 rules: SpliceRules | None = None) -> SplicePlans:
    """Return every plan that gets a damaged stretch out of the belt, the best first.

    For each number of cleat sections put in, and each choice of old splices that go out with the cut, the best place
    to cut is kept. Ranked by: pitch kept whole; take-up travel that is surely left; fewest splices; fewest sections;
    most travel left; longest way to the next splice; shortest cut. A new belt comes last.

    Args:
        loop: The belt as it is.
        damage_start_mm: Where the damage begins, from the datum. [mm] 0 to the loop length
        damage_end_mm: Where it ends; below the start where it runs over the datum. [mm] 0 to the loop length
        rules: The shop's settings.

    Returns:
        Feasible plans and refused ones.

    Raises:
        OutOfRange: a size is out of its range.

    Source:
        Plain geometry for lengths and travel; GUM (JCGM 100:2008) 5.1.2 for the uncertainty of the new length; the
        smallest spacing of splices is common practice, no source.
    """
    rules = _checked_rules(rules or SpliceRules())
    _check_loop(loop)
    belt = _belt(loop)
    start = guards.number("damage_start_mm", damage_start_mm, "mm", 0.0, loop.loop_length_mm)
    end = guards.number("damage_end_mm", damage_end_mm, "mm", 0.0, loop.loop_length_mm)
    stretch = (end - start) % belt.length
    cuts = list(_cuts(belt, start, stretch, rules))
    plans = _best_plans(loop, belt, cuts, rules) if cuts else [_no_room(loop, belt, start, stretch, rules)]
    plans.append(_replacement(loop, belt, rules))
    feasible = sorted((plan for plan in plans if plan.is_feasible), key=lambda plan: rank(plan))
    return SplicePlans(tuple(feasible), tuple(plan for plan in plans if not plan.is_feasible))


def _check_loop(loop: CleatedLoop) -> None:
    length = guards.positive("loop_length_mm", loop.loop_length_mm, "mm")
    guards.positive("cleat_pitch_mm", loop.cleat_pitch_mm, "mm", length / 2)
    guards.number("cleat_phase_mm", loop.cleat_phase_mm, "mm", 0.0, length)
    guards.number("takeup_in_mm", loop.takeup_in_mm, "mm", 0.0)
    guards.number("takeup_out_mm", loop.takeup_out_mm, "mm", 0.0)
    guards.number("loop_length_uncertainty_mm", loop.loop_length_uncertainty_mm, "mm", 0.0)
    guards.numbers("splice_positions_mm", loop.splice_positions_mm, "mm", 0.0, length, at_least=0)


def _checked_rules(rules: SpliceRules) -> SpliceRules:
    guards.number("minimum_splice_spacing_mm", rules.minimum_splice_spacing_mm, "mm", 0.0)
    if rules.minimum_insert_mm is not None:
        guards.number("minimum_insert_mm", rules.minimum_insert_mm, "mm", 0.0)
    guards.count("largest_insert_sections", rules.largest_insert_sections, 0, LARGEST_INSERT)
    guards.number("sound_margin_mm", rules.sound_margin_mm, "mm", 0.0)
    guards.number("cut_uncertainty_mm", rules.cut_uncertainty_mm, "mm", 0.0)
    guards.number("expected_growth_mm", rules.expected_growth_mm, "mm", 0.0)
    guards.count("new_belt_splices", rules.new_belt_splices, 0)
    if rules.section_length_mm is not None:
        guards.positive("section_length_mm", rules.section_length_mm, "mm")
    if rules.sections_in_stock is not None:
        guards.count("sections_in_stock", rules.sections_in_stock, 0)
    if rules.new_belt_length_mm is not None:
        guards.positive("new_belt_length_mm", rules.new_belt_length_mm, "mm")
    return rules


def _belt(loop: CleatedLoop) -> _Belt:
    length, pitch = float(loop.loop_length_mm), float(loop.cleat_pitch_mm)
    cleats = round(length / pitch)
    slack = max(COVERAGE_FACTOR * loop.loop_length_uncertainty_mm, WHOLE_PITCH_SHARE * pitch)
    is_whole = abs(length - cleats * pitch) <= slack
    true_pitch = length / cleats if is_whole else pitch
    return _Belt(length, true_pitch, cleats, loop.cleat_phase_mm % pitch, is_whole,
                 tuple(position % length for position in loop.splice_positions_mm))


def _cuts(belt: _Belt, start: float, stretch: float, rules: SpliceRules) -> Iterator[_Cut]:
    """Yield every place to cut that takes the whole damage out, up to the useful length."""
    first, last = _tightest_gaps(belt, start - rules.sound_margin_mm, start + stretch + rules.sound_margin_mm)
    section = rules.section_length_mm or belt.pitch
    useful = max(rules.largest_insert_sections * section, rules.minimum_splice_spacing_mm) / belt.pitch
    longest = min(last - first + min(math.ceil(useful) + 1, LARGEST_EXTENSION), belt.cleats - 1)
    for cleats in range(max(1, last - first), longest + 1):
        for before in range(cleats - (last - first) + 1):
            yield _cut(belt, first - before, first - before + cleats)


def _tightest_gaps(belt: _Belt, start: float, end: float) -> tuple[int, int]:
    """Return the last gap whose line lies before the damage and the first whose line lies after it."""
    first = math.ceil((start - belt.phase) / belt.pitch) + 1
    while belt.cut_after(first) > start + TINY_MM:
        first -= 1
    last = first
    while belt.cut_before(last) < end - TINY_MM:
        last += 1
    return first, last


def _cut(belt: _Belt, first: int, last: int) -> _Cut:
    start, end = belt.cut_after(first), belt.cut_before(last)
    beside = SAME_GAP_SHARE * belt.pitch
    kept = sorted((splice - end) % belt.length for splice in belt.splices
                  if (splice - start + beside) % belt.length > end - start + 2 * beside)
    return _Cut(start, end, last - first, belt.holds_odd_gap(first, last), tuple(kept))


def _best_plans(loop: CleatedLoop, belt: _Belt, cuts: list[_Cut], rules: SpliceRules) -> list[SplicePlan]:
    """Keep the best cut for each number of sections and of old splices kept; of refused ones only the nearest miss."""
    plans = []
    for sections in range(rules.largest_insert_sections + 1):
        best: dict[int, tuple[tuple[float, ...], _Cut]] = {}
        for cut in cuts:
            score = _quick_score(loop, belt, cut, sections, rules)
            kept = len(cut.kept)
            if kept not in best or score < best[kept][0]:
                best[kept] = (score, cut)
        found = [_plan(loop, belt, cut, sections, rules) for _, cut in sorted(best.values(), key=lambda one: one[0])]
        feasible = [plan for plan in found if plan.is_feasible]
        plans += feasible or found[:1]
    return plans


def _quick_score(loop: CleatedLoop, belt: _Belt, cut: _Cut, sections: int, rules: SpliceRules) -> tuple[float, ...]:
    """Order cuts as `splice_plan.rank` does, without writing a plan for each."""
    insert = sections * (rules.section_length_mm or belt.pitch)
    change = (insert - cut.length) / 2
    travel = min(loop.takeup_in_mm + change, loop.takeup_out_mm - change - rules.expected_growth_mm / 2)
    nearest = _nearest(belt, cut, sections)
    far = nearest if nearest is not None else belt.length
    missing_way = max(0.0, rules.minimum_splice_spacing_mm - far) if nearest is not None else 0.0
    is_odd = not (belt.is_whole or cut.mends_odd_gap)
    return (max(0.0, -travel), missing_way, is_odd, cut.length, -far)


def _nearest(belt: _Belt, cut: _Cut, sections: int) -> float | None:
    """Return the shortest way along the belt from a new joint to an old splice, or round to the other joint."""
    rest = belt.length - cut.length
    if cut.kept:
        return min(cut.kept[0], rest - cut.kept[-1])
    return rest if sections else None


def _joint_spacing(belt: _Belt, sections: int, rules: SpliceRules) -> float | None:
    """Return the distance between two neighbouring joints of the piece put in."""
    if not sections:
        return None
    return (rules.section_length_mm or belt.pitch) * (sections if rules.sections_in_one_piece else 1)


def _plan(loop: CleatedLoop, belt: _Belt, cut: _Cut, sections: int, rules: SpliceRules) -> SplicePlan:
    section = rules.section_length_mm or belt.pitch
    insert, pitches = sections * section, sections * round(section / belt.pitch)
    is_section_whole = abs(section / belt.pitch - round(section / belt.pitch)) <= WHOLE_PITCH_SHARE
    joints = _joints(sections, insert, rules)
    new_length = belt.length - cut.length + insert
    positions, phase = _after(belt, cut, insert, [*joints, *(insert + way for way in cut.kept)], new_length)
    return judged(rules, SplicePlan(
        kind=INSERT if sections else CLOSE_UP,
        cut_from_mm=cut.start % belt.length, cut_to_mm=cut.end % belt.length, cut_length_mm=cut.length,
        insert_sections=sections, insert_length_mm=insert,
        new_loop_length_mm=new_length, new_loop_uncertainty_mm=_length_uncertainty(loop, rules, bool(sections)),
        pitches_after=belt.cleats - cut.cleats + pitches,
        is_pitch_whole=(belt.is_whole or cut.mends_odd_gap) and (not sections or is_section_whole),
        splices_after=len(positions), old_splices_removed=len(belt.splices) - len(cut.kept),
        splice_positions_after_mm=positions, cleat_phase_after_mm=phase,
        centre_change_mm=(insert - cut.length) / 2,
        takeup_in_left_mm=loop.takeup_in_mm + (insert - cut.length) / 2,
        takeup_out_left_mm=loop.takeup_out_mm - (insert - cut.length) / 2,
        nearest_splice_mm=_nearest(belt, cut, sections),
        joint_spacing_mm=_joint_spacing(belt, sections, rules),
        parts=_parts(len(joints), sections), reasons=(), refusals=()))


def _joints(sections: int, insert: float, rules: SpliceRules) -> list[float]:
    """Return the new joints, along the new loop from the first cut."""
    if not sections:
        return [0.0]
    pieces = 1 if rules.sections_in_one_piece else sections
    return [insert * piece / pieces for piece in range(pieces + 1)]


def _after(belt: _Belt, cut: _Cut, insert: float, ways: list[float],
           new_length: float) -> tuple[tuple[float, ...], float]:
    """Return splice positions and the first cleat from the old datum, or from the first cut if the datum came out."""
    to_datum = -cut.end % belt.length
    rest = belt.length - cut.length
    datum = insert + to_datum if to_datum < rest else 0.0
    positions = tuple(sorted((way - datum) % new_length for way in ways))
    phase = (insert + belt.pitch / 2 - datum) % belt.pitch
    return positions, phase


def _length_uncertainty(loop: CleatedLoop, rules: SpliceRules, has_insert: bool) -> float:
    """Expanded uncertainty: the old loop's, two cuts, and two more where a piece goes in."""
    cuts = (4 if has_insert else 2) * rules.cut_uncertainty_mm**2
    return COVERAGE_FACTOR * math.sqrt(loop.loop_length_uncertainty_mm**2 + cuts)


def _parts(joints: int, sections: int) -> tuple[str, ...]:
    parts = [trn("{n} set of joint bolts and plates", "{n} sets of joint bolts and plates", joints).format(n=joints)]
    if sections:
        parts.append(trn("{n} cleat section", "{n} cleat sections", sections).format(n=sections))
    return tuple(parts)


def _replacement(loop: CleatedLoop, belt: _Belt, rules: SpliceRules) -> SplicePlan:
    new_length = rules.new_belt_length_mm or belt.cleats * loop.cleat_pitch_mm
    change = (new_length - belt.length) / 2
    pitches = new_length / loop.cleat_pitch_mm
    return judged(rules, SplicePlan(
        kind=REPLACE, cut_from_mm=0.0, cut_to_mm=0.0, cut_length_mm=belt.length, insert_sections=0,
        insert_length_mm=new_length, new_loop_length_mm=new_length,
        new_loop_uncertainty_mm=COVERAGE_FACTOR * rules.cut_uncertainty_mm * math.sqrt(2),
        pitches_after=round(pitches), is_pitch_whole=abs(pitches - round(pitches)) <= WHOLE_PITCH_SHARE,
        splices_after=rules.new_belt_splices, old_splices_removed=len(belt.splices),
        splice_positions_after_mm=tuple(new_length * one / rules.new_belt_splices
                                        for one in range(rules.new_belt_splices)),
        cleat_phase_after_mm=loop.cleat_pitch_mm / 2, centre_change_mm=change,
        takeup_in_left_mm=loop.takeup_in_mm + change, takeup_out_left_mm=loop.takeup_out_mm - change,
        nearest_splice_mm=None if rules.new_belt_splices < 2 else new_length / rules.new_belt_splices,
        joint_spacing_mm=None,
        parts=(tr("1 new belt"),), reasons=(), refusals=()))


def _no_room(loop: CleatedLoop, belt: _Belt, start: float, stretch: float, rules: SpliceRules) -> SplicePlan:
    """The plan to show where the damage leaves no sound pitch to close up."""
    change = -stretch / 2
    return SplicePlan(
        kind=CLOSE_UP, cut_from_mm=start, cut_to_mm=(start + stretch) % belt.length, cut_length_mm=stretch,
        insert_sections=0, insert_length_mm=0.0, new_loop_length_mm=belt.length - stretch,
        new_loop_uncertainty_mm=_length_uncertainty(loop, rules, False), pitches_after=0, is_pitch_whole=False,
        splices_after=1, old_splices_removed=0, splice_positions_after_mm=(0.0,), cleat_phase_after_mm=0.0,
        centre_change_mm=change,
        takeup_in_left_mm=loop.takeup_in_mm + change, takeup_out_left_mm=loop.takeup_out_mm - change,
        nearest_splice_mm=None, joint_spacing_mm=None, parts=_parts(1, 0), reasons=(),
        refusals=(tr("The damage leaves no whole pitch of sound belt to join."),))
