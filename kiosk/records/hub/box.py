"""Which computer this is, in a few digits: a copied disk in another computer, or another folder, is another one."""

from __future__ import annotations

import hashlib
import uuid
from contextlib import suppress
from pathlib import Path

_DIGITS = 16
_MACHINE_ID = Path("/etc/machine-id")


def this_box(folder: Path) -> str:
    """Return the digits of this computer and the shop's folder on it; nothing can be read back from them."""
    machine = ""
    with suppress(OSError):
        machine = _MACHINE_ID.read_text("ascii").strip()
    text = f"{machine}|{uuid.getnode():012x}|{folder.resolve()}"
    return hashlib.sha256(text.encode()).hexdigest()[:_DIGITS]
