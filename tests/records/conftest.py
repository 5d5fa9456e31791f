"""Real records in the test's own folder, opened as the kiosk opens them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from small_yard import story_events, yard_events

from kiosk.records import YardRecords


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Callable[..., YardRecords]]:
    """Open records at a path of the test's folder; all are closed at the end."""
    made: list[YardRecords] = []

    def open_at(name: str = "yard.db", kiosk: int = 7, **more: Any) -> YardRecords:
        made.append(YardRecords.open(tmp_path / name, kiosk, **more))
        return made[-1]

    yield open_at
    for records in made:
        records.close()


@pytest.fixture
def empty(opened: Callable[..., YardRecords]) -> YardRecords:
    """Return records with nothing in them."""
    return opened()


@pytest.fixture
def yard(empty: YardRecords) -> YardRecords:
    """Return records that hold the small yard."""
    empty.append_all(yard_events())
    return empty


@pytest.fixture
def story(yard: YardRecords) -> YardRecords:
    """Return the small yard with events of every kind on it."""
    yard.append_all(story_events())
    return yard
