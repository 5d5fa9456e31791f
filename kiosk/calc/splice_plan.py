"""What the splice planner is told, what it answers, and how a plan is judged, worded and ranked.

The geometry of the cuts is in `splice`. A reason says what speaks for a plan or what to mind; a refusal says why it
cannot be done and which setting or part would change that.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kiosk.language import number, tr, trn

CLOSE_UP, INSERT, REPLACE = "cut and close up", "cut and insert", "replace the belt"
MINIMUM_SPLICE_SPACING_MM = 1000.0
"""Default of the shop's setting. (common practice, no source)"""
COVERAGE_FACTOR = 2.0
TINY_MM = 1e-6


@dataclass(frozen=True)
class CleatedLoop:
    """The belt as it is.

    Args:
        loop_length_mm: Loop length. [mm]
        cleat_pitch_mm: Distance from cleat to cleat. [mm]
        takeup_in_mm: Travel the take-ups have left inwards, to slacken. [mm]
        takeup_out_mm: Travel left outwards, to tighten. [mm]
        cleat_phase_mm: Position of the first cleat after the datum. [mm]
        splice_positions_mm: Existing splices, from the datum. [mm]
        loop_length_uncertainty_mm: Standard uncertainty of the loop length. [mm]
    """

    loop_length_mm: float
    cleat_pitch_mm: float
    takeup_in_mm: float
    takeup_out_mm: float
    cleat_phase_mm: float = 0.0
    splice_positions_mm: tuple[float, ...] = ()
    loop_length_uncertainty_mm: float = 1.0


@dataclass(frozen=True)
class SpliceRules:
    """The shop's settings; each default is common practice without a source.

    Args:
        minimum_splice_spacing_mm: Smallest distance between two splices along the loop. [mm]
        minimum_insert_mm: Smallest distance between the two joints of a piece put in; None for the same. [mm]
        largest_insert_sections: Most cleat sections put in at one place. [count]
        section_length_mm: Length of one cleat section; None for one pitch. [mm]
        sections_in_stock: Cleat sections on the shelf; None when not known. [count]
        sections_in_one_piece: Sections are cut from stock as one piece with two joints; False when each is joined.
        sound_margin_mm: Sound belt to cut away beyond the damage. [mm]
        cut_uncertainty_mm: Standard uncertainty of the place of one cut. [mm]
        expected_growth_mm: Growth of the loop that the take-ups must still follow afterwards. [mm]
        new_belt_length_mm: Length of a new belt; None for the whole pitches of this one. [mm]
        new_belt_splices: Splices in a new belt: 1 when joined on the machine, 0 when endless. [count]
    """

    minimum_splice_spacing_mm: float = MINIMUM_SPLICE_SPACING_MM
    minimum_insert_mm: float | None = None
    largest_insert_sections: int = 2
    section_length_mm: float | None = None
    sections_in_stock: int | None = None
    sections_in_one_piece: bool = True
    sound_margin_mm: float = 0.0
    cut_uncertainty_mm: float = 0.5
    expected_growth_mm: float = 0.0
    new_belt_length_mm: float | None = None
    new_belt_splices: int = 1


@dataclass(frozen=True)
class SplicePlan:
    """One way to do it.

    Args:
        kind: 'cut and close up', 'cut and insert' or 'replace the belt'.
        cut_from_mm: First cut, from the datum. [mm]
        cut_to_mm: Second cut, from the datum; below the first where the cut runs over the datum. [mm]
        cut_length_mm: Length that comes out. [mm]
        insert_sections: Cleat sections that go in. [count]
        insert_length_mm: Their length. [mm]
        new_loop_length_mm: Loop length afterwards. [mm]
        new_loop_uncertainty_mm: Its expanded uncertainty, k = 2. [mm]
        pitches_after: Cleats on the loop afterwards. [count]
        is_pitch_whole: True when every gap between cleats is one pitch.
        splices_after: Splices in the loop afterwards. [count]
        old_splices_removed: Old splices that go out with the cut. [count]
        splice_positions_after_mm: Where they lie, from the datum (from the first cut, if the datum came out). [mm]
        cleat_phase_after_mm: First cleat after the datum. [mm]
        centre_change_mm: Change of the centre distance; below zero the rollers come together. [mm]
        takeup_in_left_mm: Travel left inwards afterwards. [mm]
        takeup_out_left_mm: Travel left outwards afterwards. [mm]
        nearest_splice_mm: Shortest way along the loop from a new joint to an old splice, or round the loop to the
            other joint; None for a lone one. [mm]
        joint_spacing_mm: Distance between the two joints of the piece put in; None where none goes in. [mm]
        parts: What it takes from the shelf.
        reasons: What speaks for it and what to mind.
        refusals: Why it cannot be done; empty when it can.
    """

    kind: str
    cut_from_mm: float
    cut_to_mm: float
    cut_length_mm: float
    insert_sections: int
    insert_length_mm: float
    new_loop_length_mm: float
    new_loop_uncertainty_mm: float
    pitches_after: int
    is_pitch_whole: bool
    splices_after: int
    old_splices_removed: int
    splice_positions_after_mm: tuple[float, ...]
    cleat_phase_after_mm: float
    centre_change_mm: float
    takeup_in_left_mm: float
    takeup_out_left_mm: float
    nearest_splice_mm: float | None
    joint_spacing_mm: float | None
    parts: tuple[str, ...]
    reasons: tuple[str, ...]
    refusals: tuple[str, ...]

    @property
    def is_feasible(self) -> bool:
        """True when nothing speaks against it."""
        return not self.refusals


