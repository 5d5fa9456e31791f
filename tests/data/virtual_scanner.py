"""A USB hand scanner made by the kernel (uinput), for tests on a system that lets one be made.

Source of the numbers: the kernel's `linux/uinput.h` and `linux/input-event-codes.h`.
"""

from __future__ import annotations

import fcntl
import os
import struct
import time
from pathlib import Path

UINPUT = Path("/dev/uinput")
_SET_EVBIT, _SET_KEYBIT, _SETUP = 0x40045564, 0x40045565, 0x405C5503
_CREATE, _DESTROY = 0x5501, 0x5502
_EV_SYN, _EV_KEY, _BUS_USB = 0, 1, 3
_DIGIT_KEYS = dict(zip("1234567890", range(2, 12), strict=True))
ENTER = 28


class VirtualScanner:
    """Plugs a scanner in; `close` pulls it out."""

    def __init__(self, name: str = "Test scanner", vendor: int = 0x1234, product: int = 0x5678) -> None:
        self._descriptor = os.open(UINPUT, os.O_WRONLY)
        fcntl.ioctl(self._descriptor, _SET_EVBIT, _EV_KEY)
        for code in (*_DIGIT_KEYS.values(), ENTER):
            fcntl.ioctl(self._descriptor, _SET_KEYBIT, code)
        setup = struct.pack("@HHHH80sI", _BUS_USB, vendor, product, 1, name.encode(), 0)
        fcntl.ioctl(self._descriptor, _SETUP, setup)
        fcntl.ioctl(self._descriptor, _CREATE)
        time.sleep(0.2)  # the device's file appears a moment later

    def send(self, digits: str, with_enter: bool = True) -> None:
        """Type digits as a scanner does, without a pause."""
        for code in [*(_DIGIT_KEYS[digit] for digit in digits), *([ENTER] if with_enter else [])]:
            self._move(code, 1)
            self._move(code, 0)

    def close(self) -> None:
        """Pull it out."""
        fcntl.ioctl(self._descriptor, _DESTROY)
        os.close(self._descriptor)

    def _move(self, code: int, value: int) -> None:
        now = struct.pack("@LL", 0, 0)
        os.write(self._descriptor, now + struct.pack("@HHi", _EV_KEY, code, value)
                 + now + struct.pack("@HHi", _EV_SYN, 0, 0))
