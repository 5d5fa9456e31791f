"""The kiosk's program in versions side by side, one of them current: how an update is staged, tried and taken back.

    FOLDER/versions/0.1.0/     a virtual environment with that version
    FOLDER/current             a link to the one that runs
    FOLDER/before              a link to the one that ran before it
    FOLDER/trial.json          while a new version has not proved itself: what to go back to, and how often it began

A link is changed in one step, so a power cut leaves the old version or the new one. The session (`installing.py`)
counts the starts of a version on trial and takes it back after three that did not last; `settle` ends the trial.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import zipfile
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import msgspec
from packaging.version import InvalidVersion, Version

from kiosk.errors import UpdateRefused
from kiosk.language import tr

ENVIRONMENT = "KIOSK_PROGRAM"
"""Names the folder to a kiosk that runs from it."""
WHEEL_NAME = re.compile(r"shaft_and_belt_kiosk-(?P<version>[0-9][0-9A-Za-z.]*)-py3-none-any\.whl", re.ASCII)
TRIAL_STARTS = 3
_OURS = re.compile(r"(kiosk|labels|demo_shop|(__editable__.*)?shaft_and_belt_kiosk.*)", re.ASCII)
_PIP_TIMEOUT_S = 1800
_KEPT = 3

Say = Callable[[str], None]


@dataclass(frozen=True)
class Trial:
    """A version that has not proved itself yet.

    Args:
        version: What is tried. `before`: what to go back to.
        shop: The shop's folder. `backup`: its records as they were before the update, '' if there were none.
        starts: How often it began.
    """

    version: str
    before: str
    shop: str
    backup: str
    starts: int = 0


class Program:
    """The folder of versions.

    Args:
        folder: Made with the first version; the kiosk's user must be able to write to it.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def current(self) -> str | None:
        """Return the version that runs, None before the first."""
        return self._linked("current")

    def before(self) -> str | None:
        """Return the version that ran before it, None if there was none or it is gone."""
        return self._linked("before")

    def versions(self) -> list[str]:
        """Return every version that is there whole."""
        return sorted(path.parent.parent.name for path in self.folder.glob("versions/*/bin/kiosk"))

    def path(self, version: str) -> Path:
        """Return a version's environment."""
        return self.folder / "versions" / version

    def python(self, version: str) -> Path:
        """Return a version's Python."""
        return self.path(version) / "bin" / "python"

    def stage(self, wheel: Path, python: Path, like: Path, say: Say) -> str:
        """Install a wheel as a version of its own, beside the others; nothing is switched.

        What the kiosk is built on is taken over from a version that works, so that a wheel alone is enough; a wheel
        that asks for more finds it in its own folder, or is refused.

        Args:
            wheel: The update. `python`: makes the environment.
            like: The `site-packages` to take libraries over from.

        Raises:
            UpdateRefused: not our wheel, damaged, there already, or it cannot be installed.
        """
        version = version_of(wheel)
        if version in self.versions():
            raise UpdateRefused(tr("Version {version} is installed already.").format(version=version))
        target = self.path(version)
        shutil.rmtree(target, ignore_errors=True)
        try:
            say(tr("Installing version {version} beside the one that runs").format(version=version))
            _run([str(python), "-m", "venv", "--without-pip", str(target)])
            site = _site_packages(target)
            _take_over(like, site)
            _run([str(self.python(version)), "-m", "pip", "install", "--quiet", "--disable-pip-version-check",
                  "--no-index", "--find-links", str(wheel.parent), "--no-warn-script-location", str(wheel)])
        except BaseException:
            shutil.rmtree(target, ignore_errors=True)
            raise
        return version

    def switch(self, version: str) -> None:
        """Make a version current, in one step."""
        before = self.current()
        if before is not None and before != version:
            self._link("before", before)
        self._link("current", version)
        self._clear_out()

    def remove(self, version: str) -> None:
        """Remove a version that was staged and not taken."""
        shutil.rmtree(self.path(version), ignore_errors=True)

    # --- the trial ---

    def trial(self) -> Trial | None:
        """Return the trial that is under way."""
        try:
            return msgspec.json.decode((self.folder / "trial.json").read_bytes(), type=Trial)
        except (OSError, msgspec.MsgspecError):
            return None

    def begin_trial(self, trial: Trial) -> None:
        """Begin a trial, or count another start of it."""
        part = self.folder / "trial.json.part"
        part.write_bytes(msgspec.json.encode(trial))
        os.replace(part, self.folder / "trial.json")

    def settle(self) -> None:
        """The version that runs has proved itself."""
        (self.folder / "trial.json").unlink(missing_ok=True)

    # --- links ---

    def _linked(self, name: str) -> str | None:
        try:
            version = Path(os.readlink(self.folder / name)).name
        except OSError:
            return None
        return version if version in self.versions() else None

    def _link(self, name: str, version: str) -> None:
        part = self.folder / f"{name}.part"
        part.unlink(missing_ok=True)
        part.symlink_to(Path("versions") / version)
        os.replace(part, self.folder / name)

    def _clear_out(self) -> None:
        """Keep the current version, the one before it and the newest other."""
        kept = {self.current(), self.before()}
        others = sorted((path for path in (self.folder / "versions").iterdir() if path.name not in kept),
                        key=lambda path: path.stat().st_mtime, reverse=True)
        for path in others[_KEPT - 2:]:
            shutil.rmtree(path, ignore_errors=True)


