"""The page of the yard's kiosks and the hub's words on the top line."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from kiosk.entities import Conflict, ConflictKind, Finding, HubStanding, OtherKiosk, Role
from kiosk.events import ConflictSettled, FindingClosed
from kiosk.language import date_short
from kiosk.presenters.hub_page import HubPage
from kiosk.presenters.hub_words import hub_words

AT = datetime(2026, 3, 2, 5, 40, tzinfo=UTC)
TOGETHER = HubStanding(AT, False, "", 0)
ALONE = HubStanding(AT, True, "The hub cannot be reached; the kiosk works on alone.", 12)
SHEETS = Conflict("c-1", ConflictKind.SHEET, "Revision 3 of the sheet 'belt' was adopted with two texts", AT, "e-1",
                  None, None, None)
GREASED = Conflict("c-2", ConflictKind.GREASE, "Greased twice within the hour", AT, "e-2", "e-3", "u4", "f-2")


@dataclass
class Watch:
    """Answers as the worker would."""

    now: HubStanding | None

    def standing(self) -> HubStanding | None:
        """Return how things stand."""
        return self.now


@pytest.fixture
def boss(yard: Any) -> Any:
    """Return the yard with a supervisor signed in."""
    person = replace(yard.records.person_list[0], role=Role.SUPERVISOR)
    yard.records.person_list[0] = person
    yard.desk.session.sign_in(person)
    return yard


def _page(boss: Any, standing: HubStanding | None) -> Any:
    object.__setattr__(boss.desk.helpers, "hub_watch", Watch(standing))
    boss.desk.open_page(HubPage(boss.desk))
    return boss.state


@pytest.mark.parametrize(("standing", "said"), [
    (None, ""), (TOGETHER, ""), (ALONE, "Alone since 05:40, 12 to send"),
    (replace(ALONE, contact_at=None), "Alone, 12 to send"),
    (replace(TOGETHER, trouble="parted"), "Hub: tell the supervisor"),
    (replace(TOGETHER, kiosks=(OtherKiosk(3, 1, 2, AT, 0, "parted"),)), "Hub: tell the supervisor"),
])
def test_top_line__each_standing__says_what_matters(standing: HubStanding | None, said: str) -> None:
    """Alone: since when, and how much waits; trouble: where to look; else nothing."""
    assert hub_words(standing, AT + timedelta(hours=2), UTC) == said


def test_top_line__alone_since_another_day__says_the_day() -> None:
    """A time alone would be of today."""
    assert hub_words(ALONE, AT + timedelta(days=2), UTC) == f"Alone since {date_short(AT.date())}, 12 to send"


def test_page__alone_with_others__tells_each(boss: Any) -> None:
    """This kiosk, then each other one with what is not here and why."""
    others = (OtherKiosk(2, 40, 40, AT, 0), OtherKiosk(3, 10, 25, AT, 4, "The records of kiosk 3 part at entry 11."))
    rows = _page(boss, replace(ALONE, kiosks=others)).rows
    assert [row.key for row in rows] == ["own", "kiosk-2", "kiosk-3"]
    assert "12 entries to send" in rows[0].lines and ALONE.why in rows[0].lines
    assert "15 entries not here yet" in rows[2].lines and rows[2].mark.word == "look into it"


def test_page__conflicts__are_settled_with_a_reason(boss: Any) -> None:
    """What became a finding is closed as one; what did not is settled by a word of its own."""
    boss.records.conflicts = [SHEETS, GREASED]
    boss.records.findings["f-2"] = Finding("f-2", "u4", "p-bearing", "c-bearing", GREASED.text, AT, "p-1")
    _page(boss, TOGETHER)
    boss.screen.take_text("c-1", "both put together as revision 4")
    boss.screen.take_text("c-2", "seals looked at")
    assert [event.payload for event in boss.records.events[-2:]] == [
        ConflictSettled("c-1", "both put together as revision 4"), FindingClosed("f-2", "seals looked at")]


def test_page__settled_meanwhile__says_so(boss: Any) -> None:
    """Another kiosk's supervisor was quicker."""
    boss.records.conflicts = [SHEETS]
    _page(boss, TOGETHER)
    boss.records.conflicts = []
    boss.screen.take_text("c-1", "looked at it")
    assert "settled already" in boss.state.frame.message.text


def test_supervisors_page__one_kiosk__has_no_such_row(boss: Any) -> None:
    """A yard with one kiosk reads nothing of others."""
    boss.screen.open_supervisor()
    assert "hub" not in [row.key for row in boss.state.rows]
    boss.records.conflicts = [SHEETS]
    boss.desk.home()
    boss.screen.open_supervisor()
    assert "hub" in [row.key for row in boss.state.rows]
