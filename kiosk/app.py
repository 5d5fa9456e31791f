"""The kiosk put together: a shop, the desk, the window, the scanner and the camera. Only this module knows them all.

What nobody below caught ends here: it is logged, the screen stays, and the operator gets a sentence.
"""

from __future__ import annotations

import logging
import os
import tempfile
import threading
from collections import deque
from collections.abc import Callable, Sequence
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk import practice
from kiosk.backup_worker import BackupWorker
from kiosk.draft_file import FILE_NAME as DRAFTS_NAME
from kiosk.draft_file import DraftFile
from kiosk.entities import Scan, ScanSource
from kiosk.errors import KioskError
from kiosk.hub_worker import HubWorker
from kiosk.language import in_asker_s_language, tr
from kiosk.photo_desk import PhotoDesk
from kiosk.pin_desk import PinDesk
from kiosk.presenters.desk import Desk
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.set_up_ports import FirstYard
from kiosk.print_worker import PrintWorker
from kiosk.records.ids import new_id
from kiosk.restoring import RestoreDesk
from kiosk.scan.held_scanner import HeldScanner, ScannerEvent, ScannerGone, ScannerRead
from kiosk.scan.wedge import Outcome, Scanned, Wedge
from kiosk.scrubber import Scrubber
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.founding import write_settings
from kiosk.shop import Shop, floor_settings, utc_now
from kiosk.spoken_sheets import SpokenSheets
from kiosk.this_kiosk import Standing
from kiosk.wall.updating import LASTED_S
from kiosk.wall.versions import ENVIRONMENT, Program

if TYPE_CHECKING:
    from kiosk.presenters.base import ScreenPresenter
    from kiosk.scan.camera import Camera, CameraEvent, Decoder, Frame
    from kiosk.screens.shell import KioskShell

_log = logging.getLogger(__name__)


class Again(Enum):
    """How the kiosk is to be opened again after its window was closed."""

    AS_IT_WAS = "as it was"
    TO_RESTORE = "to restore"


