"""The tones: a kiosk without a sound device finds that out once and stays silent."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.widgets import sounds


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Return the names of the tones that were looked for; none of them can be played."""
    looked_for: list[str] = []
    monkeypatch.setattr(sounds, "_loaded", {})
    monkeypatch.setattr(sounds, "_silent", [])
    monkeypatch.setattr(sounds, "_load", looked_for.append)
    return looked_for


def test_no_sound_card__nothing_is_tried(asked: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Without a card no sound is loaded, as each one tried would write an error."""
    monkeypatch.setattr(sounds, "SOUND_DEVICES", tmp_path)
    monkeypatch.setattr(sounds.sys, "platform", "linux")
    sounds.feedback("read")
    sounds.feedback("saved")
    assert asked == []


def test_card_that_plays_nothing__is_tried_once(asked: list[str], monkeypatch: pytest.MonkeyPatch,
                                                tmp_path: Path) -> None:
    """After one tone that cannot be loaded the kiosk asks no more."""
    (tmp_path / "pcmC0D0p").touch()
    monkeypatch.setattr(sounds, "SOUND_DEVICES", tmp_path)
    sounds.feedback("read")
    sounds.feedback("saved")
    assert asked == ["read"]