def version_of(wheel: Path) -> str:
    """Return the version of one of our wheels.

    Raises:
        UpdateRefused: another name, no file, or a file that did not arrive whole.
    """
    match = WHEEL_NAME.fullmatch(wheel.name)
    if match is None or not is_version(match["version"]):
        raise UpdateRefused(tr("{name} is no update of this kiosk. Its name must be like "
                               "shaft_and_belt_kiosk-1.2.0-py3-none-any.whl.").format(name=wheel.name))
    try:
        with zipfile.ZipFile(wheel) as archive:
            damaged = archive.testzip()
    except (OSError, EOFError, zipfile.BadZipFile, zlib.error) as error:
        raise UpdateRefused(tr("The update {name} cannot be read. Copy it to the stick again.").format(name=wheel.name),
                            repr(error)) from error
    if damaged:
        raise UpdateRefused(tr("The update {name} did not arrive whole. Copy it to the stick again.").format(
            name=wheel.name), damaged)
    return match["version"]


def is_version(text: str) -> bool:
    """Say whether a text is a version as Python packages write them (PEP 440)."""
    try:
        Version(text)
    except InvalidVersion:
        return False
    return True


def _site_packages(environment: Path) -> Path:
    return next(environment.glob("lib/python3*/site-packages"))


def _take_over(source: Path, target: Path) -> None:
    """Take over every library but our own packages: linked where they lie on one disk, else copied."""
    for path in source.iterdir():
        if _OURS.fullmatch(path.name) or path.name == "__pycache__":
            continue
        if path.is_dir():
            shutil.copytree(path, target / path.name, copy_function=_link_or_copy, dirs_exist_ok=True,
                            ignore=shutil.ignore_patterns("__pycache__"))
        else:
            _link_or_copy(str(path), str(target / path.name))


def _link_or_copy(source: str, target: str) -> None:
    try:
        os.link(source, target)
    except OSError:
        shutil.copy2(source, target)


def _run(command: Sequence[str]) -> None:
    """Run a command.

    Raises:
        UpdateRefused: it did not end well.
    """
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=_PIP_TIMEOUT_S, check=False)
    except (OSError, subprocess.TimeoutExpired) as error:
        raise UpdateRefused(tr("The update could not be installed; the kiosk is as it was."), repr(error)) from error
    if done.returncode:
        raise UpdateRefused(tr("The update could not be installed; the kiosk is as it was. It may need libraries that "
                               "are not on the stick."), (done.stderr or done.stdout)[-2000:])
