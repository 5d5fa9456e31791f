"""The linter finds nothing, and the types of the layers that must not be wrong hold in strict mode."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


def test_ruff__whole_repository__finds_nothing() -> None:
    """What `ruff check` finds is mended before it lands."""
    done = subprocess.run([sys.executable, "-m", "ruff", "check", "--output-format", "concise", "."], cwd=ROOT,
                          capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "All checks passed!"


@pytest.mark.slow
def test_mypy_strict__calc_labels_records_presenters__finds_nothing(tmp_path: Path) -> None:
    """Types hold where a wrong one would be a wrong number, a wrong record or a wrong label."""
    folders = ["kiosk/calc", "labels", "kiosk/records", "kiosk/presenters", "kiosk/language.py",
               "kiosk/spoken_sheets.py"]
    done = subprocess.run([sys.executable, "-m", "mypy", "--strict", "--cache-dir", str(tmp_path), *folders], cwd=ROOT,
                          capture_output=True, text=True, check=False)
    assert "Success: no issues found" in done.stdout, done.stdout[-3000:]
