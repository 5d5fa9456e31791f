"""Every role through the presenters, on real records of the demo yard: what is refused is refused at the journal.

Each action is done as far as the screens let it. Whatever the screens allow, the records must hold nothing that the
person's role does not permit.
"""

from __future__ import annotations

import contextlib
import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from pin_kiosk import through_cautions

from kiosk.entities import Role, Scan, ScanSource
from kiosk.errors import KioskError, NotAllowed
from kiosk.events import Event, FindingClosed, PersonUnlocked, RecordCorrected, UnitHeld, UnitReleased
from kiosk.pin_desk import PinDesk, at_once
from kiosk.pins import TRIES
from kiosk.presenters.command_card import COMMANDS
from kiosk.presenters.correct import CorrectPage
from kiosk.presenters.crew_page import CrewPage
from kiosk.presenters.desk import Desk
from kiosk.presenters.findings_page import CLOSE, FindingPage
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.supervisor import HoldPage
from kiosk.records.ids import new_id
from kiosk.records.permissions import PERMISSIONS
from kiosk.shop import Shop, floor_settings, utc_now

PIN = "8264913"
NAMES = {Role.MECHANIC: "crew-reyl", Role.LEAD: "crew-oduya", Role.SUPERVISOR: "crew-halloran", None: ""}


@dataclass
class Floor:
    """A desk on the demo yard with somebody, or nobody, signed in."""

    shop: Shop
    desk: Desk
    role: Role | None
    before: int

    @property
    def screen(self) -> Any:
        """The presenter of the screen shown."""
        return self.desk.current

    def scan_part(self, sheet: str) -> Any:
        """Scan the first part of a kind."""
        unit = next(unit for unit in self.shop.records.units() if any(
            part.sheet == sheet for part in self.shop.records.components_of_unit(unit.id)))
        part = next(part for part in self.shop.records.components_of_unit(unit.id) if part.sheet == sheet)
        self.desk.scan(Scan(part.label, ScanSource.SCANNER, utc_now()))
        return part

    def through_cautions(self) -> None:
        """Confirm what is to be confirmed."""
        through_cautions(self.desk)

    def new_events(self) -> list[Any]:
        """Return what was put on record since the sign-in began."""
        return [entry.event for entry in self.shop.records.entries()][self.before:]


def _desk(shop: Shop) -> Desk:
    return Desk(Helpers(shop.records, shop.sheets, shop.press, shop.reports, utc_now, new_id,
                        floor_settings(shop.config), lambda _: None, PinDesk(shop.pins, at_once)), lambda *_: None)


@pytest.fixture(params=list(NAMES), ids=lambda role: role or "nobody")
def floor(request: pytest.FixtureRequest, yard: Path) -> Iterator[Floor]:
    """Return a desk with a person of the role signed in, by badge and PIN where the yard asks for one."""
    with Shop.open(yard) as shop:
        desk = _desk(shop)
        desk.start()
        before = sum(1 for _ in shop.records.entries())
        if request.param is not None:
            desk.scan(Scan(shop.records.person(NAMES[request.param]).badge, ScanSource.SCANNER, utc_now()))
            for key in (*PIN, "enter") * 2:
                desk.pin_key(key)
            assert desk.session.worker().role is request.param
        yield Floor(shop, desk, request.param, before)


def grease(floor: Floor) -> None:
    floor.scan_part("shaft-bearing")
    floor.screen.save_quick()
    floor.through_cautions()
    floor.screen.save_quick()


def report_finding(floor: Floor) -> None:
    floor.scan_part("shaft-bearing")
    floor.screen.report_finding("Seal lifted")
    floor.screen.answer("NEXT_SERVICE")


def adjust(floor: Floor) -> None:
    part = floor.scan_part("flight-chain")
    floor.screen.open_job(next(job.key for job in floor.shop.sheets.sheet(part.sheet).jobs if job.type == "adjust"))
    floor.through_cautions()
    if hasattr(floor.screen, "key"):
        for key in ("2", "next", "2", "next"):
            floor.screen.key(key)
        floor.screen.save()


def replace_part(floor: Floor) -> None:
    floor.scan_part("shaft-bearing")
    floor.screen.open_job("replace")
    floor.through_cautions()
    if hasattr(floor.screen, "issue_label"):
        floor.screen.choose_reason("seized")
        floor.screen.issue_label()
        floor.screen.read_back()
        floor.screen.save()


def look_only(floor: Floor) -> None:
    floor.scan_part("shaft-bearing")
    floor.screen.open_history()
    floor.screen.press_file("csv")
    floor.desk.home()


ACTIONS: dict[str, Callable[[Floor], None]] = {
    "grease": grease, "report a finding": report_finding, "adjust": adjust, "replace": replace_part,
    "look and export": look_only,
}


@pytest.mark.parametrize("name", ACTIONS)
def test_screens__every_action_by_every_role__put_nothing_on_record_that_the_role_may_not(floor: Floor, name: str
                                                                                          ) -> None:
    """After the action each new entry is one that its person's role permits; nobody signed in leaves no work."""
    ACTIONS[name](floor)
    for event in floor.new_events():
        permission = PERMISSIONS[type(event.payload)]
        if event.person_id is None:
            assert permission.by_set_up
        else:
            assert floor.shop.records.person(event.person_id).role in permission.roles
    if floor.role is None:
        assert [event for event in floor.new_events() if event.person_id] == []
        assert {type(event.payload).__name__ for event in floor.new_events()} <= {"LabelSeen"}


