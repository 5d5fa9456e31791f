"""The window's options of `kiosk run` and `kiosk demo`."""

from __future__ import annotations

import argparse

import pytest

from kiosk.commands import run
from kiosk.errors import ConfigError


def options(*words: str) -> argparse.Namespace:
    """Return the options as they are typed."""
    parser = argparse.ArgumentParser()
    run.add_window(parser)
    return parser.parse_args(words)


def test_size_alone__is_warned_about(caplog: pytest.LogCaptureFixture) -> None:
    """Touch targets are laid out by the panel's pixels per inch, which a size does not tell."""
    assert run._changes(options("--size", "1024x600")) == {"width": 1024, "height": 600}
    assert "--ppi" in caplog.text


def test_size_with_ppi__is_taken_without_a_word(caplog: pytest.LogCaptureFixture) -> None:
    """Both together describe a panel."""
    assert run._changes(options("--size", "1024x600", "--ppi", "119"))["ppi"] == 119.0
    assert not caplog.text


def test_ppi_of_no_panel__is_refused() -> None:
    """Five pixels per inch is a slip."""
    with pytest.raises(ConfigError, match="between 50 and 600"):
        run._changes(options("--ppi", "5"))
