"""A month of shifts in one process and one window: memory, open files, threads and frame time stay flat.

`KIOSK_ENDURANCE_EVENTS` sets how many events (a whole month: 20,000, some twenty minutes); a short run is the default.
Growth is from the end of the warm-up, a quarter of the run, to the end; the frame time of the last third stands beside
that of the first third after the warm-up, by the clock and by the processor's own (other programs left out).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from demo_yard import ROOT
from endurance_probe import p95
from figures import Figure, beside

from demo_shop.build import build_small
from demo_shop.drive import a_display

BENCH = "endurance"
SHORT_RUN = 800


def run() -> list[Figure]:
    """Live through the month on a small demo yard."""
    events = int(os.environ.get("KIOSK_ENDURANCE_EVENTS", SHORT_RUN))
    found = _month(events)
    looks = found["looks"]
    first, last = looks[0], looks[-1]
    cases = last["events"]
    return [
        Figure(BENCH, "memory growth", last["memory_mb"] - first["memory_mb"], "MB", cases=cases),
        Figure(BENCH, "memory", last["memory_mb"], "MB", cases=cases),
        Figure(BENCH, "open files growth", last["files"] - first["files"], "", cases=cases),
        Figure(BENCH, "threads growth", last["threads"] - first["threads"], "", cases=cases),
        _last_beside_first("frame time p95", found["frames_ms"]),
        _last_beside_first("frame work p95", found["work_ms"]),
        Figure(BENCH, "scans", found["scans"], "", cases=cases),
    ]


def _last_beside_first(figure: str, frames_ms: list[float]) -> Figure:
    """Return the last third's 95th percentile beside the first third's after the warm-up."""
    warm = frames_ms[len(frames_ms) // 4:]
    third = len(warm) // 3
    return beside(BENCH, figure, p95(warm[-third:]), "ms", "the first third", p95(warm[:third]), len(warm))


def _month(events: int) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as folder, a_display("1280x800"):
        shop = build_small(Path(folder) / "shop")
        home = Path(folder) / "kivy"
        home.mkdir()
        environment = {**os.environ, "KIVY_HOME": str(home), "KIVY_NO_CONSOLELOG": "1", "KIVY_NO_ARGS": "1",
                       "PYTHONPATH": os.pathsep.join([str(ROOT), *(path for path in sys.path if path)])}
        done = subprocess.run([sys.executable, str(Path(__file__).with_name("endurance_probe.py")), str(shop),
                               str(events)], env=environment, capture_output=True, text=True, check=False)
        shutil.rmtree(home, ignore_errors=True)
    if done.returncode or not done.stdout:
        raise RuntimeError(f"the month did not come to its end: {done.stderr[-3000:]}")
    answer: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return answer
