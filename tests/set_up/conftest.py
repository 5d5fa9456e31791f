"""Shared by the tests of the set-up: a new, empty shop with the packaged sheets, and a set-up desk on it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.records.ids import new_id
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.templates import SHEETS
from kiosk.shop import Shop


def make_shop(folder: Path, sheets: Path = SHEETS) -> Path:
    """Make a shop's folder without records."""
    folder.mkdir(parents=True)
    shutil.copytree(sheets, folder / "sheets")
    (folder / "kiosk.toml").write_text('kiosk = 3\ntime_zone = "Europe/Berlin"\n', encoding="utf-8")
    return folder


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Return a new shop, open."""
    with Shop.open(make_shop(tmp_path / "new")) as shop:
        yield shop


@pytest.fixture
def desk(shop: Shop) -> SetUpDesk:
    """Return the set-up desk of the new shop."""
    return SetUpDesk(shop, new_id)
