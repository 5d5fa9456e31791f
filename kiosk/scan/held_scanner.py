"""A USB hand scanner that the kiosk holds for itself: what it sends reaches no field, no console, no other window.

Held, a scan needs no guess about who is typing (`wedge.py` makes one for a scanner that is a plain keyboard). One
thread waits for keys; the screen polls `take_events`. A scanner that is missing or pulled out is reported once and
looked for every two seconds until it is back. Linux only; the kiosk's user must be in the group `input`.
"""

from __future__ import annotations

import os
import queue
import select
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from kiosk.errors import ScannerLost
from kiosk.language import tr
from kiosk.scan.input_device import FOLDER, InputDevice, KeyMove, keyboards
from kiosk.scan.wedge import LONGEST_SCAN
from labels.number import is_label_number

RETRY_S = 2.0
# A scanner set up without the closing Enter: its text ends when nothing more comes for this long.
QUIET_S = 0.1
_DOWN, _UP = 1, 0
_ENTERS = (28, 96)
_SHIFTS = (42, 54)
_ROWS = ((2, "1234567890-="), (16, "qwertyuiop[]"), (30, "asdfghjkl;'`"), (43, "\\zxcvbnm,./"), (57, " "))
_PLAIN = {code: character for first, row in _ROWS for code, character in enumerate(row, first)}
_PAD = dict(zip((82, 79, 80, 81, 75, 76, 77, 71, 72, 73, 74, 78, 83, 98, 55), "0123456789-+./*", strict=True))
_SHIFTED = dict(zip("1234567890-=[];'`\\,./", '!@#$%^&*()_+{}:"~|<>?', strict=True))


@dataclass(frozen=True)
class ScannerRead:
    """The scanner sent this text."""

    text: str


@dataclass(frozen=True)
class ScannerGone:
    """The scanner is not there or not ours; `message` is for the operator."""

    message: str


@dataclass(frozen=True)
class ScannerBack:
    """The scanner is there (again) and held."""


ScannerEvent = ScannerRead | ScannerGone | ScannerBack


class ScanText:
    """Puts the keys of one scanner together, on the layout that scanners come with (US)."""

    def __init__(self) -> None:
        self._held = ""
        self._shift_down: set[int] = set()

    def feed(self, moves: Iterable[KeyMove]) -> list[str]:
        """Take key moves; return the texts that Enter has ended."""
        texts = []
        for move in moves:
            if move.code in _SHIFTS:
                (self._shift_down.add if move.value else self._shift_down.discard)(move.code)
            elif move.value == _DOWN and move.code in _ENTERS:
                texts.append(self._held)
                self._held = ""
            elif move.value == _DOWN:
                self._held = (self._held + self._character(move.code))[-LONGEST_SCAN - 1:]
        return [text for text in texts if text]

    def quiet(self) -> list[str]:
        """Nothing more came for a while: a label's number is complete without Enter, anything else is given up."""
        held, self._held = self._held, ""
        return [held] if is_label_number(held) else []

    def _character(self, code: int) -> str:
        if code in _PAD:
            return _PAD[code]
        plain = _PLAIN.get(code, "")
        return _SHIFTED.get(plain, plain.upper()) if self._shift_down else plain


class HeldScanner:
    """Holds the scanner that a setting names, in the background, until `stop`.

    Args:
        wanted: The device's name or its 'vendor:product', as `keyboards` tells them.
        folder: Where the system keeps its input devices.
    """

    def __init__(self, wanted: str, folder: Path = FOLDER) -> None:
        self._wanted, self._folder = wanted, folder
        self._events: queue.SimpleQueue[ScannerEvent] = queue.SimpleQueue()
        self._stopping = threading.Event()
        self._wake_read, self._wake_write = os.pipe()
        self._thread = threading.Thread(target=self._run, name="held-scanner", daemon=True)

    def start(self) -> None:
        """Start looking for the scanner; returns at once."""
        self._thread.start()

    def stop(self) -> None:
        """Let go of the scanner."""
        self._stopping.set()
        os.write(self._wake_write, b"x")
        self._thread.join(timeout=3)
        os.close(self._wake_read)
        os.close(self._wake_write)

    def take_events(self) -> list[ScannerEvent]:
        """Return what happened since the last call."""
        events = []
        while not self._events.empty():
            events.append(self._events.get())
        return events

    # --- its thread ---

    def _run(self) -> None:
        is_reported = False
        while not self._stopping.is_set():
            try:
                device = self._find()
            except (OSError, ScannerLost) as error:
                if not is_reported:
                    self._events.put(ScannerGone(_sentence(error)))
                is_reported = True
                self._stopping.wait(RETRY_S)
                continue
            self._events.put(ScannerBack())
            with device:
                self._listen(device)
            is_reported = True

    def _find(self) -> InputDevice:
        for name in keyboards(self._folder):
            if name.is_called(self._wanted):
                device = InputDevice(name.path)
                try:
                    device.hold()
                except BaseException:
                    device.close()
                    raise
                return device
        raise ScannerLost(tr("The hand scanner is not there. Look at its plug; use the camera or type the number."),
                          f"no device called {self._wanted!r} in {self._folder}")

    def _listen(self, device: InputDevice) -> None:
        """Pass on what the scanner sends until it is pulled out or the kiosk ends."""
        text = ScanText()
        while not self._stopping.is_set():
            ready, _, _ = select.select([device, self._wake_read], [], [], QUIET_S)
            try:
                texts = text.feed(device.moves()) if device in ready else [] if ready else text.quiet()
            except OSError as error:  # pulled out: ENODEV
                self._events.put(ScannerGone(_sentence(error)))
                return
            for one in texts:
                self._events.put(ScannerRead(one))


def _sentence(error: OSError | ScannerLost) -> str:
    if isinstance(error, ScannerLost):
        return error.operator_message
    if isinstance(error, PermissionError):
        return tr("This computer's user may not read the scanner. Add it to the group 'input'; `kiosk install` does.")
    return tr("The hand scanner was pulled out. Plug it in again; use the camera or type the number meanwhile.")
