"""One input device of Linux, read and held through the kernel's own interface (`linux/input.h`), without a library.

The usual binding has no wheels, so a panel PC would need a compiler for what is four calls and one record of 24 bytes.
Works as the user who may read /dev/input (group `input`). Source: the kernel's 'Linux Input Subsystem userspace API'.
"""

from __future__ import annotations

import errno
import fcntl
import os
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kiosk.errors import ScannerLost
from kiosk.language import tr

FOLDER = Path("/dev/input")
# struct input_event: two words of time, type, code, value. The words are the machine's own.
_EVENT = struct.Struct("@LLHHi")
_EVENTS_AT_ONCE = 64
EV_KEY = 0x01
KEY_1, KEY_0, KEY_ENTER = 2, 11, 28
_WORD_BITS = 8 * struct.calcsize("@L")
_KEY_BYTES = 96  # KEY_MAX is 0x2ff


@dataclass(frozen=True)
class DeviceName:
    """What a device is called: `path` now, `name` by its maker, `usb` as 'vendor:product' in hexadecimal."""

    path: Path
    name: str
    usb: str

    def is_called(self, wanted: str) -> bool:
        """Say whether a setting means this device, by its name or its vendor and product."""
        return wanted in (self.name, self.usb)


@dataclass(frozen=True)
class KeyMove:
    """A key went down (1), up (0) or repeats (2)."""

    code: int
    value: int


class InputDevice:
    """A device that is open for reading. Close it, or use it in a `with`."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._descriptor = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)

    def fileno(self) -> int:
        """Return the descriptor, for select."""
        return self._descriptor

    def close(self) -> None:
        """Let go; the kernel gives the device back to everybody."""
        os.close(self._descriptor)

    def __enter__(self) -> InputDevice:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def named(self) -> DeviceName:
        """Return what it is called."""
        name = self._ask(0x06, 256).split(b"\0", 1)[0].decode("utf-8", "replace")
        _bus, vendor, product, _version = struct.unpack("@HHHH", self._ask(0x02, 8))
        return DeviceName(self.path, name, f"{vendor:04x}:{product:04x}")

    def is_keyboard(self) -> bool:
        """Say whether it can type digits and Enter, as scanners and keyboards do."""
        bits = self._ask(0x20 + EV_KEY, _KEY_BYTES)
        return all(bits[code // 8] >> code % 8 & 1 for code in (KEY_1, KEY_0, KEY_ENTER))

    def hold(self) -> None:
        """Take the device for ourselves: no window and no console hears it any more.

        Raises:
            ScannerLost: another program holds it.
        """
        try:
            fcntl.ioctl(self._descriptor, _request(1, 0x90, 4), 1)
        except OSError as error:
            if error.errno != errno.EBUSY:
                raise
            raise ScannerLost(tr("Another program holds the scanner. Close that program; the kiosk takes it then."),
                              repr(error)) from error

    def moves(self) -> Iterator[KeyMove]:
        """Yield the key moves that wait to be read, without waiting for more.

        Raises:
            OSError: ENODEV when it was unplugged.
        """
        try:
            data = os.read(self._descriptor, _EVENT.size * _EVENTS_AT_ONCE)
        except BlockingIOError:
            return
        for _seconds, _micros, kind, code, value in _EVENT.iter_unpack(data[:len(data) // _EVENT.size * _EVENT.size]):
            if kind == EV_KEY:
                yield KeyMove(code, value)

    def _ask(self, number: int, size: int) -> bytes:
        answer = bytearray(size)
        fcntl.ioctl(self._descriptor, _request(2, number, size), answer)
        return bytes(answer)


def keyboards(folder: Path = FOLDER) -> list[DeviceName]:
    """Return every device that can type digits, by path; those that this user may not open are left out."""
    found = []
    for path in sorted(folder.glob("event*")):
        try:
            with InputDevice(path) as device:
                if device.is_keyboard():
                    found.append(device.named())
        except OSError:  # unplugged meanwhile, not ours to read, or no input device at all
            continue
    return found


def _request(direction: int, number: int, size: int) -> int:
    """Return an ioctl number of the input subsystem ('E'): direction 1 writes to the kernel, 2 reads from it."""
    return direction << 30 | size << 16 | ord("E") << 8 | number
