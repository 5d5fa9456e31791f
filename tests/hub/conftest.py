"""Several kiosks' records in the test's own folder, and what stands in their tables."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kiosk.records import YardRecords


@pytest.fixture
def kiosk(tmp_path: Path) -> Iterator[Callable[[int], YardRecords]]:
    """Open the records of a kiosk by its number, the same ones at the second call."""
    made: dict[int, YardRecords] = {}

    def open_kiosk(number: int) -> YardRecords:
        if number not in made:
            made[number] = YardRecords.open(tmp_path / f"kiosk-{number}.db", number)
        return made[number]

    yield open_kiosk
    for records in made.values():
        records.close()
