"""Answers `ports.ThisKiosk`: the computer that this kiosk stands on, its devices, its versions."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from kiosk.config import load_config
from kiosk.errors import UpdateRefused
from kiosk.language import tr
from kiosk.presenters.ports import DeviceChoice, PartCheck
from kiosk.settings_file import change_setting
from kiosk.wall.updating import update, wheels_on_sticks
from kiosk.wall.versions import ENVIRONMENT, Program

PACKAGE = "shaft-and-belt-kiosk"


class Standing:
    """One kiosk on one computer.

    Args:
        folder: The shop's folder.
        end: Ends the window.
    """

    def __init__(self, folder: Path, end: Callable[[], None]) -> None:
        self._folder, self._end = folder, end

    @property
    def program(self) -> str:
        """The version that runs."""
        try:
            return version(PACKAGE)
        except PackageNotFoundError:
            return tr("from the source")

    @property
    def can_start_again(self) -> bool:
        """Whether a session started this kiosk, which starts it again."""
        return ENVIRONMENT in os.environ

    def checks(self) -> Sequence[PartCheck]:
        """Try every part; what the window itself holds now (camera, scanner) is in use and not tried again."""
        from kiosk.wall.checks import all_checks

        return list(all_checks(self._folder))

    def setting(self, device: str) -> str:
        """The setting in kiosk.toml."""
        return str(getattr(load_config(self._folder), device))

    def devices(self, device: str) -> Sequence[DeviceChoice]:
        """What is plugged in."""
        from kiosk.wall import devices

        return {"scanner": devices.scanners, "camera": devices.cameras, "printer": devices.printers}[device]()

    def choose(self, device: str, setting: str) -> None:
        """Write the setting."""
        change_setting(self._folder, device, setting)

    def updates(self) -> Sequence[Path]:
        """Updates on sticks."""
        return wheels_on_sticks()

    def update(self, path: Path) -> str:
        """Install one.

        Raises:
            UpdateRefused: this kiosk does not run from a folder of versions, or the update is not good.
        """
        if not self.can_start_again:
            raise UpdateRefused(tr("This kiosk was not installed by `kiosk install`, so it cannot update itself. "
                                   "Use the way it was installed."))
        return update(self._folder, Program(Path(os.environ[ENVIRONMENT])), path, Path(sys.executable), lambda _: None)

    def start_again(self) -> None:
        """End the window."""
        self._end()
