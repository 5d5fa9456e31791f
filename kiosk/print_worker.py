"""One thread that takes the print queue on, so that a slow printer never holds the screen.

It has its own connection to the records, like every worker. The screen's thread polls `has_news`.
"""

from __future__ import annotations

import logging
import threading
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING, Protocol

from kiosk.errors import KioskError

if TYPE_CHECKING:
    from kiosk.print_queue import PrintQueue

_log = logging.getLogger(__name__)
EVERY_S = 1.0
# After an error of the records (disk full, file locked) it is not tried again at once.
AFTER_ERROR_S = 10.0


class WorkerRecords(Protocol):
    """What the worker asks of the records."""

    def in_worker(self) -> AbstractContextManager[None]: ...


class PrintWorker:
    """Takes a queue on until `stop`."""

    def __init__(self, records: WorkerRecords, queue: PrintQueue, every_s: float = EVERY_S) -> None:
        self._records, self._queue, self._every_s = records, queue, every_s
        self._news = threading.Event()
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="label-printer", daemon=True)

    def start(self) -> None:
        """Start the thread; returns at once."""
        self._thread.start()

    def stop(self) -> None:
        """Stop the thread; a label that is being sent is found again by the next start."""
        self._stopping.set()
        if self._thread.is_alive():
            self._thread.join(timeout=8)

    def has_news(self) -> bool:
        """Return whether anything changed since the last call."""
        has_any = self._news.is_set()
        self._news.clear()
        return has_any

    def _run(self) -> None:
        with self._records.in_worker():
            while not self._stopping.wait(self._step()):
                pass

    def _step(self) -> float:
        """Take one step and return how long to wait before the next. [s]"""
        try:
            if self._queue.step():
                self._news.set()
        except KioskError as error:
            _log.warning("print queue: %s %s", error.operator_message, error.details)
            return AFTER_ERROR_S
        return self._every_s
