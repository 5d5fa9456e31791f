"""A shop opened without a window: its configuration, records, service sheets, label press and reports.

The kiosk's window, every command and the tests of the whole start here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from importlib.metadata import version
from pathlib import Path
from time import monotonic
from types import TracebackType
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from kiosk.config import Config, load_config
from kiosk.errors import ConfigError, StoreUnavailable
from kiosk.kiosk_clock import KioskClock
from kiosk.labelling import LabelPress
from kiosk.language import tr
from kiosk.photos import PhotoBook
from kiosk.pins import PinVault
from kiosk.presenters.settings import FloorSettings
from kiosk.records import YardRecords
from kiosk.records.hub.address import HubAddress, role_of
from kiosk.records.hub.box import this_box
from kiosk.records.hub.exchange import Exchange
from kiosk.records.ids import new_id
from kiosk.records.keeper import BackupKeeper
from kiosk.records.reading_only import TO_RESTORE, ReadingRecords, open_at_the_window, open_or_read
from kiosk.report_press import ReportPress
from kiosk.restoring import backups_of
from kiosk.sheets import SheetShelf
from kiosk.spoken_sheets import SpokenSheets
from labels.stock import LabelStock

if TYPE_CHECKING:
    from kiosk.print_queue import PrintQueue

PIN_FILE = "pins.json"
PHOTO_FOLDER = "photos"


def utc_now() -> datetime:
    """Return the time now. Aware UTC."""
    return datetime.now(UTC)


def floor_settings(config: Config) -> FloorSettings:
    """Return what the presenters need of a shop's settings."""
    return FloorSettings(
        time_zone=config.time_zone, shift_starts=tuple(time.fromisoformat(start) for start in config.shift_starts),
        shift_names=config.shift_names, idle_logout_s=config.idle_logout_s, units=config.units,
        language=config.language, pin_for=config.pin_for,
    )


