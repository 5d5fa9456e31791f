"""Shared by all tests: the demo yard with two months of history, built once. Nothing opens a window or a network."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk import language

SMALL_DAYS = 60


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    """Leave the kiosk speaking English: whose badge a test scanned last is nothing to the next one."""
    yield
    language.speak("en")


@pytest.fixture(scope="session")
def built_yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a small demo yard; nobody may write into it."""
    from demo_shop.build import build

    return build(tmp_path_factory.mktemp("yard") / "shop", days=SMALL_DAYS)


@pytest.fixture
def yard(built_yard: Path, tmp_path: Path) -> Path:
    """Return a copy of the small demo yard that a test may change."""
    folder = tmp_path / "shop"
    shutil.copytree(built_yard, folder)
    return folder


def address_book(yard: Path) -> list[dict[str, str]]:
    """Return the yard's address book: which label number is on what."""
    with (yard / "labels.csv").open(newline="", encoding="utf-8") as book:
        return list(csv.DictReader(book))
