"""The vault as presenters ask it: every hash on a worker, the answer back on the window's thread."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, Protocol

from kiosk.language import tr
from kiosk.pins import PinVault
from kiosk.presenters.ports import Failed, PinAnswer


class RunSlow(Protocol):
    """Does `work` elsewhere, then calls `done(result)` or `failed(error)` on the thread that asked."""

    def __call__(self, work: Callable[[], Any], done: Callable[[Any], None], failed: Failed, text: str = ""
                 ) -> None: ...


class PinDesk:
    """Answers `ports.Pins`."""

    def __init__(self, vault: PinVault, run_slow: RunSlow) -> None:
        self._vault, self._run_slow = vault, run_slow

    def is_set(self, person_id: str) -> bool:
        """Return whether this kiosk keeps a PIN of a person."""
        return self._vault.is_set(person_id)

    def wait_s(self, person_id: str) -> float:
        """Return how long until a PIN of this person is taken here. [s]"""
        return self._vault.wait_s(person_id)

    def locks(self) -> Mapping[str, datetime | None]:
        """Return everybody who has a PIN here, with the time until which it is locked, None if it is not."""
        return self._vault.locks()

    def unlock(self, person_id: str) -> None:
        """Take a person's PIN again."""
        self._vault.unlock(person_id)

    def check(self, person_id: str, pin: str, done: Callable[[PinAnswer], None], failed: Failed) -> None:
        """Try a PIN."""
        self._run_slow(lambda: self._vault.check(person_id, pin), done, failed, tr("Checking the PIN"))

    def choose(self, person_id: str, pin: str, done: Callable[[str], None], failed: Failed) -> None:
        """Keep a PIN."""
        self._run_slow(lambda: self._vault.set(person_id, pin), done, failed, tr("Keeping the PIN"))


def at_once(work: Callable[[], Any], done: Callable[[Any], None], failed: Failed, text: str = "") -> None:
    """Do work here and now, for commands and tests that have no window."""
    try:
        result = work()
    except Exception as error:
        failed(error)
        return
    done(result)
