"""A queue between real records and a printer that does as it is told."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from print_bench import Bench, bench_in


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """Return the bench with five labels issued."""
    made = bench_in(tmp_path)
    yield made
    made.records.close()
