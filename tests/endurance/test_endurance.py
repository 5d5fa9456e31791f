"""Shifts one after the other in one process and one real window: nothing grows, nothing slows down."""

from __future__ import annotations

import bench_endurance
import pytest

pytestmark = [pytest.mark.window, pytest.mark.slow]
# Memory of a short run still grows as pages and queries are first used; a leak of a screen a scan is far beyond this.
MOST_GROWTH_MB = 40.0


def test_endurance__shifts_in_one_process__stay_flat() -> None:
    """Hundreds of events with scans, forms left half typed, histories and sign-ins by PIN: memory, files, threads and
    the work of a frame are at the end what they were after the warm-up."""
    figures = {figure.figure: figure for figure in bench_endurance.run()}
    assert figures["memory growth"].value < MOST_GROWTH_MB
    assert figures["open files growth"].value <= 2
    assert figures["threads growth"].value <= 1
    ratio = figures["frame work p95"].ratio
    assert ratio is not None and ratio < 1.5
