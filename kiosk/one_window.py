"""Lets one kiosk window at a time stand on a shop's folder; commands may work beside it."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kiosk.config import FILE_NAME as SHOP_FILE
from kiosk.errors import StoreUnavailable
from kiosk.language import tr

FILE_NAME = "window.lock"


@contextmanager
def only_window(folder: Path) -> Iterator[None]:
    """Hold the shop for as long as the `with` block lasts; the lock goes with the process, however it ends.

    Raises:
        StoreUnavailable: kind 'locked'; a window is open already.
    """
    if not (folder / SHOP_FILE).exists():  # no shop: whoever opens it next says so
        yield
        return
    try:
        descriptor = os.open(folder / FILE_NAME, os.O_RDWR | os.O_CREAT, 0o644)
    except OSError:  # a folder that may only be read: nobody can save there twice either
        yield
        return
    try:
        _lock(descriptor)
        os.ftruncate(descriptor, 0)
        os.pwrite(descriptor, f"{os.getpid()}\n".encode(), 0)
        yield
    finally:
        os.close(descriptor)


def _lock(descriptor: int) -> None:
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        holder = os.pread(descriptor, 20, 0).decode(errors="replace").strip()
        raise StoreUnavailable(
            tr("This shop is open in another kiosk window already. Use that one, or close it and try again."),
            f"held by process {holder}", "locked") from error
