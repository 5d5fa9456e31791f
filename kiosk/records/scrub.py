"""Holds every table against the journal, so that a value that went wrong in a table alone is found.

An entry is held against its hash whenever it is read; what stands in the tables beside it is not. Now and then all
tables are therefore made anew from a copy of the journal and compared row by row, by a process of its own that gives
way to everything else: `python -m kiosk.records.scrub DATABASE` prints the names of the tables that differ as JSON.
"""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from kiosk.errors import RecordError
from kiosk.records.backup import backup
from kiosk.records.rebuild import differences, rebuild
from kiosk.records.troubles import translated

LOWEST_PRIORITY = 19


def tables_unlike(database: Path) -> list[str]:
    """Return the names of the tables whose rows are not what the journal says; [] if all are.

    The copy that is looked at was checked page by page, index by index and along the chain before.

    Raises:
        RecordError: the journal itself is not as it was saved. StoreUnavailable: the file is damaged.
    """
    with tempfile.TemporaryDirectory(prefix="kiosk-scrub-") as folder:
        kept, anew = Path(folder) / "kept.db", Path(folder) / "anew.db"
        backup(database, kept)
        shutil.copyfile(kept, anew)
        with translated(anew), closing(sqlite3.connect(kept)) as one, closing(sqlite3.connect(anew)) as other:
            other.execute("PRAGMA foreign_keys = ON")  # what does not fit is set aside there as here
            other.execute("PRAGMA synchronous = OFF")  # a copy that nobody needs after a power cut
            rebuild(other)
            return differences(one, other)


def main(database: str) -> int:
    """Print what was found; exit 1 with a sentence where the records cannot be looked at."""
    if hasattr(os, "nice"):
        os.nice(LOWEST_PRIORITY)
    try:
        print(json.dumps(tables_unlike(Path(database))))
    except RecordError as error:
        print(error.operator_message, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
