"""Shared by the tests of label reading: drawn pictures, a yard's issued numbers and readers."""

import os
import sys
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "bench"))

import label_pictures

from labels.reading import Reader


@pytest.fixture(scope="session")
def issued() -> list[str]:
    """The issued numbers of a middling yard."""
    return label_pictures.issued_numbers(5_000)


@pytest.fixture(scope="session")
def reader(issued) -> Reader:
    """A reader that knows the issued numbers."""
    return Reader(issued)


@pytest.fixture(scope="session")
def free_reader() -> Reader:
    """A reader that knows no issued numbers."""
    return Reader()


@pytest.fixture(scope="session")
def draw(issued):
    """Draw a picture of an issued label: kind, severity and seed choose it."""
    def one(kind: str, severity: int, seed: int = 0):
        return label_pictures.draw(kind, severity, seed, issued[(seed * 37 + severity * 5) % len(issued)])

    return one


@pytest.fixture(scope="session")
def draw_negative():
    """Draw a picture without an issued label."""
    return label_pictures.draw_negative