@dataclass(frozen=True)
class Shop:
    """Everything of a shop but the window. Close it, or use it in a `with`."""

    folder: Path
    config: Config
    records: YardRecords
    sheets: SheetShelf
    press: LabelPress
    reports: ReportPress
    pins: PinVault
    clock: KioskClock
    keeper: BackupKeeper
    photos: PhotoBook

    @classmethod
    def open(cls, folder: Path, to_read: bool = False, at_window: bool = False, to_restore: bool = False) -> Shop:
        """Open the shop in a folder.

        Args:
            to_read: Where nothing can be saved, as on a full or read-only disk, open it to be read all the same;
                `trouble` says why.
            at_window: As `to_read`, and where the records cannot be read either, show the newest backup or an empty
                yard, so that a supervisor can restore.
            to_restore: Only read the records whatever they are: a supervisor wants to put a backup in their place.

        Raises:
            ConfigError, SheetError, StoreUnavailable: what is wrong, in a sentence for the operator.
        """
        config = load_config(folder)
        sheets = SheetShelf.load(folder / config.sheets)
        if at_window:
            records = _open_at_window(folder, config, to_restore)
        else:
            records = (open_or_read if to_read else YardRecords.open)(folder / config.database, config.kiosk)
        clock = KioskClock(utc_now, monotonic, records.trusted_time())
        stock = LabelStock(config.label_width_mm, config.label_height_mm, config.label_dpi,
                           config.label_bar_reduction_dots)
        queue = _print_queue(config, records, stock, clock) if config.printer else None
        press = LabelPress(records, config.kiosk, folder / config.labels, stock, clock, new_id, queue)
        photos = PhotoBook(folder / config.photos)
        reports = ReportPress(records, SpokenSheets(sheets),
                              folder / config.reports, floor_settings(config), config.page, clock,
                              photos=photos.path)
        pins = PinVault(folder / PIN_FILE, folder / config.pin_pepper, utc_now)
        second = Path(config.backup_second) if config.backup_second else None
        keeper = BackupKeeper(folder / config.database, folder / config.backups, second,
                              timedelta(hours=config.backup_every_hours), utc_now)
        return cls(folder, config, records, sheets, press, reports, pins, clock, keeper, photos)

    def exchange(self) -> Exchange:
        """Return what exchanges entries with the hub that kiosk.toml names; close it after use.

        Raises:
            ConfigError: it names none.
        """
        return self.exchange_of(self.records)

    def exchange_of(self, records: YardRecords) -> Exchange:
        """Return what exchanges the entries of other records in this shop's name."""
        config = self.config
        if not config.hub:
            raise ConfigError(tr("kiosk.toml names no hub. Set 'hub' to the yard's PostgreSQL."))
        secret = self.folder / config.hub_secret if config.hub_secret else None
        return Exchange(records, config.kiosk, HubAddress(config.hub, secret, role_of(config.kiosk)),
                        this_box(self.folder), version("shaft-and-belt-kiosk"), utc_now)

    @property
    def trouble(self) -> str:
        """Why nothing can be saved, '' if all is well."""
        return self.records.why.operator_message if isinstance(self.records, ReadingRecords) else ""

    def back_up_photos(self) -> str:
        """Put every photo on record beside the backups, on the second disk too; return what is wrong, '' if nothing.

        Photos have their content in their name, so that only those that are new are copied.
        """
        wanted = [kept.photo.sha256 for kept in self.records.photos()]
        folders = [self.folder / self.config.backups]
        if self.config.backup_second and Path(self.config.backup_second).is_dir():
            folders.append(Path(self.config.backup_second))
        troubles = [trouble for folder in folders
                    for trouble in self.photos.copy_to(folder / PHOTO_FOLDER, wanted).troubles]
        return f"Photos are missing from the backup. {troubles[0]}" if troubles else ""

    @property
    def way_on(self) -> str:
        """What can be done while nothing can be saved, '' if all is well."""
        if not isinstance(self.records, ReadingRecords):
            return ""
        if self.records.is_blank:
            return tr("No backup can be read either, so nobody's badge is known here. Put in the stick with the "
                      "backups and open the kiosk again, or restore at the desk with 'kiosk restore FILE'.")
        if self.records.shown:
            return tr("Shown is the backup {name} with what can be saved from the old file. A supervisor can restore: "
                      "scan the badge.").format(name=self.records.shown.name)
        if self.records.is_restorable:
            return tr("Histories can be read; nothing can be saved. A supervisor can restore: scan the badge.")
        return tr("Histories can be read; nothing can be saved.")

    @property
    def backup_folders(self) -> list[Path]:
        """Where backups are: the shop's folder, and the second disk's if there is one."""
        return _backup_folders(self.folder, self.config)

    @property
    def zone(self) -> ZoneInfo:
        """The shop's time zone."""
        return ZoneInfo(self.config.time_zone)

    def close(self) -> None:
        """Close the database."""
        self.records.close()

    def __enter__(self) -> Shop:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
                 ) -> None:
        self.close()


def _backup_folders(folder: Path, config: Config) -> list[Path]:
    second = [Path(config.backup_second)] if config.backup_second else []
    return [folder / config.backups, *second]


def _open_at_window(folder: Path, config: Config, to_restore: bool) -> YardRecords:
    why = None
    if to_restore:
        why = StoreUnavailable(tr("The records are closed, so that a backup can take their place."), "", TO_RESTORE)
    return open_at_the_window(folder / config.database, config.kiosk, backups_of(_backup_folders(folder, config)), why)


def _print_queue(config: Config, records: YardRecords, stock: LabelStock, clock: KioskClock) -> PrintQueue:
    """Return the queue before the printer; what speaks to one is loaded only where there is one."""
    from kiosk.print_queue import PrintQueue
    from labels.printer import Printer

    return PrintQueue(records, Printer(config.printer), stock, clock, new_id)
