"""Prints, after a run, how many check values passed in each class of provenance."""

from __future__ import annotations

from collections import Counter
from typing import Any

CLASSES = ("published", "reference_library", "derived", "common_practice", "from_memory")


def _counts(reports: list[Any]) -> Counter[str]:
    names = [report.nodeid.rstrip("]") for report in reports if "test_check_value[" in report.nodeid]
    return Counter(label for name in names for label in CLASSES if name.endswith(f"-{label}"))


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Show passed and failed check values by class, when any were run."""
    passed = _counts(terminalreporter.stats.get("passed", []))
    failed = _counts(terminalreporter.stats.get("failed", []))
    if not passed and not failed:
        return
    terminalreporter.section("check values by where the expected number comes from")
    for label in CLASSES:
        name = label.replace("_", " ")
        terminalreporter.write_line(f"{name:20}{passed[label]:5} passed{failed[label]:5} failed")
    terminalreporter.write_line(f"{'all':20}{passed.total():5} passed{failed.total():5} failed")
