"""How many disks a power cut could leave were opened by the kiosk, and what was lost, doubled or half on them.

Every workload of `power_cuts` is cut at every write and sync, on the SQLite of this Python and on apsw's. The counts
by workload and kind go to stderr.
"""

from __future__ import annotations

import sys

from figures import Figure
from power_cuts import look_at_campaign

BENCH = "crash-images"


def run() -> list[Figure]:
    """Return the number of disks that were opened and how many were not as they must be."""
    tally = look_at_campaign()
    print(tally.by_kind(), *tally.examples, sep="\n", file=sys.stderr)
    figures = {"images": tally.images, "lost": tally.lost, "doubled": tally.doubled,
               "half": tally.half + tally.unopened}
    return [Figure(BENCH, figure, value, "", cases=tally.images) for figure, value in figures.items()]
