"""A listener (`disk_watch`) that makes the disk slow, or has it fail, while SQLite works on it."""

from __future__ import annotations

import time
from dataclasses import dataclass

SQLITE_IOERR_WRITE = 778
SQLITE_IOERR_FSYNC = 1034
SQLITE_FULL = 13


@dataclass
class BadDisk:
    """A disk with a fault.

    Args:
        sync_s: How long each sync takes. [s]
        fails: Result code of every write and sync from now on, 0 for none.
        works_for: So many writes still go well before it fails.
    """

    sync_s: float = 0.0
    fails: int = 0
    works_for: int = 0

    def opened(self, name: str, is_log: bool) -> int:
        return 0

    def write(self, name: str, offset: int, content: bytes) -> int:
        if self.fails and self.works_for > 0:
            self.works_for -= 1
            return 0
        return self.fails

    def truncate(self, name: str, size: int) -> int:
        return self.fails

    def sync(self, name: str) -> int:
        time.sleep(self.sync_s)
        return self.fails

    def delete(self, name: str, syncs_folder: bool) -> int:
        return self.fails

    def rename(self, old: str, new: str) -> None:
        pass

    def link(self, old: str, new: str) -> None:
        pass

    def sync_folder(self) -> None:
        pass