class KioskApp:
    """One kiosk on one shop. `again`: set when the window closed to be opened anew.

    Args:
        shop: Open; closed by the caller.
        on_shown: Called with every state that is shown; the driver of the demo and the tests listen here.
    """

    def __init__(self, shop: Shop, on_shown: Callable[[object], None] | None = None) -> None:
        config = shop.config
        self.shop = shop
        self._on_shown = on_shown
        self._hub = _make_hub_worker(shop) if config.hub and not shop.trouble else None
        self.shell = _make_shell(self, shop)
        self._camera = _make_camera(self, config.camera) if config.camera else None
        self._left_desk: Desk | None = None  # of a yard before it was made
        self.desk = self._make_desk()
        self._real_desk = self.desk
        self._practice: practice.Practice | None = None
        self._practice_is_over = False
        self.again: Again | None = None
        self._backup_trouble: deque[str] = deque()  # told by the worker, shown by the window's thread
        self._wedge = Wedge()
        self._scanner = HeldScanner(config.scanner) if config.scanner else None
        self._printer = PrintWorker(shop.records, shop.press.queue) if shop.press.queue else None
        self._backups = BackupWorker(shop.keeper, self._backup_trouble.append, self._back_up_photos,
                                     Scrubber(shop.folder / config.database))
        self._numerics: threading.Thread | None = None
        self._ticks = 0

    def _make_desk(self) -> Desk:
        shop = self.shop
        config = shop.config
        helpers = Helpers(
            records=shop.records, sheets=SpokenSheets(shop.sheets), labels=shop.press, reports=shop.reports,
            clock=shop.clock,
            new_id=new_id, settings=floor_settings(config), feedback=self.shell.feedback,
            pins=PinDesk(shop.pins, self.shell.run_slow), clock_watch=shop.clock,
            draft_store=DraftFile(shop.folder / DRAFTS_NAME), run_slow=self._run_slow,
            restores=RestoreDesk(shop.records, shop.folder / config.database, config.kiosk, shop.backup_folders,
                                 shop.clock, self._start_again, self.shell.tell_progress),
            this_kiosk=Standing(shop.folder, self.shell.stop), hub_watch=self._hub,
            practise=self._begin_practice if practice.is_possible() else None,
            photos=PhotoDesk(shop.photos, self._camera), tell_progress=self.shell.tell_progress,
            set_up=SetUpDesk(shop, new_id, self._begin_anew),
        )
        return Desk(helpers, self._show)

    def _begin_anew(self, first: FirstYard) -> None:
        """Make the yard that the first run chose, and go on with it in the same window."""
        before = self.shop
        write_settings(before.folder, first)
        made = Shop.open(before.folder, at_window=True)
        try:
            set_up = SetUpDesk(made, new_id)
            person = set_up.record_founding(first)
        except BaseException:
            made.close()
            raise
        self.shop, self._left_desk = made, self.desk
        self.desk = self._real_desk = self._make_desk()
        before.close()
        self.desk.start()
        self.desk.yard_is_made(person.badge, set_up.print_badge(person.id, None).name)

    def run(self) -> None:
        """Open the window and stay until it is closed."""
        if self._camera:
            self._camera.start()
        if self._scanner:
            self._scanner.start()
        if self._printer:
            self._printer.start()
        if not self.shop.trouble:
            self._backups.start()
        if self._hub:
            self._hub.start()
        try:
            self.shell.run()
        finally:
            self._end_practice()
            self.desk.drafts.write()
            self._backups.stop()
            if self._hub:
                self._hub.stop()
            if self._printer:
                self._printer.stop()
            if self._scanner:
                self._scanner.stop()
            if self._camera:
                self._camera.stop()
            if self._left_desk is not None:
                self.shop.close()

    # --- called by the window, on its thread ---

    def ready(self) -> None:
        """The window is there."""
        self.desk.start()
        if self.shop.trouble:
            self.desk.current.tell(self.shop.trouble, self.shop.way_on, "refused")

    def character(self, character: str, at: float) -> None:
        """A character came from the scanner or a keyboard."""
        self._take(self._wedge.feed(character, at))

    def enter(self, at: float) -> None:
        """Enter came from the scanner or a keyboard."""
        self._take(self._wedge.enter(at))

    def frame(self, at: float) -> None:
        """A frame is about to be drawn."""
        if self._practice_is_over:
            self._end_practice()
        self._take(self._wedge.poll(at))
        if self._camera:
            self._poll_camera(self._camera)
        for event in self._scanner.take_events() if self._scanner else ():
            self._scanner_event(event)

    def tick(self) -> None:
        """A second went by; the first one after the window is there loads what the first forecast needs."""
        if self._numerics is None:
            self._numerics = threading.Thread(target=_load_what_is_slow, name="numerics", daemon=True)
            self._numerics.start()
        self._ticks += 1
        if self._ticks == LASTED_S and ENVIRONMENT in os.environ:
            Program(Path(os.environ[ENVIRONMENT])).settle()
        if self._practice and self.desk.session.idle_s(self.shop.clock()) > practice.IDLE_S:
            self._end_practice()
        self.desk.tick()
        if self._backup_trouble and not self.desk.current.is_asking:
            self.desk.current.tell(self._backup_trouble.popleft())
        if self._printer and self._printer.has_news():
            self.desk.print_changed()

    def touched(self) -> None:
        """Somebody touched the screen."""
        self.desk.touched()

    def caught(self, error: Exception) -> bool:
        """Tell the operator about an error that nobody expected; True keeps the window open."""
        _log.error("unexpected: %r", error, exc_info=error)
        if not isinstance(error, KioskError):
            error = KioskError(tr("Something went wrong that should not have. What you typed is still here; try "
                                  "again, and tell the supervisor if it comes again."), repr(error))
        self.desk.refuse(error)
        return True

    # --- practice ---

    def _begin_practice(self) -> None:
        self.shell.run_slow(practice.build_yard, self._practise_in, self._no_practice, tr("Setting up a practice yard"))

    def _practise_in(self, folder: Path) -> None:
        self._practice = practice.Practice(folder, self._real_desk.helpers, self._show, self.shop.clock,
                                           self._leave_practice)
        self.desk = self._practice.desk
        self._practice.begin()

    def _no_practice(self, error: Exception) -> None:
        self.caught(error)

    def _leave_practice(self) -> None:
        """End practice with the next frame: its screen that asked is still at work."""
        self._practice_is_over = True

    def _end_practice(self) -> None:
        self._practice_is_over = False
        if self._practice is not None:
            ending, self._practice = self._practice, None
            self.desk = self._real_desk
            ending.close()
            self.desk.home()

    # --- scans ---

    def _take(self, outcomes: list[Outcome]) -> None:
        for outcome in outcomes:
            if isinstance(outcome, Scanned):
                self.desk.scan(Scan(outcome.text, ScanSource.SCANNER, utc_now()))
            else:
                self.desk.typed(outcome.key)

    def _poll_camera(self, camera: Camera) -> None:
        for event in camera.take_events():
            self._camera_event(event)
        frame = camera.newest_frame()
        if frame is not None:
            self.shell.set_preview(frame.tobytes(), (frame.shape[1], frame.shape[0]))

    def _camera_event(self, event: CameraEvent) -> None:
        from kiosk.scan.camera import CameraBack, CameraGone, CameraRead

        if isinstance(event, CameraRead):
            self.desk.scan(Scan(event.number, ScanSource.CAMERA, utc_now(), event.how, event.tries, event.took_ms,
                                event.grade))
        elif isinstance(event, CameraGone):
            self.shell.clear_preview()
            self.desk.device_changed("camera", event.message)
        elif isinstance(event, CameraBack):
            self.desk.device_changed("camera", "")

    def _scanner_event(self, event: ScannerEvent) -> None:
        if isinstance(event, ScannerRead):
            self.desk.scan(Scan(event.text, ScanSource.SCANNER, utc_now()))
        else:
            self.desk.device_changed("scanner", event.message if isinstance(event, ScannerGone) else "")

    def _run_slow(self, work: Callable[[], Any], done: Callable[[Any], None], failed: Callable[[Exception], None],
                  text: str = "") -> None:
        """Run work on a worker with a connection of its own to the records, in the language of whoever asked for it."""
        spoken = in_asker_s_language(work)
        records = (self._practice.shop if self._practice else self.shop).records

        def with_records() -> Any:
            with records.in_worker():
                return spoken()

        self.shell.run_slow(with_records, done, failed, text)

    def _start_again(self, to_restore: bool) -> None:
        """End this window; whoever opened it opens the next, with the records as they are then."""
        self.again = Again.TO_RESTORE if to_restore else Again.AS_IT_WAS
        self.shell.stop()

    def _back_up_photos(self) -> str:
        """On the worker that takes backups, with a connection of its own."""
        with self.shop.records.in_worker():
            return self.shop.back_up_photos()

    def _show(self, state: object, presenter: ScreenPresenter) -> None:
        if presenter.desk is self._left_desk:
            return
        self.shell.show(state, presenter)
        if self._on_shown:
            self._on_shown(state)


