"""The pages of the kiosk itself: parts tried, devices chosen, an update installed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.entities import Role
from kiosk.errors import UpdateRefused
from kiosk.presenters.kiosk_pages import DevicePage, HealthPage, ThisKioskPage, UpdatePage
from kiosk.presenters.ports import DeviceChoice, PartCheck


class Wall:
    """Stands for the computer; what it is told to choose and install is kept."""

    program = "1.0.0"
    can_start_again = True

    def __init__(self) -> None:
        self.settings = {"scanner": "", "camera": "0", "printer": ""}
        self.found = (DeviceChoice("Hand scanner (1234:5678)", "1234:5678"),)
        self.installed: list[Path] = []
        self.ended = 0

    def checks(self) -> list[PartCheck]:
        return [PartCheck("records", True, "12 entries"), PartCheck("disk", False, "full", "Move old reports.")]

    def setting(self, device: str) -> str:
        return self.settings[device]

    def devices(self, device: str) -> tuple[DeviceChoice, ...]:
        return self.found

    def choose(self, device: str, setting: str) -> None:
        self.settings[device] = setting

    def updates(self) -> list[Path]:
        return [Path("/media/stick/shaft_and_belt_kiosk-1.1.0-py3-none-any.whl")]

    def update(self, path: Path) -> str:
        if self.installed:
            raise UpdateRefused("Version 1.1.0 is installed already.")
        self.installed.append(path)
        return "1.1.0"

    def start_again(self) -> None:
        self.ended += 1


@pytest.fixture
def wall(yard) -> Wall:
    """Return the computer of a yard where a supervisor is signed in."""
    person = replace(yard.records.person_list[0], role=Role.SUPERVISOR)
    yard.records.person_list[0] = person
    yard.desk.session.sign_in(person)
    wall = Wall()
    yard.desk.helpers = yard.helpers = replace(yard.helpers, this_kiosk=wall)
    return wall


def test_health__what_fails_stands_first_with_what_to_do(yard, wall):
    """One glance says whether somebody must act."""
    yard.desk.open_page(HealthPage(yard.desk))
    first, second = yard.state.rows
    assert (first.title, first.lines, first.mark.word) == ("Disk", ("full", "Move old reports."), "fails")
    assert second.mark.word == "fine" and yard.state.note == "1 of 2 do not work."


def test_device__chosen_by_touch__is_written_and_marked(yard, wall):
    """The one in use is told by word; the choice holds from the next start on."""
    yard.desk.open_page(DevicePage(yard.desk, "scanner"))
    assert [row.mark.word for row in yard.state.rows] == ["", "fine"]
    yard.screen.press("1234:5678")
    assert wall.settings["scanner"] == "1234:5678" and "started again" in yard.state.note
    assert [row.mark.word for row in yard.state.rows] == ["fine", ""]


def test_device__set_but_not_plugged_in__is_still_listed(yard, wall):
    """A camera that was pulled out must not look as if none was ever set."""
    wall.found = ()
    yard.desk.open_page(DevicePage(yard.desk, "camera"))
    assert "not found now" in yard.state.rows[0].title and "plug" in yard.state.note


def test_update__installed_from_the_stick__says_when_it_runs(yard, wall):
    """A second touch is refused with the sentence of the installer, and the page stays."""
    yard.desk.open_page(UpdatePage(yard.desk))
    (row,) = yard.state.rows
    yard.screen.press(row.key)
    assert wall.installed and "1.1.0 runs when" in yard.state.note
    yard.screen.press(row.key)
    assert "installed already" in yard.state.frame.message.text


def test_start_again__writes_what_was_typed_first_and_ends(yard, wall):
    """Nothing typed is lost by it; where nothing would start the kiosk again, it cannot be touched."""
    yard.desk.open_page(ThisKioskPage(yard.desk))
    yard.screen.press("again")
    assert wall.ended == 1
    wall.can_start_again = False
    yard.screen.refresh()
    assert [row.enabled for row in yard.state.rows if row.key == "again"] == [False]


def test_pages__mechanic__is_refused(yard, wall):
    """Devices and updates are a lead's or supervisor's."""
    yard.desk.session.sign_in(replace(yard.records.person_list[0], role=Role.MECHANIC))
    with pytest.raises(Exception, match="lead or a supervisor"):
        ThisKioskPage(yard.desk)
