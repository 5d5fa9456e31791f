"""`kiosk selfcheck`: try every part of this installation, say of each whether it works and what to do if not."""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.config import Config, load_config
from kiosk.errors import KioskError
from labels.errors import LabelError
from labels.number import Kind, compose, parse

if TYPE_CHECKING:
    from labels.page import Page
    from labels.printer import PrintJob

# A command card of the kiosk number 0: none of a yard's labels.
TEST_NUMBER = compose(Kind.COMMAND_CARD, 0, 1).digits
PRINT_WAIT_S = 20.0


@dataclass(frozen=True)
class Check:
    """One part tried. `advice` is '' where it works."""

    part: str
    works: bool
    found: str
    advice: str = ""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    add_json(parser)
    parser.add_argument("--print-label", action="store_true", help="print a test label on the shop's printer too")


def run(options: argparse.Namespace) -> int:
    """Exit 0 only if everything works, so that a monitor can call it."""
    checks = list(_checks(options.shop, options.print_label))
    if options.json:
        print_json(checks)
    else:
        for check in checks:
            print(f"{'works' if check.works else 'FAILS':6} {check.part}: {check.found}")
            if check.advice:
                print(f"       {check.advice}")
    return 0 if all(check.works for check in checks) else 1


def _checks(folder: Path, prints_label: bool) -> Iterator[Check]:
    yield _tried("settings", lambda: f"kiosk number {load_config(folder).kiosk}", "Mend kiosk.toml as it says.")
    try:
        config = load_config(folder)
    except KioskError:
        config = Config()
    yield _tried("service sheets", lambda: _sheets(folder / config.sheets), "Mend the sheet's line as it says.")
    yield _tried("records", lambda: _records(folder / config.database, config.kiosk),
                 "Stop the kiosk and call `kiosk restore` with the newest backup.")
    yield _tried("labels", _label, "Install the system library libzbar0; reinstall the kiosk's package.")
    if config.printer:
        yield _tried("printer", lambda: _printer(config, prints_label), "Check it, and 'printer' in kiosk.toml.")
    if config.camera:
        yield _tried("camera", lambda: _camera(config.camera), "Check its plug; set 'camera' in kiosk.toml.")
    yield _tried("window", _window, "Install the system libraries libgl1 and libegl1.")


def _tried(part: str, attempt: Callable[[], str], advice: str) -> Check:
    try:
        return Check(part, True, attempt())
    except (KioskError, LabelError) as error:
        return Check(part, False, error.operator_message, advice)
    except (ImportError, OSError) as error:
        return Check(part, False, str(error), advice)


def _sheets(folder: Path) -> str:
    from kiosk.sheets import SheetShelf

    return f"{len(SheetShelf.load(folder).sheets())} sheets"


def _records(path: Path, kiosk: int) -> str:
    from kiosk.errors import StoreUnavailable
    from kiosk.records import YardRecords

    if not path.exists():
        raise StoreUnavailable(f"There is no database at {path}.")
    records = YardRecords.open(path, kiosk)
    try:
        report = records.verify()
    finally:
        records.close()
    if report.first_bad is not None:
        raise StoreUnavailable(f"The journal is not as it was saved. {report.first_bad.reason}")
    return f"{report.entries} entries, chain whole"


def _label() -> str:
    from labels.layout import lay_out
    from labels.pdf import picture_of, write_labels
    from labels.reading import Reader

    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "test.pdf"
        write_labels([lay_out(TEST_NUMBER, ["Test label"])], page)
        read = Reader(None).read(picture_of(page, dots_per_inch=406)).number
    if read != TEST_NUMBER:
        raise LabelError("A test label was drawn and could not be read back.")
    return "a test label was drawn and read back"


def _printer(config: Config, prints_label: bool) -> str:
    from labels.printer import JobState, Printer, describe

    printer = Printer(config.printer)
    status = printer.status()
    if not status.is_ready:
        raise LabelError(" ".join(status.sentences))
    if not prints_label:
        return "it is ready"
    job: PrintJob | None = printer.print_pages([_test_page(config)], title="test label")
    end = time.monotonic() + PRINT_WAIT_S
    while job is not None and not job.state.is_over and time.monotonic() < end:
        time.sleep(0.2)
        job = printer.job(job.number)
    if job is None or job.state is not JobState.COMPLETED:
        raise LabelError("It does not remember the test label." if job is None else describe(job))
    return f"it says that a test label is out; scan it: it must read {parse(TEST_NUMBER).grouped}"


def _test_page(config: Config) -> Page:
    from labels.layout import LabelStock, lay_out
    from labels.page import single

    stock = LabelStock(config.label_width_mm, config.label_height_mm, config.label_dpi, config.label_bar_reduction_dots)
    return single(lay_out(TEST_NUMBER, ["Test label", "belongs to nothing"], stock))


def _camera(source: str) -> str:
    import cv2

    from kiosk.errors import CameraLost

    capture = cv2.VideoCapture(int(source) if source.isdigit() else source)
    try:
        ok, frame = capture.read()
    finally:
        capture.release()
    if not ok:
        raise CameraLost(f"No picture from {source}.")
    return f"a picture of {frame.shape[1]} x {frame.shape[0]}"


def _window() -> str:
    import ctypes.util

    missing = [name for name in ("GL", "EGL") if ctypes.util.find_library(name) is None]
    if missing:
        raise OSError(f"The system library lib{missing[0]} is missing.")
    return "its libraries are there"