def _make_shell(app: KioskApp, shop: Shop) -> KioskShell:
    """Import Kivy only now, with our settings in place, and make the window."""
    from kiosk.screens.settings import prepare_kivy

    config = shop.config
    prepare_kivy(Path(tempfile.gettempdir()) / f"kiosk-kivy-{config.kiosk}", config.width, config.height,
                 config.full_screen)
    from kiosk.screens.shell import KioskShell

    return KioskShell(
        on_character=app.character, on_enter=app.enter, on_frame=app.frame, on_tick=app.tick, on_touch=app.touched,
        on_ready=app.ready, on_error=app.caught, ppi=config.ppi,
    )


def _make_hub_worker(shop: Shop) -> HubWorker:
    exchange = shop.exchange()
    worker = HubWorker(exchange, shop.records)
    exchange.hurry = worker.is_stopping
    return worker


def _load_what_is_slow() -> None:
    """Load scipy's special functions and the label reader on a worker: the first part's page, or the first label read
    back, would wait half a second for each.
    """
    import labels.pdf
    import labels.reading  # noqa: F401
    from kiosk.calc.line_fit import student_quantile

    student_quantile(0.95, 3)


def _make_camera(app: KioskApp, source: str) -> Camera:
    """Import what reads frames only where there is a camera."""
    from kiosk.scan.camera import Camera

    return Camera(source, lambda: _make_reader(app), grade_of=_print_grade)


def _make_reader(app: KioskApp) -> Decoder:
    """Make the reader on the camera's own thread, with look-ups of its own to the records."""
    from kiosk.scan.yard_reader import YardReader

    def issued_numbers() -> Sequence[str]:
        records = app.shop.records
        with records.in_worker():
            return records.issued_numbers()

    return YardReader(issued_numbers)


def _print_grade(frame: Frame, number: str) -> float | None:
    """Grade a label that was just read, on the camera's own thread."""
    from labels.errors import LabelError
    from labels.quality import print_quality

    try:
        quality = print_quality(frame, number)
    except LabelError:
        return None
    return None if quality is None else quality.grade
