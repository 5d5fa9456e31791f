"""The supervisor's pages: who gets in, units held, records corrected or annulled with a reason."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.entities import JobType, Phase, Reading, Role, ServiceRecord, Side, Verdict
from kiosk.events import RecordCorrected, UnitHeld, UnitReleased
from kiosk.presenters.correct import CorrectPage
from kiosk.presenters.states import HistoryState, PageState
from kiosk.presenters.supervisor import HoldPage


@pytest.fixture
def boss(yard):
    """Return the yard with a supervisor signed in and one greasing with a reading on the bearing."""
    person = replace(yard.records.person_list[0], role=Role.SUPERVISOR)
    yard.records.person_list[0] = person
    yard.desk.session.sign_in(person)
    warm = Reading("temperature", Side.BOTH, Phase.AS_FOUND, "150", 65.6, "degC", 0.29, None, 65.0, "guarded 95 %",
                   "our yard's instruction 1", Verdict.OUTSIDE)
    yard.records.service_records.append(ServiceRecord(
        "r-1", "c-bearing", "p-bearing", "u4", "bearing", 3, "grease", JobType.GREASE, yard.clock(), 500.0, person.id,
        (warm,), Verdict.OUTSIDE, strokes=2))
    return yard


def test_supervisors_page__mechanic__is_refused(yard):
    """A mechanic gets a sentence and stays where they are."""
    yard.desk.session.sign_in(replace(yard.records.person_list[0], role=Role.MECHANIC))
    yard.desk.start()
    yard.screen.open_supervisor()
    assert "lead or a supervisor" in yard.state.frame.message.text


def test_hold__then_a_scan_of_its_part__says_so_first(boss):
    """Whoever scans a part of a held unit reads why, by whom and since when; after release nobody does."""
    boss.desk.open_page(HoldPage(boss.desk))
    boss.screen.take_text("u4", "chain may jump")
    assert [payload.reason for payload in boss.records.payloads(UnitHeld)] == ["chain may jump"]
    boss.scan(boss.label_of("c-bearing"))
    assert "held out of service: chain may jump" in boss.state.frame.message.text
    boss.desk.open_page(HoldPage(boss.desk))
    boss.screen.take_text("u4", "chain shortened")
    assert len(boss.records.payloads(UnitReleased)) == 1
    boss.scan(boss.label_of("c-bearing"))
    assert boss.state.frame.message is None


def test_correct__reading_and_strokes__is_judged_again_and_keeps_who_and_when(boss):
    """149 °F is 65 °C and too close to its limit to call; the old record stays and says that it was corrected."""
    old = boss.records.record("r-1")
    boss.desk.open_page(CorrectPage(boss.desk, "r-1"))
    boss.screen.take_text("strokes", "3")
    boss.screen.take_text("reading 0", "149")
    boss.screen.take_text("save", "misread")
    (payload,) = boss.records.payloads(RecordCorrected)
    new = payload.replacement
    assert (new.strokes, new.verdict, new.person_id, new.at) == (3, Verdict.TOO_CLOSE, old.person_id, old.at)
    assert new.readings[0].upper == 65.0 and payload.reason == "misread"
    assert isinstance(boss.state, HistoryState)
    assert any("corrected: misread" in row.summary for row in boss.state.rows)


def test_correct__not_a_number__is_refused_and_changes_nothing(boss):
    """A slip ends in a sentence; nothing is lost."""
    boss.desk.open_page(CorrectPage(boss.desk, "r-1"))
    boss.screen.take_text("strokes", "three")
    assert isinstance(boss.state, PageState) and "not a number" in boss.state.frame.message.text
    assert boss.records.payloads(RecordCorrected) == []


def test_annul__with_a_reason__leaves_it_in_sight(boss):
    """The record stays in the history and says that it was annulled, and why; it is not corrected twice."""
    boss.desk.open_page(CorrectPage(boss.desk, "r-1"))
    boss.screen.take_text("annul", "wrong machine")
    assert any("annulled: wrong machine" in row.summary for row in boss.state.rows)
    boss.screen.open_record("r-1")
    boss.screen.correct()
    assert "corrected already" in boss.state.frame.message.text