@pytest.mark.parametrize("name", ["grease", "report a finding", "adjust", "replace"])
def test_screens__crew_of_every_role__can_do_the_daily_work(floor: Floor, name: str) -> None:
    """A lead or supervisor does everything a mechanic does."""
    if floor.role is None:
        pytest.skip("nobody is signed in")
    ACTIONS[name](floor)
    kinds = {type(event.payload).__name__ for event in floor.new_events()}
    wanted = {"grease": "JobDone", "report a finding": "FindingOpened", "adjust": "JobDone",
              "replace": "ComponentReplaced"}[name]
    assert wanted in kinds, floor.screen.state.frame.message


# What takes a lead or a supervisor


def close_finding(floor: Floor) -> None:
    page = FindingPage(floor.desk, floor.shop.records.open_findings()[0].id)
    floor.desk.open_page(page)
    page.take_text(CLOSE, "looked at again")


def hold_unit(floor: Floor) -> None:
    page = HoldPage(floor.desk)
    floor.desk.open_page(page)
    page.take_text(floor.shop.records.units()[0].id, "seal gone")


def release_unit(floor: Floor) -> None:
    unit = floor.shop.records.units()[1].id
    if floor.shop.records.hold_of(unit) is None:
        floor.shop.records.append(Event(new_id(), utc_now(), NAMES[Role.SUPERVISOR], UnitHeld(unit, "brake")))
        floor.before += 1
    page = HoldPage(floor.desk)
    floor.desk.open_page(page)
    page.take_text(unit, "brake is new")


def _greasing(floor: Floor) -> str:
    unit = floor.shop.records.units()[0].id
    return next(record.id for record in floor.shop.records.unit_history(unit) if record.strokes)


def correct(floor: Floor) -> None:
    page = CorrectPage(floor.desk, _greasing(floor))
    floor.desk.open_page(page)
    page.take_text("strokes", "4")
    page.take_text("save", "miscounted")


def annul(floor: Floor) -> None:
    page = CorrectPage(floor.desk, _greasing(floor))
    floor.desk.open_page(page)
    page.take_text("annul", "other part")


def unlock(floor: Floor) -> None:
    locked = NAMES[Role.MECHANIC]
    floor.shop.pins.set(locked, PIN)
    for _ in range(TRIES):
        floor.shop.pins._clock = lambda: utc_now() + timedelta(hours=len(asked))  # type: ignore[method-assign]
        asked.append(floor.shop.pins.check(locked, "90817264"))
    page = CrewPage(floor.desk)
    floor.desk.open_page(page)
    page.press(locked)


asked: list[Any] = []
LEADS, BOSS = {Role.LEAD, Role.SUPERVISOR}, {Role.SUPERVISOR}
# Who may, and what is on record then.
SUPERVISED: dict[str, tuple[Callable[[Floor], None], set[Role], type]] = {
    "close a finding": (close_finding, LEADS, FindingClosed),
    "hold a unit": (hold_unit, LEADS, UnitHeld), "release a unit": (release_unit, LEADS, UnitReleased),
    "correct a record": (correct, LEADS, RecordCorrected), "annul a record": (annul, LEADS, RecordCorrected),
    "unlock a PIN": (unlock, BOSS, PersonUnlocked),
}


@pytest.mark.parametrize("name", SUPERVISED)
def test_supervisors_pages__every_action_by_every_role__hold_at_the_journal(
    floor: Floor, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Were the screens to let anybody in, the journal would still refuse; who may is let through."""
    act, may, kind = SUPERVISED[name]
    with contextlib.suppress(NotAllowed):
        act(floor)
    if floor.role not in may:
        monkeypatch.setattr("kiosk.presenters.pages.require_lead", lambda session: session.person)
        act(floor)
        assert floor.screen.state.frame.message.kind == "refused"
    done = [event for event in floor.new_events() if type(event.payload) is kind]
    assert [event.person_id for event in done] == ([NAMES[floor.role]] if floor.role in may else [])


def test_command_labels__nobody_signed_in__put_no_work_on_record(yard: Path) -> None:
    """A sheet of command labels lies open on the bench: without a badge it only walks about."""
    with Shop.open(yard) as shop:
        floor = Floor(shop, _desk(shop), None, sum(1 for _ in shop.records.entries()))
        floor.desk.start()
        screens = (lambda: floor.scan_part("shaft-bearing"), lambda: floor.scan_part("flight-chain"),
                   lambda: floor.desk.open_unit(shop.records.units()[0].id), floor.desk.home)
        for command, screen in itertools.product(COMMANDS, screens):
            screen()
            for _ in range(2):
                with contextlib.suppress(KioskError):
                    floor.desk._obey(command)
        kinds = {type(event.payload).__name__ for event in floor.new_events()}
        assert kinds <= {"LabelSeen"} and {event.person_id for event in floor.new_events()} <= {None}
