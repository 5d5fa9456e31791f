"""Takes backups by schedule, and has the tables checked, on a thread of its own beside the kiosk's work."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable

from kiosk.errors import KioskError
from kiosk.language import tr
from kiosk.records.keeper import BackupKeeper
from kiosk.scrubber import Scrubber

CHECK_EVERY_S = 60.0
# So that the first backup does not slow down the kiosk's start.
FIRST_CHECK_S = 20.0
_log = logging.getLogger(__name__)


class BackupWorker:
    """Asks the keeper once a minute whether a backup is due, and takes it.

    Args:
        keeper: Of the shop's records.
        also: Copies what is kept beside the records, after each backup; returns what went wrong, '' if nothing.
        scrubber: Holds the tables against the journal now and then; None for never.
        tell: Called on the worker's thread with a sentence for the operator when something went wrong; once for each.
    """

    def __init__(self, keeper: BackupKeeper, tell: Callable[[str], None], also: Callable[[], str] = str,
                 scrubber: Scrubber | None = None) -> None:
        self._keeper, self._tell, self._also, self._scrubber = keeper, tell, also, scrubber
        self._stop = threading.Event()
        self._told = ""
        self._thread = threading.Thread(target=self._run, name="backups", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """Stop when the backup that is being taken is done."""
        self._stop.set()
        if self._thread.is_alive():
            self._thread.join(timeout=60.0)

    def check(self) -> None:
        """Take a backup if one is due."""
        if not self._keeper.is_due():
            return
        try:
            taken = self._keeper.take()
        except KioskError as error:
            _log.error("no backup: %s %s", error.operator_message, error.details)
            self._tell_once(tr("No backup was taken. {operator_message}").format(
                                operator_message=error.operator_message))
            return
        _log.info("backup of %d entries: %s", taken.report.entries, taken.report.path)
        self._tell_once(taken.trouble or self._also())

    def scrub(self) -> None:
        """Hold the tables against the journal if it is time."""
        if self._scrubber is not None and self._scrubber.is_due() and (said := self._scrubber.scrub(self._stop)):
            self._tell(said)

    def _run(self) -> None:
        wait_s = FIRST_CHECK_S
        while not self._stop.wait(wait_s):
            wait_s = CHECK_EVERY_S
            try:
                self.check()
                self.scrub()
            except Exception:
                _log.exception("the backup worker met something unexpected")

    def _tell_once(self, sentence: str) -> None:
        if sentence and sentence != self._told:
            self._tell(sentence)
        self._told = sentence
