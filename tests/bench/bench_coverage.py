"""Branch coverage of the folders that must not be wrong, by the tests that need no window: lines and branches."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
BENCH = "coverage"
FOLDERS = ("kiosk/calc", "labels", "kiosk/records", "kiosk/presenters")
TESTS = ("calc", "labels", "records", "presenters", "people", "printing", "sheets", "reports", "language", "demo_shop",
         "guided", "rounds", "set_up", "scan", "fuzz", "hub")
LEAST_PERCENT = 90.0


def run() -> list[Any]:
    """Run the tests under coverage once and return a figure a folder."""
    from figures import Figure

    files = _measured()
    found = []
    for folder in FOLDERS:
        own = [data["summary"] for name, data in files.items() if name.startswith(folder + "/")]
        all_of = sum(one["num_statements"] + one["num_branches"] for one in own)
        hit = sum(one["covered_lines"] + one["covered_branches"] for one in own)
        percent = 100.0 * hit / all_of
        found.append(Figure(BENCH, f"branch coverage of {folder}", percent, "%", "90 % wanted", LEAST_PERCENT,
                            percent / LEAST_PERCENT, len(own)))
    return found


def _measured() -> dict[str, Any]:
    """Return coverage's account, by file."""
    with tempfile.TemporaryDirectory() as folder:
        account = Path(folder) / "coverage.json"
        tests = [f"tests/{name}" for name in TESTS if (ROOT / "tests" / name).is_dir()]
        sources = [f"--cov={one}" for one in FOLDERS]
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-m", "not window", "-p", "no:cacheprovider", "--cov-branch",
             *sources, f"--cov-report=json:{account}", *tests], cwd=ROOT, stdout=subprocess.PIPE, text=True,
            check=False, env=_environment(folder))
        print(done.stdout[-1500:], file=sys.stderr)
        files: dict[str, Any] = json.loads(account.read_text(encoding="utf-8"))["files"]
        return files


def _environment(folder: str) -> dict[str, str]:
    import os

    return os.environ | {"COVERAGE_FILE": str(Path(folder) / "coverage"), "PYTHONPATH": str(ROOT)}


if __name__ == "__main__":
    print(run())
