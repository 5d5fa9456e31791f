"""Renders every sample screen to PNG: `pictures.py FOLDER [NAME…] [--size 1024x600] [--night] [--language es]`."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

SIZES = {"1280x800": 126.0, "1024x600": 119.0}
HERE = Path(__file__).resolve().parent


def main() -> int:
    """Render the asked screens; without --size one process for each size."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("names", nargs="*")
    parser.add_argument("--size", choices=SIZES)
    parser.add_argument("--night", action="store_true")
    parser.add_argument("--language", default="en")
    asked = parser.parse_args()
    if asked.size is None:
        return max(subprocess.call([sys.executable, __file__, *sys.argv[1:], "--size", size]) for size in SIZES)
    asked.folder.mkdir(parents=True, exist_ok=True)
    render(asked.folder, asked.size, asked.names, "night" if asked.night else "day", asked.language)
    return 0


def render(folder: Path, size: str, names: list[str], theme_name: str, language: str) -> None:
    """Render the samples called `names` (all without any) in one window."""
    if "DISPLAY" not in os.environ:
        os.environ["SDL_VIDEODRIVER"] = "offscreen"
    sys.path[:0] = [str(HERE), str(HERE.parents[1]), str(HERE.parent / "data")]
    from screen_window import SampleWindow

    width, height = (int(part) for part in size.split("x"))
    with tempfile.TemporaryDirectory() as home:
        window = SampleWindow(Path(home), width, height, SIZES[size], theme_name)
        for name, face in window.sample_faces():
            if not names or name in names:
                window.show_sample(name, face, language)
                tail = f"{'-' + face if face else ''}-{size}-{theme_name}{'' if language == 'en' else '-' + language}"
                window.picture(folder / f"{name}{tail}.png")


if __name__ == "__main__":
    sys.exit(main())
