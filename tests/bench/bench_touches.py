"""Scans and touches of the main jobs, counted in real windows driven by scanner keys and touches.

Cautions, asked once a shift and unit, are counted in the rounds only; digits are told by themselves. The peer is the
yard's own budget where it set one.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from demo_yard import ROOT
from figures import Figure, beside

from demo_shop.build import build_small
from demo_shop.drive import a_display

BENCH = "touches"
SIZE = "1280x800"
UNSERVED_DAYS = 15
WALK = ROOT / "tests" / "data" / "round_walk.py"
BUDGET = "the yard's budget"


def run() -> list[Figure]:
    """Drive the demo's jobs, a round that is broken off and taken up, and a round by the scanner alone."""
    with tempfile.TemporaryDirectory() as folder, a_display(SIZE):
        place = Path(folder)
        jobs = _jobs(place)
        shop = build_small(place / "round", datetime.now(UTC) - timedelta(days=UNSERVED_DAYS))
        _python("-m", "kiosk", "label", "--command-cards", "--sheet", "A4", "--shop", str(shop))
        by_scanner = Path(shutil.copytree(shop, place / "scanner"))
        begun, taken_up = _walk("begin", shop, place), _walk("take-up", shop, place)
        alone = _walk("hands-free", by_scanner, place)
    return [*_of_jobs(jobs, begun), *_of_rounds(begun, taken_up, alone)]


def _of_jobs(jobs: dict[str, Any], begun: dict[str, Any]) -> list[Figure]:
    greased = jobs["grease again"]
    scans, touches, digits = begun["counted"]["job with readings"][0]
    return [
        beside(BENCH, "grease", greased["touches"], "touches", BUDGET, 1, 1),
        Figure(BENCH, "grease, scans", greased["scans"], "scans"),
        beside(BENCH, "adjust one reading", touches - digits, "touches beside digits", BUDGET, 4, 1),
        Figure(BENCH, "adjust one reading, digits", digits, "touches"),
        Figure(BENCH, "adjust one reading, scans", scans, "scans"),
        *_plain("splice", jobs["splice"]), *_plain("replace bearing", jobs["replace"]),
    ]


def _plain(name: str, job: dict[str, Any]) -> list[Figure]:
    return [Figure(BENCH, name, job["touches"] - job["digits"], "touches beside digits"),
            Figure(BENCH, f"{name}, digits", job["digits"], "touches"),
            Figure(BENCH, f"{name}, scans", job["scans"], "scans")]


def _of_rounds(begun: dict[str, Any], taken_up: dict[str, Any], alone: dict[str, Any]) -> list[Figure]:
    fittings = begun["fittings"]
    return [
        Figure(BENCH, f"round of {fittings}", begun["touches"] + taken_up["touches"], "touches", cases=fittings),
        Figure(BENCH, f"round of {fittings}, scans", begun["scans"] + taken_up["scans"], "scans", cases=fittings),
        beside(BENCH, "hands-free", alone["touches"], "touches", BUDGET, 0, alone["fittings"]),
        Figure(BENCH, "hands-free, scans", alone["scans"], "scans", cases=alone["fittings"]),
    ]


def _jobs(place: Path) -> dict[str, Any]:
    """Drive the demo's main jobs on a small yard and return its account of them."""
    shop, out = build_small(place / "jobs"), place / "out"
    _python("-m", "demo_shop.drive", "--shop", str(shop), "--out", str(out), "--size", SIZE, "--in-place")
    jobs: dict[str, Any] = json.loads((out / "account.json").read_text(encoding="utf-8"))["jobs"]
    return jobs


def _walk(part: str, shop: Path, place: Path) -> dict[str, Any]:
    account: dict[str, Any] = json.loads(_python(str(WALK), part, str(shop), str(place / "out"), SIZE).splitlines()[-1])
    return account


def _python(*arguments: str) -> str:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "KIVY_NO_CONSOLELOG": "1",
                   "KIVY_HOME": tempfile.mkdtemp(prefix="kivy-")}
    done = subprocess.run([sys.executable, *arguments], env=environment, capture_output=True, text=True, timeout=600,
                          check=False, cwd=ROOT)
    if done.returncode:
        raise RuntimeError(f"{arguments}: {done.stderr[-3000:]}")
    return done.stdout
