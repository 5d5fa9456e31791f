"""Shared by the tests of the set-up: a new, empty shop with the packaged sheets, and a set-up desk on it."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from pages import Pages

from kiosk.presenters.set_up_ports import FirstYard
from kiosk.presenters.set_up_start import SetUpStart
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


@pytest.fixture
def pages(desk: SetUpDesk) -> Pages:
    """Return the pages of a shop whose yard is made, its supervisor signed in, on the set-up's first page."""
    boss = desk.record_founding(FirstYard("Kelp Lane Depot", "Ana Peña", 3, "Europe/Berlin", "mm", "A4"))
    pages = Pages(desk.shop)
    pages.sign_in(boss)
    pages.desk.open_page(SetUpStart(pages.desk))
    return pages
