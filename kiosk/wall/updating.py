"""An update from a wheel file, rehearsed on a copy of the records, taken back with the records where it does not last.

The new version is installed beside the old one, opens a copy of the records (its migrations run there) and verifies
them. Only then are the records backed up and the versions switched. The session counts the starts of the new version
(`count_start`) and goes back by itself after three that did not last a minute.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sysconfig
import tempfile
from dataclasses import replace
from pathlib import Path

from packaging.version import Version

from kiosk.config import FILE_NAME as SHOP_FILE
from kiosk.config import load_config
from kiosk.errors import UpdateRefused
from kiosk.language import tr
from kiosk.wall.versions import ENVIRONMENT, TRIAL_STARTS, WHEEL_NAME, Program, Say, Trial, is_version, version_of

LASTED_S = 60
"""A version that ran so long has proved itself. [s]"""
_REHEARSAL_TIMEOUT_S = 900
_STICKS = ("/media", "/run/media", "/mnt")


def update(shop: Path, program: Program, wheel: Path, python: Path, say: Say) -> str:
    """Install a wheel, rehearse it, back the records up and make it current; it runs from the next start on.

    Args:
        shop: The shop's folder. `wheel`: the update. `python`: makes the new environment.
        say: Told each step, in words for the operator.

    Returns:
        The new version.

    Raises:
        UpdateRefused: it cannot be installed, is older than what runs, or does not work on a copy of the records.
    """
    running = program.current()
    version = version_of(wheel)
    if running is not None and Version(version) <= Version(running):
        raise UpdateRefused(tr("{version} is not newer than the version that runs, {running}.").format(
            version=version, running=running))
    like = _libraries(program, running)
    program.stage(wheel, python, like, say)
    try:
        backup = _rehearse(shop, program.python(version), say)
    except BaseException:
        program.remove(version)
        raise
    if running is not None:
        program.begin_trial(Trial(version, running, str(shop.resolve()), str(backup) if backup else ""))
    program.switch(version)
    say(tr("Version {version} runs from the next start on.").format(version=version))
    return version


def count_start(program: Program, say: Say) -> bool:
    """Count a start of the version on trial; take it back when it began too often. Called before each start.

    Returns:
        Whether the version before was taken back.
    """
    trial = program.trial()
    if trial is None or trial.version != program.current():
        return False
    if trial.starts >= TRIAL_STARTS:
        say(tr("Version {version} does not stay up; going back to {before}.").format(
            version=trial.version, before=trial.before))
        take_back(program, say)
        return True
    program.begin_trial(replace(trial, starts=trial.starts + 1))
    return False


def take_back(program: Program, say: Say) -> str:
    """Go back to the version before, and where that cannot open the records any more, to its backup of them.

    What was entered since is carried over where the older version understands it; the newer file is kept aside.

    Raises:
        UpdateRefused: there is no version to go back to.
    """
    trial = program.trial()
    before = trial.before if trial else program.before()
    if before is None or before not in program.versions():
        raise UpdateRefused(tr("There is no earlier version to go back to."))
    if trial and trial.backup:
        _put_records_back(program.python(before), Path(trial.shop), Path(trial.backup), say)
    program.switch(before)
    program.settle()
    say(tr("Version {version} runs from the next start on.").format(version=before))
    return before


def wheels_on_sticks(folders: tuple[str, ...] = _STICKS) -> list[Path]:
    """Return the updates on USB sticks that are plugged in, the newest version first."""
    found = [path for folder in folders for depth in ("*", "*/*", "*/*/*")
             for path in Path(folder).glob(f"{depth}.whl") if WHEEL_NAME.fullmatch(path.name)]
    return sorted({path for path in found if is_version(_version_in_name(path))},
                  key=lambda path: Version(_version_in_name(path)), reverse=True)


def _version_in_name(path: Path) -> str:
    match = WHEEL_NAME.fullmatch(path.name)
    return match["version"] if match else ""


def _libraries(program: Program, running: str | None) -> Path:
    if running is None:
        return Path(sysconfig.get_path("purelib"))
    return next(program.path(running).glob("lib/python3*/site-packages"))


def _rehearse(shop: Path, python: Path, say: Say) -> Path | None:
    """Open a copy of the records with a new version; return the verified backup it was made from."""
    say(tr("Trying it on a copy of the records"))
    config = load_config(shop)
    backup = _back_up(shop, python)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        shutil.copy(shop / SHOP_FILE, copy)
        if (shop / config.sheets).is_dir():
            shutil.copytree(shop / config.sheets, copy / config.sheets)
        if backup:
            (copy / config.database).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(backup, copy / config.database)
        failed = _kiosk(python, "verify", "--shop", str(copy))
    if failed:
        raise UpdateRefused(tr("The update does not work with this yard's records; the kiosk is as it was."), failed)
    return backup


def _back_up(shop: Path, python: Path) -> Path | None:
    from kiosk.records.backup import backup

    config = load_config(shop)
    database = shop / config.database
    if not database.exists():
        return None
    folder = shop / config.backups
    folder.mkdir(parents=True, exist_ok=True)
    stem = f"before-update-{python.parent.parent.name}"
    names = (folder / f"{stem}{again}.db" for again in ("", *(f"-{number}" for number in range(2, 1000))))
    return backup(database, next(path for path in names if not path.exists())).path


def _put_records_back(python: Path, shop: Path, backup: Path, say: Say) -> None:
    if not _kiosk(python, "verify", "--shop", str(shop)):
        return  # it opens the records as they are
    say(tr("The earlier version cannot open the records; they go back to the backup made before the update."))
    failed = _kiosk(python, "restore", str(backup), "--shop", str(shop))
    if failed:
        failed = _kiosk(python, "restore", str(backup), "--without-newer", "--shop", str(shop))
        say(tr("What was entered since the update is in the file that was kept aside only."))
    if failed:
        raise UpdateRefused(tr("The records could not be put back; the file is as it was. Call `kiosk restore`."),
                            failed)


def _kiosk(python: Path, *arguments: str) -> str:
    """Call a version's own command; return what it said on failing, '' when it went well."""
    environment = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", ENVIRONMENT)}
    try:
        done = subprocess.run([str(python), "-m", "kiosk", *arguments], capture_output=True, text=True, check=False,
                              env=environment, cwd=python.parent, timeout=_REHEARSAL_TIMEOUT_S)
    except (OSError, subprocess.TimeoutExpired) as error:
        return repr(error)
    return "" if done.returncode == 0 else (done.stderr or done.stdout or "failed")[-2000:]
