"""Every role through the presenters, on real records of the demo yard: what is refused is refused at the journal.

Each action is done as far as the screens let it. Whatever the screens allow, the records must hold nothing that the
person's role does not permit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from pin_kiosk import through_cautions

from kiosk.entities import Role, Scan, ScanSource
from kiosk.pin_desk import PinDesk, at_once
from kiosk.presenters.desk import Desk
from kiosk.presenters.helpers import Helpers
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


@pytest.fixture(params=list(NAMES), ids=lambda role: role or "nobody")
def floor(request: pytest.FixtureRequest, yard: Path) -> Iterator[Floor]:
    """Return a desk with a person of the role signed in, by badge and PIN where the yard asks for one."""
    with Shop.open(yard) as shop:
        helpers = Helpers(shop.records, shop.sheets, shop.press, shop.reports, utc_now, new_id,
                          floor_settings(shop.config), lambda _: None, PinDesk(shop.pins, at_once))
        desk = Desk(helpers, lambda *_: None)
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
