"""Short tones of our own: 'read', 'refused', 'saved', 'timer'. Silent where there is no sound device."""

from __future__ import annotations

import logging
import sys
from pathlib import Path
from typing import Any

from kiosk.widgets.theme import assets_folder

SOUNDS = ("read", "refused", "saved", "timer")
SOUND_DEVICES = Path("/dev/snd")
_log = logging.getLogger(__name__)
_loaded: dict[str, Any] = {}
_silent: list[str] = []


def feedback(name: str) -> None:
    """Play one of `SOUNDS`; an unknown name or a missing device is silent.

    That there is no device is found out once: asking again would write an error for every scan.
    """
    if name not in SOUNDS or _silent:
        return
    if not _loaded and not _has_device():
        _stay_silent("no sound device")
        return
    if name not in _loaded:
        _loaded[name] = _load(name)
    if _loaded[name] is None:
        _stay_silent(f"{name}.wav cannot be played")
        return
    _loaded[name].stop()
    _loaded[name].play()


def _has_device() -> bool:
    """Whether there is a sound card; elsewhere than on Linux the first sound finds it out."""
    return not sys.platform.startswith("linux") or any(SOUND_DEVICES.glob("pcm*p"))


def _stay_silent(why: str) -> None:
    _silent.append(why)
    _log.info("the kiosk stays silent: %s", why)


def _load(name: str) -> Any:
    # The sound provider is looked for when the first sound is due, so that it does not delay the first frame.
    from kivy.core.audio import SoundLoader

    return SoundLoader.load(str(assets_folder() / "sounds" / f"{name}.wav"))
