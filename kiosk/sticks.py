"""USB sticks that are plugged in: what the system has mounted where removable disks go.

Common practice of desktop systems, no source: a stick appears below /media or /run/media under its own name.
"""

from __future__ import annotations

import os
from pathlib import Path

MOUNTS = Path("/proc/self/mounts")
ROOTS = (Path("/media"), Path("/run/media"))


def plugged_in(mounts: Path = MOUNTS, roots: tuple[Path, ...] = ROOTS) -> dict[str, Path]:
    """Return {name: folder} of the sticks that can be written to.

    Args:
        mounts: The system's list of what is mounted. `roots`: where sticks appear.
    """
    try:
        lines = mounts.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return {}
    folders = [Path(_unescaped(line.split(" ")[1])) for line in lines if line.count(" ") >= 3]
    return {folder.name: folder for folder in folders
            if any(root in folder.parents for root in roots) and os.access(folder, os.W_OK)}


def _unescaped(text: str) -> str:
    """Return a path as it is: the list writes a space as \\040, a backslash as \\134 (fstab(5))."""
    return text.replace("\\040", " ").replace("\\011", "\t").replace("\\134", "\\")
