"""Short tones of our own: 'read', 'refused', 'saved', 'timer'. Silent where there is no sound device."""

from __future__ import annotations

import logging
from typing import Any

from kiosk.widgets.theme import assets_folder

SOUNDS = ("read", "refused", "saved", "timer")
_log = logging.getLogger(__name__)
_loaded: dict[str, Any] = {}


def feedback(name: str) -> None:
    """Play one of `SOUNDS`; an unknown name or a missing device is silent."""
    if name not in SOUNDS:
        return
    if name not in _loaded:
        _loaded[name] = _load(name)
    if _loaded[name] is not None:
        _loaded[name].stop()
        _loaded[name].play()


def _load(name: str) -> Any:
    # The sound provider is looked for when the first sound is due, so that it does not delay the first frame.
    from kivy.core.audio import SoundLoader

    sound = SoundLoader.load(str(assets_folder() / "sounds" / f"{name}.wav"))
    if sound is None:
        _log.info("no sound device: %s is silent", name)
    return sound
