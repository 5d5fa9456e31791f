"""kiosk.toml of the shop's folder → one frozen Config. An unknown key is an error; every default is written here.

The shop's folder holds all of a shop's data (kiosk.toml, sheets, database, labels, reports, backups); nothing of it
lives inside the package.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import parse_qs, urlsplit
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import msgspec

from kiosk.errors import ConfigError
from kiosk.language import LANGUAGES
from labels.printer_address import is_printer_address

FILE_NAME = "kiosk.toml"
LONGEST_ZONE = 64


@dataclass(frozen=True)
class Config:
    """What a shop sets for one kiosk.

    Args:
        kiosk: This kiosk's number, 0..99; it is part of every label number it issues.
        database: File of the records, relative to the shop's folder.
        sheets: Folder of the service sheets. `labels`, `reports`, `backups`, `photos`: folders for what the kiosk
            writes.
        backup_every_hours: How old the newest backup may become before the kiosk takes another. [h] 0: none by itself
        backup_second: '' for none, else a folder on another disk (a USB stick) that gets every backup too.
        time_zone: IANA name; shifts and dates are local.
        shift_starts: Local times at which shifts begin, 'HH:MM'. `shift_names`: their names, as many.
        units: 'in' or 'mm', for people whose badge says nothing else.
        language: 'en', 'es', 'de' or 'fr', while nobody is signed in and for reports made without a person.
        scanner: '' for one that types as a keyboard; the name or 'vendor:product' of a USB scanner that the kiosk holds
            for itself.
        camera: '' for none, a device number ('0'), a video file or a stream URL.
        width, height: Window size. [px] `ppi`: the panel's pixels per inch; touch targets are laid out by it.
        full_screen: Borderless over the whole screen, without a mouse cursor.
        idle_logout_s: A person is logged out after this long without a touch. [s]
        pin_for: Who proves a badge by a PIN: 'leads' (leads and supervisors), 'all' or 'nobody'.
        pin_pepper: File of the key that goes into every PIN's hash; better outside the shop's folder.
        page: 'Letter' or 'A4' for reports.
        label_width_mm, label_height_mm, label_dpi: The label stock.
        label_bar_reduction_dots: Each bar is drawn this much narrower, for printers whose bars spread. [dots]
        hub: '' for a kiosk by itself, else the PostgreSQL of the yard: 'postgresql://host/yard'. No secret in it.
        hub_secret: File with this kiosk's secret for the hub, readable for nobody else. '': the hub asks for none.
        printer: '' for labels as PDF, else the label printer's or queue's address: 'ipp://printer/ipp/print'.
    """

    kiosk: int = 1
    database: str = "kiosk.db"
    sheets: str = "sheets"
    labels: str = "labels"
    reports: str = "reports"
    backups: str = "backups"
    photos: str = "photos"
    time_zone: str = "UTC"
    shift_starts: tuple[str, ...] = ("06:00", "14:00", "22:00")
    shift_names: tuple[str, ...] = ("early", "late", "night")
    backup_every_hours: float = 12.0
    backup_second: str = ""
    units: str = "in"
    language: str = "en"
    scanner: str = ""
    camera: str = ""
    width: int = 1280
    height: int = 800
    ppi: float = 126.0
    full_screen: bool = False
    idle_logout_s: int = 600
    pin_for: str = "leads"
    pin_pepper: str = "pin.pepper"
    page: str = "Letter"
    label_width_mm: float = 51.0
    label_height_mm: float = 25.0
    label_dpi: int = 203
    label_bar_reduction_dots: int = 0
    printer: str = ""
    hub: str = ""
    hub_secret: str = "hub.secret"


def load_config(folder: Path) -> Config:
    """Return the Config of a shop's folder.

    Raises:
        ConfigError: no folder or file, TOML that cannot be read, an unknown key, a value that is not possible.
    """
    path = folder / FILE_NAME
    try:
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise ConfigError(
            f"There is no shop at {folder}: {FILE_NAME} cannot be read ({error.strerror}). Name the shop's folder."
        ) from error
    except UnicodeDecodeError as error:
        raise ConfigError(f"{path} is not text (UTF-8).", repr(error)) from error
    return parse_config(text, str(path))


def parse_config(text: str, name: str = FILE_NAME) -> Config:
    """Return the Config that a kiosk.toml's text says; see `load_config`."""
    try:
        settings = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise ConfigError(f"{name} is not valid TOML: {error}.") from error
    known = Config.__dataclass_fields__
    unknown = sorted(set(settings) - set(known))
    if unknown:
        raise ConfigError(f"{name} has a setting '{unknown[0]}' that the kiosk does not know. It knows: "
                          f"{', '.join(sorted(known))}.")
    try:
        config = msgspec.convert(settings, Config)
    except msgspec.ValidationError as error:
        raise ConfigError(f"{name}: {error}.") from error
    _check(config, name)
    return config


def _check(config: Config, name: str) -> None:
    wrong = [
        (not 0 <= config.kiosk <= 99, "'kiosk' must be a number from 0 to 99"),
        (config.units not in ("in", "mm"), "'units' must be \"in\" or \"mm\""),
        (config.language not in LANGUAGES, f"'language' must be one of: {', '.join(LANGUAGES)}"),
        (config.pin_for not in ("leads", "all", "nobody"), "'pin_for' must be \"leads\", \"all\" or \"nobody\""),
        (not config.pin_pepper, "'pin_pepper' must name a file"),
        (config.page not in ("Letter", "A4"), "'page' must be \"Letter\" or \"A4\""),
        (not config.shift_starts, "'shift_starts' needs at least one time"),
        (len(config.shift_names) != len(config.shift_starts), "'shift_names' needs one name for each shift start"),
        (not all(map(_is_clock_time, config.shift_starts)), "'shift_starts' must be times like \"06:00\""),
        (not _is_time_zone(config.time_zone), f"'time_zone' {config.time_zone!r} is not known here"),
        (not (640 <= config.width <= 7680 and 480 <= config.height <= 4320), "'width' and 'height' are not a screen's"),
        (not 50 <= config.ppi <= 600, "'ppi' must be between 50 and 600"),
        (config.hub != "" and not _is_hub_address(config.hub),
         "'hub' must be an address like \"postgresql://host/yard\" without a secret; that goes into 'hub_secret'"),
        (config.printer != "" and not is_printer_address(config.printer),
         "'printer' must be an address like \"ipp://printer/ipp/print\""),
        (not 0 <= config.backup_every_hours <= 24 * 31, "'backup_every_hours' must be 0 to 744"),
        (config.idle_logout_s < 30, "'idle_logout_s' must be 30 or more"),
    ]
    for is_wrong, sentence in wrong:
        if is_wrong:
            raise ConfigError(f"{name}: {sentence}.")


def _is_hub_address(text: str) -> bool:
    if not text.startswith(("postgresql://", "postgres://")) or not text.isprintable():
        return False
    try:
        parts = urlsplit(text)
    except ValueError:
        return False
    return ":" not in parts.netloc.rpartition("@")[0] and "password" not in parse_qs(parts.query)


def _is_clock_time(text: str) -> bool:
    hours, colon, minutes = text.partition(":")
    return bool(colon) and len(hours) == len(minutes) == 2 and (hours + minutes).isdigit() and (
        int(hours) < 24 and int(minutes) < 60
    )


def _is_time_zone(name: str) -> bool:
    if len(name) > LONGEST_ZONE:
        return False
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
