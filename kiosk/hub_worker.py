"""Exchanges entries with the hub on a thread of its own, with connections of its own; nobody at the screen waits.

When the hub is away it is tried again after 1, 2, 4 … seconds up to a minute, each a little by chance, so that fifty
kiosks do not all come back at once.
"""

from __future__ import annotations

import logging
import random
import threading
from contextlib import AbstractContextManager
from typing import Protocol

from kiosk.entities import HubStanding
from kiosk.errors import HubUnavailable, KioskError

_log = logging.getLogger(__name__)
EVERY_S = 1.0
LONGEST_WAIT_S = 60.0


class Exchanging(Protocol):
    """What the worker asks of an exchange."""

    def step(self) -> HubStanding: ...
    def standing(self, error: HubUnavailable | None = None) -> HubStanding: ...
    def close(self) -> None: ...


class WorkerRecords(Protocol):
    """What the worker asks of the records."""

    def in_worker(self) -> AbstractContextManager[None]: ...


class HubWorker:
    """Exchanges until `stop`; answers how things stand to whoever asks, on any thread.

    Args:
        exchange: Not yet used by anybody. `records`: the kiosk's.
        every_s: How long to wait after everything was exchanged. [s]
    """

    def __init__(self, exchange: Exchanging, records: WorkerRecords, every_s: float = EVERY_S) -> None:
        self._exchange, self._records, self._every_s = exchange, records, every_s
        self._stopping = threading.Event()
        self._standing: HubStanding | None = None
        self._failures = 0
        self._told = ""
        self._thread = threading.Thread(target=self._run, name="hub", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """Stop after the batch that is on its way; what waits goes with the next start."""
        self._stopping.set()
        if self._thread.is_alive():
            self._thread.join(timeout=10.0)

    def is_stopping(self) -> bool:
        """Whether the worker was told to stop."""
        return self._stopping.is_set()

    def standing(self) -> HubStanding | None:
        """Return how things stood after the last try, None before the first."""
        return self._standing

    def _run(self) -> None:
        with self._records.in_worker():
            try:
                while not self._stopping.wait(self._try()):
                    pass
            finally:
                self._exchange.close()

    def _try(self) -> float:
        """Exchange once and return how long to wait. [s]"""
        try:
            self._standing = self._exchange.step()
        except KioskError as error:
            return self._failed(error)
        except Exception as error:  # the thread must live on; the next try begins anew
            _log.exception("the exchange met something unexpected")
            return self._failed(HubUnavailable(str(type(error).__name__)))
        self._failures, self._told = 0, ""
        return self._every_s

    def _failed(self, error: KioskError) -> float:
        if error.operator_message != self._told:
            _log.warning("hub: %s %s", error.operator_message, error.details)
            self._told = error.operator_message
        as_hub = error if isinstance(error, HubUnavailable) else HubUnavailable(error.operator_message)
        try:
            self._standing = self._exchange.standing(as_hub)
        except KioskError as trouble:
            _log.warning("hub: %s", trouble.operator_message)
        self._failures = min(self._failures + 1, 10)
        return min(LONGEST_WAIT_S, 2.0 ** (self._failures - 1)) * random.uniform(0.7, 1.0)
