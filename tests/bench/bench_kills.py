"""How many times a worker that saves as fast as it can was killed, and what was lost or doubled."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from figures import Figure
from kills import kill_again_and_again

BENCH = "kills"
KILLS = 200


def run() -> list[Figure]:
    """Return the number of kills and of events that were acknowledged and lost, or doubled."""
    with tempfile.TemporaryDirectory() as folder:
        tally = kill_again_and_again(Path(folder) / "yard.db", KILLS, 0.1)
    print(tally, file=sys.stderr)
    figures = {"kills": tally.kills, "lost": tally.lost, "doubled": tally.doubled}
    return [Figure(BENCH, figure, value, "", cases=tally.saved) for figure, value in figures.items()]
