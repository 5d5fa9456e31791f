"""Every part of a kiosk tried, from its settings to its devices, and what to do about each that fails.

`kiosk selfcheck` prints what comes of it, the kiosk's own health page shows it.
"""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.config import Config, load_config
from kiosk.errors import CameraLost, DeviceError, KioskError, ScannerLost, StoreUnavailable
from kiosk.language import tr, trn
from kiosk.one_window import FILE_NAME as WINDOW_LOCK
from kiosk.presenters.ports import PartCheck
from labels.errors import LabelError
from labels.number import Kind, compose, parse

if TYPE_CHECKING:
    from kiosk.records import YardRecords
    from labels.page import Page
    from labels.printer import PrintJob

# A command card of the kiosk number 0: none of a yard's labels.
TEST_NUMBER = compose(Kind.COMMAND_CARD, 0, 1).digits
PRINT_WAIT_S = 20.0
# A year of a large yard's entries and a backup of them.
LEAST_FREE_BYTES = 1 << 30
# Twice the schedule: one backup may be under way or have waited for a stick.
LATE_BACKUP_FACTOR = 2


def all_checks(folder: Path, prints_label: bool = False) -> Iterator[PartCheck]:
    """Yield what becomes of trying each part of the kiosk on a shop.

    Args:
        folder: The shop's folder.
        prints_label: Print a test label on the shop's printer too.
    """
    yield _tried(tr("settings"), lambda: tr("kiosk number {number}").format(number=load_config(folder).kiosk),
                 tr("Mend kiosk.toml as it says."))
    try:
        config = load_config(folder)
    except KioskError:
        config = Config()
    yield _tried(tr("service sheets"), lambda: _sheets(folder / config.sheets), tr("Mend the sheet's line as it says."))
    yield _tried(tr("records"), lambda: _records(folder / config.database, config.kiosk),
                 tr("Stop the kiosk and call `kiosk restore` with the newest backup."))
    yield _tried(tr("clock"), lambda: _clock(folder / config.database, config.kiosk),
                 tr("Set the computer's clock, or connect it to network time."))
    yield _tried(tr("disk"), lambda: _disk(folder), tr("Move old reports and backups to another disk."))
    if config.backup_every_hours:
        yield _tried(tr("backups"), lambda: _backups(folder, config),
                     tr("Call `kiosk backup`; put the second disk in if there is one."))
    yield _tried(tr("labels"), _label, tr("Install the system library libzbar0; reinstall the kiosk's package."))
    if config.printer:
        yield _tried(tr("printer"), lambda: _printer(config, prints_label),
                     tr("Check it, and 'printer' in kiosk.toml."))
    if config.scanner:
        yield _tried(tr("scanner"), lambda: _scanner(config.scanner),
                     tr("Check its plug; set 'scanner' in kiosk.toml."))
    if config.camera:
        yield _tried(tr("camera"), lambda: _camera(config.camera), tr("Check its plug; set 'camera' in kiosk.toml."))
    yield _tried(tr("window"), _window, tr("Install the system libraries libgl1 and libegl1."))


def _tried(part: str, attempt: Callable[[], str], advice: str) -> PartCheck:
    try:
        return PartCheck(part, True, attempt())
    except (KioskError, LabelError) as error:
        return PartCheck(part, False, error.operator_message, advice)
    except (ImportError, OSError) as error:
        return PartCheck(part, False, str(error), advice)


def _sheets(folder: Path) -> str:
    from kiosk.sheets import SheetShelf

    many = len(SheetShelf.load(folder).sheets())
    return trn("{many} sheet", "{many} sheets", many).format(many=many)


def _records(path: Path, kiosk: int) -> str:
    records = _open(path, kiosk)
    try:
        report = records.verify()
    finally:
        records.close()
    if report.first_bad is not None:
        raise StoreUnavailable(tr("The journal is not as it was saved.") + f" {report.first_bad.reason}")
    return trn("{many} entry, chain whole", "{many} entries, chain whole", report.entries).format(many=report.entries)


def _open(path: Path, kiosk: int) -> YardRecords:
    from kiosk.records import YardRecords

    if not path.exists():
        raise StoreUnavailable(tr("There is no database at {path}.").format(path=path))
    return YardRecords.open(path, kiosk)


