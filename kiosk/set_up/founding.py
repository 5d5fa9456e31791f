"""The first run: a shop's folder made of the packaged templates, and the yard's first entries.

There is no default supervisor and no default PIN: the badge gets its number here, and its owner chooses the PIN on
the pad when the badge is first used.
"""

from __future__ import annotations

import os
import shutil
import zoneinfo
from collections.abc import Iterator, Mapping
from pathlib import Path

from kiosk.config import FILE_NAME, parse_config
from kiosk.entities import LabelKind, Person, Role
from kiosk.errors import ConfigError, RecordError
from kiosk.events import Event, PersonAdded, SheetAdopted, YardNamed
from kiosk.language import known, tr
from kiosk.presenters.set_up_ports import FirstYard
from kiosk.set_up.naming import id_for
from kiosk.set_up.new_units import issued
from kiosk.set_up.numbers import NumberSource
from kiosk.set_up.pen import Pen
from kiosk.set_up.templates import SHEETS
from kiosk.sheets import SheetShelf

AREAS = ("Africa", "America", "Antarctica", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific")
_LOCAL_TIME = Path("/etc/localtime")
_SETTINGS = """\
# This kiosk's settings; README.md lists every one with its default.
kiosk = {kiosk}
time_zone = "{time_zone}"
units = "{units}"
language = "{language}"
page = "{page}"
"""


def is_empty(folder: Path) -> bool:
    """Return whether a shop may be made in a folder: it is not there yet, or has nothing in it."""
    return not folder.exists() or (folder.is_dir() and not any(folder.iterdir()))


def make_folder(folder: Path, first: FirstYard | None = None) -> None:
    """Make a shop's folder: kiosk.toml, and the packaged sheets to begin with.

    Raises:
        ConfigError: the folder holds something, cannot be written, or a choice is not possible.
    """
    first = first or guessed()
    try:
        if not is_empty(folder):
            said = tr("The folder {folder} is not empty. Name a new one for the shop.")
            raise ConfigError(said.format(folder=folder))
        folder.mkdir(parents=True, exist_ok=True)
        shutil.copytree(SHEETS, folder / "sheets")
        write_settings(folder, first)  # last: a folder with kiosk.toml is a shop
    except OSError as error:
        raise ConfigError(tr("The folder {folder} cannot be made a shop: {why}.").format(
            folder=folder, why=error.strerror or error)) from error


def write_settings(folder: Path, first: FirstYard) -> None:
    """Write kiosk.toml as the first run chose.

    Raises:
        ConfigError: a choice is not possible, or the file cannot be written.
    """
    text = _SETTINGS.format(kiosk=first.kiosk, time_zone=first.time_zone, units=first.units, page=first.page,
                            language=first.language)
    parse_config(text)
    try:
        beside = folder / f"{FILE_NAME}.new"
        beside.write_text(text, encoding="utf-8")
        beside.replace(folder / FILE_NAME)
    except OSError as error:
        raise ConfigError(tr("{file} cannot be written in {folder}: {why}.").format(
            file=FILE_NAME, folder=folder, why=error.strerror or error)) from error


def guessed() -> FirstYard:
    """Return choices to begin with, as the computer is set up."""
    zone = _local_zone()
    is_american = zone.startswith("America/")
    return FirstYard(time_zone=zone, units="in" if is_american else "mm", page="Letter" if is_american else "A4",
                     language=known(os.environ.get("LANG", "")))


def time_zones() -> Mapping[str, tuple[str, ...]]:
    """Return {part of the world: its time zones}, and UTC by itself."""
    names = sorted(zoneinfo.available_timezones())
    zones = {area: tuple(name for name in names if name.startswith(f"{area}/")) for area in AREAS}
    return {**{area: found for area, found in zones.items() if found}, "UTC": ("UTC",)}


def founding_events(first: FirstYard, shelf: SheetShelf, numbers: NumberSource, pen: Pen) -> Iterator[Event]:
    """Yield the yard's first entries: its name, the sheets in force, the supervisor with a badge number.

    Raises:
        RecordError: a name is missing.
    """
    for name, what in ((first.yard, tr("yard's name")), (first.supervisor, tr("supervisor's name"))):
        if not name.strip():
            raise RecordError(tr("The {what} is missing.").format(what=what))
    yield pen.event(YardNamed(first.yard.strip()))
    for sheet in shelf.sheets():
        yield pen.event(SheetAdopted(sheet.key, sheet.revision, shelf.text(sheet.key)))
    badge, serial = numbers.take(LabelKind.BADGE)
    yield issued(badge, LabelKind.BADGE, serial, pen)
    name = first.supervisor.strip()
    yield pen.event(PersonAdded(Person(id_for(name, (), "crew-"), name, Role.SUPERVISOR, badge, first.units,
                                       first.language)))


def _local_zone() -> str:
    """Return the computer's time zone, UTC where it does not tell."""
    candidates = [os.environ.get("TZ", "").lstrip(":")]
    if _LOCAL_TIME.is_symlink():
        candidates.append(os.readlink(_LOCAL_TIME).partition("zoneinfo/")[2])
    known_zones = {name for names in time_zones().values() for name in names}
    return next((name for name in candidates if name in known_zones), "UTC")
