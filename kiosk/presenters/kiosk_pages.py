"""The pages of the kiosk itself: what works, which devices it uses, its version and updates."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from kiosk.errors import NotFound
from kiosk.language import N_, tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import BAD, PageRow
from kiosk.presenters.ports import DeviceChoice, PartCheck, ThisKiosk
from kiosk.presenters.words import FINE, NOTHING, mark

FAILS = mark(N_("fails"), BAD)
DEVICES = {"scanner": N_("Hand scanner"), "camera": N_("Camera"), "printer": N_("Label printer")}
_NONE = {"scanner": N_("one that types as a keyboard"), "camera": N_("none"), "printer": N_("none: labels become PDF")}


def _check_row(check: PartCheck) -> PageRow:
    lines = tuple(filter(None, (check.found, check.advice)))
    return PageRow(check.part, check.part[:1].upper() + check.part[1:], lines, FINE if check.works else FAILS,
                   enabled=False)


def _choice_row(choice: DeviceChoice, is_chosen: bool) -> PageRow:
    lines = tuple(filter(None, (_short(choice.setting), tr("in use") if is_chosen else "")))
    return PageRow(choice.setting, choice.name, lines, FINE if is_chosen else NOTHING)


def _short(setting: str) -> str:
    """Return a setting as it is told: of a printer's address, what stands last."""
    return setting.rsplit("/", 1)[-1] if "://" in setting else setting


class KioskPage(PagePresenter):
    """Root of these pages."""

    @property
    def standing(self) -> ThisKiosk:
        """The computer that the kiosk stands on.

        Raises:
            NotFound: this program knows of none.
        """
        if self.helpers.this_kiosk is None:
            raise NotFound(tr("This kiosk cannot tell what it stands on."))
        return self.helpers.this_kiosk


class ThisKioskPage(KioskPage):
    """The way in."""

    title = N_("This kiosk")

    def rows(self) -> tuple[PageRow, ...]:
        """Return where one can go."""
        standing = self.standing
        devices = [PageRow(device, tr(name), (_short(standing.setting(device)) or tr(_NONE[device]),), NOTHING)
                   for device, name in DEVICES.items()]
        again = (tr("So that what was chosen holds"),) if standing.can_start_again else (
            tr("Close and open the window by hand: nothing here starts it again"),)
        return (
            PageRow("health", tr("Try every part"), (tr("Records, disk, backups, devices"),), NOTHING),
            *devices,
            PageRow("update", tr("Update from a stick"), (tr("Version {version} runs").format(
                version=standing.program),), NOTHING),
            PageRow("again", tr("Start the kiosk again"), again, NOTHING, enabled=standing.can_start_again),
        )

    def pressed(self, key: str) -> None:
        """Open a page, or end the kiosk so that it is started again."""
        if key == "again":
            self.desk.drafts.write()
            self.standing.start_again()
            return
        pages: dict[str, Callable[[Navigation], PagePresenter]] = {"health": HealthPage, "update": UpdatePage}
        self.desk.open_page(pages.get(key, partial(DevicePage, device=key))(self.desk))


class HealthPage(KioskPage):
    """Every part tried, what fails first."""

    title = N_("What works here")
    empty_text = ""

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self._checks: Sequence[PartCheck] = ()
        self.note = tr("Trying every part") + " …"
        self.helpers.run_slow(self.standing.checks, self._tried, self._failed, tr("Trying every part"))

    def rows(self) -> tuple[PageRow, ...]:
        """Return the parts, to be read."""
        return tuple(map(_check_row, sorted(self._checks, key=lambda check: check.works)))

    def _tried(self, checks: Sequence[PartCheck]) -> None:
        self._checks = checks
        failing = sum(not check.works for check in checks)
        self.note = tr("Everything works.") if not failing else tr("{failing} of {all} do not work.").format(
            failing=failing, all=len(checks))
        if self.desk.is_current(self):
            self.refresh()


class DevicePage(KioskPage):
    """What is plugged in, to be chosen from."""

    def __init__(self, desk: Navigation, device: str) -> None:
        super().__init__(desk)
        self.title = tr(DEVICES[device])
        self._device = device
        self._found: Sequence[DeviceChoice] = ()
        self.note = tr("Looking for what is plugged in") + " …"
        self.helpers.run_slow(lambda: self.standing.devices(device), self._looked, self._failed,
                              tr("Looking for what is plugged in"))

    def rows(self) -> tuple[PageRow, ...]:
        """Return what can be chosen; the one in use is marked."""
        chosen = self.standing.setting(self._device)
        none = DeviceChoice(tr(_NONE[self._device]), "")
        known = [*self._found, none]
        if chosen not in [choice.setting for choice in known]:
            known.insert(0, DeviceChoice(tr("{setting} (not found now)").format(setting=chosen), chosen))
        return tuple(_choice_row(choice, choice.setting == chosen) for choice in known)

    def pressed(self, key: str) -> None:
        """Choose a device."""
        self.standing.choose(self._device, key)
        self.note = tr("Chosen. It holds when the kiosk is started again.")
        self.helpers.feedback("saved")

    def _looked(self, found: Sequence[DeviceChoice]) -> None:
        self._found = found
        self.note = tr("Touch the one that the kiosk is to use.") if found else tr(
            "Nothing was found. Look at its plug, and open this page again.")
        if self.desk.is_current(self):
            self.refresh()


class UpdatePage(KioskPage):
    """Updates on the sticks that are plugged in."""

    title = N_("Update from a stick")
    empty_text = N_("No update was found. Plug in a stick with the file of the new version.")

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self.note = tr("Version {version} runs").format(version=self.standing.program)

    def rows(self) -> tuple[PageRow, ...]:
        """Return the updates, the newest first."""
        return tuple(PageRow(str(path), path.name.split("-")[1], (path.name, tr(
            "It is tried on a copy of the records first.")), NOTHING) for path in self.standing.updates())

    def pressed(self, key: str) -> None:
        """Install an update, off the screen's thread."""
        self.later(lambda: tr("Version {version} runs when the kiosk is started again.").format(
            version=self.standing.update(Path(key))), tr("Installing the update"))
