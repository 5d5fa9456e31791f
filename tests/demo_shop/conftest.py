"""The demo shop with a short history, built once; and the whole three years as events, never saved."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from demo_shop.build import SHEETS, build_small
from demo_shop.history import History, Scope, this_morning
from kiosk.events import Event
from kiosk.shop import Shop

NOW = datetime(2026, 3, 3, 15, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def now() -> datetime:
    """The moment at which the demo shop was built."""
    return NOW


@pytest.fixture(scope="session")
def small_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A demo shop with two months of history, ending on a Tuesday in March."""
    return build_small(tmp_path_factory.mktemp("demo") / "shop", NOW)


@pytest.fixture(scope="session")
def small_shop(small_folder: Path) -> Iterator[Shop]:
    """The short demo shop, open."""
    with Shop.open(small_folder) as shop:
        yield shop


@pytest.fixture(scope="session")
def three_years() -> list[Event]:
    """Every event of the whole history, in order."""
    from kiosk.sheets import SheetShelf

    history = History(Scope(this_morning(NOW)), SheetShelf.load(SHEETS))
    return [event for events in history for event in events]
