"""Has the tables held against the journal from time to time, by a process of its own beside the kiosk's work."""

from __future__ import annotations

import json
import logging
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

from kiosk.language import tr

EVERY_S = 6 * 3600.0
# After the start the kiosk has better things to do.
FIRST_S = 300.0
_LOOK_S = 0.5
_log = logging.getLogger(__name__)


class Scrubber:
    """Says when the tables are not what the journal says.

    Args:
        database: The records' file. `clock`: seconds that only go on. [s]
    """

    def __init__(self, database: Path, clock: Callable[[], float] = time.monotonic) -> None:
        self._database, self._clock = database, clock
        self._next = clock() + FIRST_S

    def is_due(self) -> bool:
        """Return whether it is time."""
        return self._clock() >= self._next

    def scrub(self, stop: threading.Event) -> str:
        """Look at all tables and return a sentence for the operator, '' if all is well; given up once `stop` is set."""
        self._next = self._clock() + EVERY_S
        command = [sys.executable, "-m", "kiosk.records.scrub", str(self._database)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
            while process.poll() is None:
                if stop.wait(_LOOK_S):
                    process.kill()
                    return ""
            out, err = process.communicate()
        if process.returncode:
            _log.error("the tables could not be held against the journal: %s", err)
            said = err.strip().splitlines()[-1:] or [""]
            return tr("The records could not be checked. {why}").format(why=said[0]) if process.returncode == 1 else ""
        return _sentence(json.loads(out))


def _sentence(tables: list[str]) -> str:
    _log.log(logging.ERROR if tables else logging.INFO, "tables unlike the journal: %s", tables or "none")
    if not tables:
        return ""
    return tr("What is shown may be wrong: {tables} not as the journal says. Nothing that was saved is lost. Have a "
              "supervisor make the tables anew: 'Supervisor', then 'Backups'.").format(tables=", ".join(tables))
