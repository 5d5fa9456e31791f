"""The log files of a kiosk."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from logging.handlers import RotatingFileHandler
from pathlib import Path

import pytest

from kiosk.wall.log import FILE_NAME, FILES_KEPT, FOLDER, keep_log


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Path]:
    (tmp_path / "kiosk.toml").write_text("kiosk = 1\n")
    yield tmp_path
    root = logging.getLogger()
    for handler in [one for one in root.handlers if isinstance(one, RotatingFileHandler)]:
        root.removeHandler(handler)
        handler.close()


def test_log_files_never_grow_past_their_bound(shop: Path) -> None:
    """Ten thousand lines through files of 20 kB: six of them at most."""
    keep_log(shop, 20_000)
    for number in range(10_000):
        logging.getLogger("kiosk.test").warning("line %d", number)
    files = sorted((shop / FOLDER).iterdir())
    assert len(files) == FILES_KEPT + 1 and all(file.stat().st_size <= 20_000 for file in files)
    assert "line 9999" in (shop / FOLDER / FILE_NAME).read_text()


def test_folder_that_is_no_shop_gets_no_log(tmp_path: Path) -> None:
    """`kiosk run` in the wrong folder leaves nothing behind."""
    keep_log(tmp_path)
    assert not (tmp_path / FOLDER).exists()
