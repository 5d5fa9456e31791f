"""Kivy's settings for a kiosk, put in place before its window module is imported.

Everything is set by us: no file of a user, no command line, no key of Kivy's own changes how the kiosk behaves.
"""

from __future__ import annotations

import os
from pathlib import Path


def prepare_kivy(home: Path, width_px: int, height_px: int, full_screen: bool = False) -> None:
    """Set Kivy up. Call once, before importing `kiosk.screens.shell`.

    Args:
        home: Private folder for Kivy's own files; made if it is missing.
        width_px, height_px: Window size. [px]
        full_screen: Borderless at the screen's corner, without a mouse cursor. The size must be the screen's; Kivy's
            own full screen draws out of place where no window manager runs.
    """
    home.mkdir(parents=True, exist_ok=True)
    os.environ.setdefault("KIVY_HOME", str(home))
    os.environ["KIVY_NO_ARGS"] = "1"
    os.environ["KIVY_NO_FILELOG"] = "1"
    os.environ["KIVY_LOG_MODE"] = "PYTHON"
    # Without a display Kivy would fall back to a provider that ends the process.
    os.environ.setdefault("KIVY_WINDOW", "sdl2")
    _configure(width_px, height_px, full_screen)


def _configure(width_px: int, height_px: int, full_screen: bool) -> None:
    from kivy.config import Config

    settings = {
        "graphics": {"width": width_px, "height": height_px, "multisamples": 0, "resizable": 0, "maxfps": 40,
                     "fullscreen": 0, "borderless": int(full_screen), "show_cursor": int(not full_screen),
                     "position": "custom" if full_screen else "auto", "left": 0, "top": 0},
        "kivy": {"exit_on_escape": 0, "keyboard_mode": "", "log_level": "warning", "desktop": 0},
        "input": {"mouse": "mouse,disable_multitouch"},
    }
    for section, options in settings.items():
        for name, value in options.items():
            Config.set(section, name, str(value))