@dataclass(frozen=True)
class SplicePlans:
    """All plans.

    Args:
        feasible: What can be done, the best first.
        refused: What cannot, each with why.
    """

    feasible: tuple[SplicePlan, ...]
    refused: tuple[SplicePlan, ...]


def judged(rules: SpliceRules, plan: SplicePlan) -> SplicePlan:
    """Return the plan with its refusals and its reasons.

    Args:
        rules: The shop's settings.
        plan: Without them.

    Returns:
        The same plan with them.
    """
    return replace(plan, refusals=tuple(_refusals(rules, plan)), reasons=tuple(_reasons(rules, plan)))


def rank(plan: SplicePlan) -> tuple[float, ...]:
    """Return the key that puts the best feasible plan first.

    Args:
        plan: A feasible plan.

    Returns:
        Numbers to sort by.
    """
    nearest = plan.nearest_splice_mm if plan.nearest_splice_mm is not None else plan.new_loop_length_mm
    travel = min(plan.takeup_in_left_mm, plan.takeup_out_left_mm)
    return (plan.kind == REPLACE, not plan.is_pitch_whole, is_travel_in_doubt(plan), plan.splices_after,
            plan.insert_sections, -travel, -nearest, plan.cut_length_mm)


def is_travel_in_doubt(plan: SplicePlan) -> bool:
    """True when the travel left is smaller than half the uncertainty of the new length.

    Args:
        plan: Any plan.

    Returns:
        True or False.
    """
    return min(plan.takeup_in_left_mm, plan.takeup_out_left_mm) < plan.new_loop_uncertainty_mm / 2


def _refusals(rules: SpliceRules, plan: SplicePlan) -> Iterator[str]:
    if plan.takeup_in_left_mm < -TINY_MM:
        yield (tr("The belt would be too short: the take-ups lack {takeup_in_left_mm} mm of travel inwards. {what} "
                  "sections put in make it longer again.").format(
                   takeup_in_left_mm=number(-plan.takeup_in_left_mm, ".0f"),
                   what=tr("More") if plan.insert_sections else tr("Cleat")))
    if plan.takeup_out_left_mm < -TINY_MM:
        yield (tr("The belt would be too long: the take-ups lack {takeup_out_left_mm} mm of travel outwards.").format(
                   takeup_out_left_mm=number(-plan.takeup_out_left_mm, ".0f")))
    elif plan.takeup_out_left_mm < rules.expected_growth_mm / 2 - TINY_MM:
        yield (tr("Only {takeup_out_left_mm} mm of travel outwards would be left; the belt is expected to grow "
                  "{expected_growth_mm} mm, which needs {expected_growth_mm_2} mm.").format(
                   takeup_out_left_mm=number(plan.takeup_out_left_mm, ".0f"),
                   expected_growth_mm=number(rules.expected_growth_mm, ".0f"),
                   expected_growth_mm_2=number(rules.expected_growth_mm / 2, ".0f")))
    yield from _nearness_refusals(rules, plan)
    if rules.sections_in_stock is not None and plan.insert_sections > rules.sections_in_stock:
        yield tr("It takes {insert_sections} cleat sections; {sections_in_stock} are in stock.").format(
                  insert_sections=plan.insert_sections, sections_in_stock=rules.sections_in_stock)


def _nearness_refusals(rules: SpliceRules, plan: SplicePlan) -> Iterator[str]:
    least = rules.minimum_splice_spacing_mm
    if plan.kind != REPLACE and plan.nearest_splice_mm is not None and plan.nearest_splice_mm < least - TINY_MM:
        yield (tr("A joint would lie {nearest_splice_mm} mm from another splice; the shop's setting asks for "
                  "{least} mm (common practice, no source).").format(
                   nearest_splice_mm=number(plan.nearest_splice_mm, ".0f"), least=number(least, ".0f")))
    least = rules.minimum_insert_mm if rules.minimum_insert_mm is not None else least
    if plan.joint_spacing_mm is not None and plan.joint_spacing_mm < least - TINY_MM:
        yield (tr("The joints of the piece put in would lie {joint_spacing_mm} mm apart; the shop's setting asks "
                  "for {least} mm (common practice, no source).").format(
                   joint_spacing_mm=number(plan.joint_spacing_mm, ".0f"), least=number(least, ".0f")))


def _reasons(rules: SpliceRules, plan: SplicePlan) -> Iterator[str]:
    yield _pitch_reason(plan)
    if is_travel_in_doubt(plan):
        yield (tr("That is less than the length is known to: measure the loop again before cutting."))
    yield _splice_reason(rules, plan)
    yield tr("It takes {parts}.").format(parts=tr(" and ").join(plan.parts))
    if plan.kind != REPLACE and plan.old_splices_removed:
        yield tr("Old splices that go out with the cut: {old_splices_removed}.").format(
                  old_splices_removed=plan.old_splices_removed)


def _pitch_reason(plan: SplicePlan) -> str:
    if plan.is_pitch_whole:
        return tr("The pitch stays whole: {pitches_after} cleats round the loop.").format(
                   pitches_after=plan.pitches_after)
    return tr("One gap between cleats will be odd: the belt thumps there and may jam.")


def _splice_reason(rules: SpliceRules, plan: SplicePlan) -> str:
    count = trn("{n} splice in the loop afterwards", "{n} splices in the loop afterwards", plan.splices_after).format(
        n=plan.splices_after)
    if plan.nearest_splice_mm is None:
        return count + "."
    return tr(
        "{count}; the nearest old one {nearest_splice_mm} mm away (setting: {minimum_splice_spacing_mm} mm)."
    ).format(
        count=count,
        nearest_splice_mm=number(plan.nearest_splice_mm, ".0f"),
        minimum_splice_spacing_mm=number(rules.minimum_splice_spacing_mm, ".0f"),
    )
