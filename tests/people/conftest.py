"""A small real shop in the test's own folder, and a kiosk on it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pin_kiosk import Kiosk, crew_events

from demo_shop.build import SHEETS
from kiosk.shop import Shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Return a shop with the small yard's crew, machine and parts, and no PIN."""
    folder = tmp_path / "shop"
    (folder / "sheets").mkdir(parents=True)
    sheet = (SHEETS / "shaft-bearing.toml").read_text("utf-8").replace('key = "shaft-bearing"', 'key = "bearing"')
    (folder / "sheets" / "bearing.toml").write_text(sheet, "utf-8")
    (folder / "kiosk.toml").write_text("kiosk = 7\n", encoding="utf-8")
    with Shop.open(folder) as opened:
        opened.records.append_all(list(crew_events()))
        yield opened


@pytest.fixture
def kiosk(shop: Shop) -> Kiosk:
    """Return the kiosk on that shop; hashing is done at once."""
    return Kiosk(shop)


@pytest.fixture(autouse=True)
def cheap_hash(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Hash with little memory, but where a test measures the real cost."""
    if "full_cost" not in request.fixturenames:
        monkeypatch.setattr("kiosk.pins.N", 1 << 4)


@pytest.fixture
def full_cost() -> None:
    """A test that takes this hashes as the kiosk does."""
