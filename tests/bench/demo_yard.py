"""What the window benches share: a copy of the demo yard, and a window measured in a process of its own."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from demo_shop.build import SHOP, build
from demo_shop.drive import a_display

PROBE = Path(__file__).with_name("window_probe.py")
ROOT = Path(__file__).resolve().parents[2]


@contextmanager
def demo_yard() -> Iterator[Path]:
    """Give a copy of the demo yard with three years of history, and a display to show it on."""
    if not (SHOP / "kiosk.toml").exists():
        build(SHOP)
    with tempfile.TemporaryDirectory() as folder, a_display("1280x800"):
        yield Path(shutil.copytree(SHOP, Path(folder) / "shop"))


def measured(kind: str, shop: Path) -> dict[str, float]:
    """Run the probe and return what it measured; `first_frame_s` counts from before the process began. [s]"""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "KIVY_NO_CONSOLELOG": "1",
                   "KIVY_HOME": tempfile.mkdtemp(dir=shop.parent)}
    started = time.time()
    run = subprocess.run([sys.executable, str(PROBE), kind, str(shop)], env=environment, capture_output=True,
                         text=True, timeout=120, check=False)
    if run.returncode or not run.stdout:
        raise RuntimeError(f"the window probe failed: {run.stderr[-2000:]}")
    answer: dict[str, float] = json.loads(run.stdout.splitlines()[-1])
    return {**answer, "first_frame_s": answer.get("first_frame_at", started) - started}
