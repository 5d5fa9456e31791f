"""The invented yard: machines, places, crew, and sheets that fit each other."""

import math
from pathlib import Path

import pytest

from demo_shop.parts import new_part
from demo_shop.yard import CREW, MACHINES, Machine, assembly_of, positions_of
from kiosk.calc.computations import COMPUTATIONS
from kiosk.calc.tolerance import judge
from kiosk.entities import JobType, Role, Side
from kiosk.sheets import SheetShelf
from kiosk.widgets.designs import ASPECT

SHELF = SheetShelf.load(Path(__file__).parents[2] / "demo_shop" / "sheets")
each_machine = pytest.mark.parametrize("machine", MACHINES, ids=lambda machine: machine.id)


def test_the_yard_has_twelve_machines_of_three_designs() -> None:
    """Two of them are no sweepers."""
    assert len({machine.id for machine in MACHINES}) == 12
    assert len({machine.design for machine in MACHINES}) == 3
    assert sum(machine.is_spreader for machine in MACHINES) == 2


def test_the_crew_is_six_with_every_role() -> None:
    """Somebody may correct, somebody may close findings."""
    assert len({hand.id for hand in CREW}) == 6
    assert {hand.role for hand in CREW} == set(Role)
    assert {hand.units for hand in CREW} == {"in", "mm"}


@each_machine
def test_every_machine_has_25_to_45_positions_with_a_sheet_each(machine: Machine) -> None:
    """Every position is served by a sheet of the demo shop, and has a part to sit there."""
    positions = positions_of(machine)
    assert 25 <= len(positions) <= 45
    for position in positions:
        assert SHELF.sheet(position.sheet).jobs
        assert new_part(machine, position.sheet).description
    assert len({position.id for position in positions}) == len(positions)
    assert {position.assembly_id for position in positions} == {assembly_of(machine).id}


@each_machine
def test_positions_lie_on_the_drawing_and_can_be_told_apart(machine: Machine) -> None:
    """Marks are a sixteenth of the drawing's height apart at the least."""
    positions = positions_of(machine)
    for at, one in enumerate(positions):
        assert 0 < one.x < 1 and 0 < one.y < 1
        for other in positions[:at]:
            apart = math.hypot((one.x - other.x) * ASPECT, one.y - other.y)
            assert apart > 1 / 16, (one.name, other.name, apart)


@each_machine
def test_walk_goes_up_the_left_side_and_down_the_right(machine: Machine) -> None:
    """Nobody walks round twice."""
    sides = [position.side for position in sorted(positions_of(machine), key=lambda position: position.walk_order)]
    first_right = sides.index(Side.RIGHT)
    assert all(side is Side.RIGHT for side in sides[first_right:])


def test_every_computation_is_used_by_a_sheet() -> None:
    """No dead formulas."""
    used = {job.computation.name for sheet in SHELF.sheets() for job in sheet.jobs if job.computation}
    assert used == set(COMPUTATIONS)


def test_every_kind_of_job_is_on_a_sheet() -> None:
    """From greasing to a note."""
    assert {job.type for sheet in SHELF.sheets() for job in sheet.jobs} == set(JobType)


def test_one_caution_says_the_same_on_every_sheet() -> None:
    """A caution confirmed once a shift counts for every part of the unit."""
    said: dict[str, set[tuple[str, str, str]]] = {}
    for sheet in SHELF.sheets():
        for caution in sheet.cautions:
            said.setdefault(caution.key, set()).add((caution.signal, caution.hazard, caution.action))
    assert all(len(texts) == 1 for texts in said.values())


def test_cautions_come_most_dangerous_first() -> None:
    """DANGER, WARNING, CAUTION, NOTICE."""
    rank = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    for sheet in SHELF.sheets():
        for job in sheet.jobs:
            ranks = [rank.index(sheet.caution(key).signal) for key in job.cautions]
            assert ranks == sorted(ranks), (sheet.key, job.key)


def test_work_with_hands_in_the_machine_asks_for_the_lock_out() -> None:
    """Engine off and locked out before hands go in; common practice, no source."""
    hands_off = {("safety-support", "inspect"), ("safety-support", "replace"), ("shaft-bearing", "weigh-gun")}
    for sheet in SHELF.sheets():
        for job in sheet.jobs:
            if job.type is not JobType.NOTE and (sheet.key, job.key) not in hands_off:
                assert "locked-out" in job.cautions, (sheet.key, job.key)


def test_a_chain_or_belt_is_opened_only_with_a_block_against_run_back() -> None:
    """A loaded side runs back by itself; common practice, no source."""
    for key in ("flight-chain", "drag-chain", "cleated-belt", "chain-shaft", "chain-sprocket"):
        assert "run-back" in SHELF.sheet(key).job("replace").cautions


def test_every_gauge_can_pass_a_reading_half_way_between_its_limits() -> None:
    """An instrument too coarse for its limits would make every reading doubtful."""
    for sheet in SHELF.sheets():
        for reading in sheet.readings:
            value = next(limit for limit in (reading.lower, reading.upper) if limit is not None)
            judged = judge(value, reading.lower, reading.upper, reading.resolution / 12**0.5, reading.rule)
            assert judged.gauge_capable, (sheet.key, reading.key)


def test_greasing_and_washing_out_are_saved_by_one_touch() -> None:
    """The work of every day costs one scan and one touch."""
    for sheet in SHELF.sheets():
        for job in sheet.jobs:
            if job.type in (JobType.GREASE, JobType.CLEAN):
                assert job.quick, (sheet.key, job.key)


def test_shaft_bearings_are_greased_daily_with_two_strokes_by_hand_gun() -> None:
    """Common practice, no source."""
    grease = SHELF.sheet("shaft-bearing").job("grease")
    assert (grease.interval.days, grease.grease.strokes, grease.grease.tool) == (1, 2, "hand gun only")


def test_lower_roller_is_washed_out_daily() -> None:
    """Common practice, no source."""
    assert SHELF.sheet("lower-roller").job("washout").interval.days == 1


@pytest.mark.parametrize(("sheet", "reading", "lower_mm", "upper_mm"), [
    pytest.param("flight-chain", "strand-sag", 76.2, 101.6, id="3-to-4-in-under-the-sag"),
    pytest.param("cleated-belt", "cleat-height", 50.8, 76.2, id="2-to-3-in-over-the-pan"),
    pytest.param("cleated-belt", "belt-edge-top", 0.0, 12.7, id="half-an-inch-from-the-frame"),
    pytest.param("height-stop", "stop-height", 41.275, 76.2, id="1-5/8-to-3-in-over-the-ground"),
])
def test_the_yards_limits_are_its_own(sheet: str, reading: str, lower_mm: float, upper_mm: float) -> None:
    """The trade's usual figures (common practice, no source) are not what this yard wrote down."""
    spec = SHELF.sheet(sheet).reading(reading)
    assert (spec.lower, spec.upper) != pytest.approx((lower_mm, upper_mm))
    assert "yard instruction" in spec.source
