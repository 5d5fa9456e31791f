"""The unit's drawing with every position by its worst state, and the yard's board."""

from __future__ import annotations

import pytest

from kiosk.entities import Finding, JobType, ServiceRecord
from kiosk.presenters.marks import worst_mark
from kiosk.presenters.states import ComponentState, IdleState, UnitState
from kiosk.presenters.words import DUE_NOW, FINE, IS_OVERDUE, NOT_YET, OPEN_FINDING


@pytest.fixture
def unit(yard):
    """Return the yard with its unit open and every job of it done today."""
    for component, jobs in (("c-bearing", ("grease", "wash", "inspect")), ("c-chain", ("sag",))):
        for job in jobs:
            part = yard.records.component(component)
            yard.records.service_records.append(ServiceRecord(
                f"{component}-{job}", component, part.position_id, "u4", part.sheet, 1, job, JobType.NOTE,
                yard.clock(), 1236.5, "ana"))
    yard.desk.open_unit("u4")
    return yard


def marks(yard):
    return {mark.position_id: mark.mark.word for mark in yard.state.diagrams[0].marks}


def find(yard, position="p-chain", component="c-chain"):
    yard.records.findings["f"] = Finding("f", "u4", position, component, "Sag left outside.", yard.clock(), "ana")


def test_every_position_stands_on_its_assembly(unit):
    """Marks at the positions' places, in walk order."""
    first = unit.state.diagrams[0]
    assert [(mark.position_id, mark.x, mark.y, mark.number) for mark in first.marks] == [
        ("p-bearing", 0.2, 0.9, 1), ("p-chain", 0.5, 0.5, 2)]
    assert [mark.position_id for mark in unit.state.diagrams[1].marks] == ["p-belt", "p-empty"]


def test_position_with_nothing_due_or_found_is_fine(unit):
    """All done today: all fine."""
    assert set(marks(unit).values()) == {"fine"}
    assert unit.state.due == ()


def test_position_with_an_open_finding_shows_it(unit):
    """A finding marks its position and is listed with its place."""
    find(unit)
    unit.desk.open_unit("u4")
    assert marks(unit)["p-chain"] == "finding"
    assert unit.state.findings[0].place == "flight chains"


def test_position_due_today_shows_it(unit):
    """A day later the daily greasing is due."""
    unit.clock.move(days=1)
    unit.desk.open_unit("u4")
    assert marks(unit)["p-bearing"] == "due"
    assert [row.key for row in unit.state.due] == ["grease"]


def test_position_overdue_shows_it(unit):
    """Two days later it is overdue."""
    unit.clock.move(days=2)
    unit.desk.open_unit("u4")
    assert marks(unit)["p-bearing"] == "overdue"
    assert unit.state.summary == "1 overdue · 0 due today · 0 open findings"


@pytest.mark.parametrize(("present", "worst"), [
    ([FINE], FINE), ([DUE_NOW, FINE], DUE_NOW), ([DUE_NOW, OPEN_FINDING], OPEN_FINDING),
    ([OPEN_FINDING, IS_OVERDUE, DUE_NOW], IS_OVERDUE), ([NOT_YET], FINE), ([], FINE),
])
def test_worst_state(present, worst):
    """Overdue before a finding before due before fine."""
    assert worst_mark(present) == worst


def test_state_is_told_by_word_shape_and_colour(unit):
    """No two states share a word, a shape or a colour."""
    states = (FINE, DUE_NOW, OPEN_FINDING, IS_OVERDUE, NOT_YET)
    for told in ("word", "shape", "colour"):
        assert len({getattr(state, told) for state in states}) == len(states)


def test_position_on_the_drawing_opens_its_part(unit):
    """A touch on a mark opens the part there."""
    unit.screen.open_position("p-chain")
    assert isinstance(unit.state, ComponentState)
    assert unit.state.component_id == "c-chain"


def test_back_from_the_part_leads_to_the_unit(unit):
    """The way back is the way one came."""
    unit.screen.open_position("p-chain")
    unit.screen.back()
    assert isinstance(unit.state, UnitState)


def test_empty_position_says_so(unit):
    """A touch on an empty position is answered, not ignored."""
    unit.screen.open_position("p-empty")
    assert "No part is on record" in unit.message.text


def test_other_assembly_is_shown(unit):
    """A tab draws the other assembly; a tab that does not exist changes nothing."""
    unit.screen.show_assembly(1)
    assert unit.state.shown == 1
    unit.screen.show_assembly(7)
    assert unit.state.shown == 1


def test_unit_shows_its_hours(unit):
    """The last reading with its day."""
    assert unit.state.hours == "1,236.5 h, read yesterday 06:30"


def test_idle_board_shows_each_unit_by_its_worst_state(unit):
    """The yard's board on the idle screen."""
    unit.screen.home()
    assert isinstance(unit.state, IdleState)
    assert unit.state.units[0].mark == FINE
    find(unit)
    unit.desk.home()
    assert unit.state.units[0].mark == OPEN_FINDING


def test_unit_opens_from_the_board(unit):
    """A touch on a tile opens the unit."""
    unit.screen.home()
    unit.screen.open_unit("u4")
    assert isinstance(unit.state, UnitState)


def test_idle_screen_asks_for_label_or_badge(yard):
    """Before signing in it asks for either."""
    assert yard.state.prompt == "Scan a label or your badge"
    yard.sign_in()
    assert yard.state.prompt == "Scan a label"