def _clock(path: Path, kiosk: int) -> str:
    """Hold the system's clock against the last entry's time, as the kiosk does when it opens."""
    from kiosk.kiosk_clock import KioskClock

    records = _open(path, kiosk)
    try:
        trusted = records.trusted_time()
    finally:
        records.close()
    doubt = KioskClock(lambda: datetime.now(UTC), time.monotonic, trusted).doubt
    if doubt:
        raise DeviceError(tr("The computer says {system:%Y-%m-%d %H:%M}, the last entries say {kiosk:%Y-%m-%d %H:%M} "
                             "(both UTC).").format(system=doubt[0], kiosk=doubt[1]))
    return tr("it agrees with the last entries")


def _disk(folder: Path) -> str:
    free = shutil.disk_usage(folder).free
    if free < LEAST_FREE_BYTES:
        raise DeviceError(tr("Only {free:.1f} GB are free on the shop's disk.").format(free=free / 1e9))
    return tr("{free:.0f} GB free").format(free=free / 1e9)


def _backups(folder: Path, config: Config) -> str:
    """A kiosk that never ran has none yet; one that ran takes its first by itself."""
    from kiosk.records.keeper import newest_backup

    newest = newest_backup(folder / config.backups)
    if config.backup_second and not Path(config.backup_second).is_dir():
        raise DeviceError(tr("The second disk is not there ({path}).").format(path=config.backup_second))
    if newest is None and not (folder / WINDOW_LOCK).exists():
        return tr("none yet; the kiosk takes the first when it runs")
    if newest is None:
        raise DeviceError(tr("There is no backup."))
    age = datetime.now(UTC) - newest
    if age > LATE_BACKUP_FACTOR * timedelta(hours=config.backup_every_hours):
        raise DeviceError(tr("The newest backup is {days} days old.").format(days=age.days))
    return tr("the newest is of {at:%Y-%m-%d %H:%M} UTC").format(at=newest)


def _label() -> str:
    from labels.layout import lay_out
    from labels.pdf import picture_of, write_labels
    from labels.reading import Reader

    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "test.pdf"
        write_labels([lay_out(TEST_NUMBER, ["Test label"])], page)
        read = Reader(None).read(picture_of(page, dots_per_inch=406)).number
    if read != TEST_NUMBER:
        raise LabelError(tr("A test label was drawn and could not be read back."))
    return tr("a test label was drawn and read back")


def _printer(config: Config, prints_label: bool) -> str:
    from labels.printer import JobState, Printer, describe

    printer = Printer(config.printer)
    status = printer.status()
    if not status.is_ready:
        raise LabelError(" ".join(status.sentences))
    if not prints_label:
        return tr("it is ready")
    job: PrintJob | None = printer.print_pages([_test_page(config)], title="test label")
    end = time.monotonic() + PRINT_WAIT_S
    while job is not None and not job.state.is_over and time.monotonic() < end:
        time.sleep(0.2)
        job = printer.job(job.number)
    if job is None or job.state is not JobState.COMPLETED:
        raise LabelError(tr("It does not remember the test label.") if job is None else describe(job))
    return tr("it says that a test label is out; scan it: it must read {number}").format(
        number=parse(TEST_NUMBER).grouped)


def _test_page(config: Config) -> Page:
    from labels.layout import LabelStock, lay_out
    from labels.page import single

    stock = LabelStock(config.label_width_mm, config.label_height_mm, config.label_dpi, config.label_bar_reduction_dots)
    return single(lay_out(TEST_NUMBER, ["Test label", "belongs to nothing"], stock))


def _scanner(wanted: str) -> str:
    """It is enough that it is plugged in: while the kiosk runs, the kiosk holds it."""
    from kiosk.scan.input_device import keyboards

    found = keyboards()
    if any(name.is_called(wanted) for name in found):
        return tr("{name} is plugged in").format(name=wanted)
    others = ", ".join(f"{name.name} ({name.usb})" for name in found) or tr("none")
    raise ScannerLost(tr("There is no scanner called {name}. What types here: {others}.").format(
        name=wanted, others=others))


def _camera(source: str) -> str:
    import cv2

    capture = cv2.VideoCapture(int(source) if source.isdigit() else source)
    try:
        ok, frame = capture.read()
    finally:
        capture.release()
    if not ok:
        raise CameraLost(tr("No picture from {source}.").format(source=source))
    return tr("a picture of {width} x {height}").format(width=frame.shape[1], height=frame.shape[0])


def _window() -> str:
    import ctypes.util

    missing = [name for name in ("GL", "EGL") if ctypes.util.find_library(name) is None]
    if missing:
        raise OSError(tr("The system library lib{name} is missing.").format(name=missing[0]))
    return tr("its libraries are there")
