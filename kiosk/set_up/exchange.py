"""Where a set-up can be taken out to and brought in from: the shop's own folder, and sticks that are plugged in."""

from __future__ import annotations

import os
from pathlib import Path

from kiosk.set_up.tables import holds_set_up

FOLDER = "set-up"
# Where Linux desktops and servers put sticks.
STICKS = ("/media", "/run/media", "/mnt")
_DEPTHS = ("*", "*/*")


def sticks(roots: tuple[str, ...] = STICKS) -> list[Path]:
    """Return the sticks that are plugged in."""
    found = [path for root in roots for depth in _DEPTHS for path in _sorted(Path(root), depth)]
    return [path for path in found if os.path.ismount(path)]


def prepared(shop: Path, plugged: list[Path]) -> list[Path]:
    """Return the folders with a prepared set-up, those on sticks first."""
    places = [candidate for stick in plugged for candidate in (stick, *_sorted(stick, "*"))]
    return [place for place in (*places, shop / FOLDER) if holds_set_up(place)]


def ways_out(shop: Path, plugged: list[Path]) -> list[Path]:
    """Return the folders that a set-up may be taken out to."""
    return [*(stick / FOLDER for stick in plugged if os.access(stick, os.W_OK)), shop / FOLDER]


def _sorted(folder: Path, pattern: str) -> list[Path]:
    try:
        return sorted(path for path in folder.glob(pattern) if path.is_dir())
    except OSError:
        return []
