"""From the start of the process to the first frame, and the memory then, beside a bare Kivy window of the same run."""

from __future__ import annotations

import statistics

from demo_yard import demo_yard, measured
from figures import Figure, beside

BENCH = "startup"
STARTS = 5


def run() -> list[Figure]:
    """Start kiosk and bare window turn by turn on the demo yard."""
    with demo_yard() as shop:
        pairs = [(measured("kiosk", shop), measured("bare", shop)) for _ in range(STARTS)]
    first = [statistics.median(pair[which]["first_frame_s"] for pair in pairs) for which in (0, 1)]
    memory = [statistics.median(pair[which]["memory_mb"] for pair in pairs) for which in (0, 1)]
    return [
        beside(BENCH, "first frame", first[0], "s", "bare Kivy window", first[1], STARTS),
        beside(BENCH, "memory", memory[0], "MB", "bare Kivy window", memory[1], STARTS),
    ]
