"""Shared by the tests of screens: one window in a private Kivy home, resized and dressed anew for each test."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))
# Width and height [px] with pixels per inch: a 12-inch and a 10-inch panel.
PANELS = {"1280x800": (1280, 800, 126.0), "1024x600": (1024, 600, 119.0)}


@pytest.fixture(scope="session")
def kivy_home() -> Iterator[Path]:
    """Return a folder of Kivy's own for this run; without a display SDL draws off screen."""
    if "DISPLAY" not in os.environ:
        os.environ["SDL_VIDEODRIVER"] = "offscreen"
    with tempfile.TemporaryDirectory() as home:
        yield Path(home)


@pytest.fixture
def open_window(kivy_home: Path) -> Iterator[Callable[..., Any]]:
    """Return a function that opens the window on a panel by name, in the 'day' or 'night' theme."""
    from screen_window import SampleWindow

    opened: list[Any] = []

    def open_on(panel: str = "1280x800", theme_name: str = "day") -> Any:
        window = SampleWindow(kivy_home, *PANELS[panel], theme_name)
        opened.append(window)
        return window

    yield open_on
    for window in opened:
        window.close()
