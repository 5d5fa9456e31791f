"""Every sample screen measured on both panels in both themes and every language: what a gloved hand and an eye at arm's
length get. One window for each panel and theme, in a process of its own; `python bench_sizes.py PANEL THEME` is one.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
SCREENS = HERE.parent / "screens"
BENCH = "sizes"
# Width and height [px] with pixels per inch, as in tests/screens/conftest.py.
PANELS = {"1280x800": (1280, 800, 126.0), "1024x600": (1024, 600, 119.0)}
THEMES = ("day", "night")


def run() -> list[Any]:
    """Return the worst of everything, over all screens, sizes, themes and languages."""
    from figures import Figure

    rows = [row for panel in PANELS for theme in THEMES for row in _measured(panel, theme)]
    cases = len(rows)
    worst = [
        ("smallest target mm", min(row["target"] for row in rows), "mm", "20 mm for a gloved hand", 20.0),
        ("smallest gap mm", min(row["gap"] for row in rows), "mm", "5 mm between targets", 5.0),
        ("lowest contrast", min(row["contrast"] for row in rows), ":1", "7:1, WCAG 2.2 enhanced", 7.0),
        ("smallest text arcmin", min(row["text"] for row in rows), "arcmin", "22 at 600 mm, ISO 9241-303", 22.0),
    ]
    counts = [(name, sum(row[key] for row in rows)) for name, key in (("clipped texts", "clipped"),
                                                                      ("overlaps", "overlaps"))]
    return [
        *(Figure(BENCH, name, value, unit, peer, limit, value / limit, cases)
          for name, value, unit, peer, limit in worst),
        *(Figure(BENCH, name, float(count), "", cases=cases) for name, count in counts),
    ]


def _measured(panel: str, theme: str) -> list[dict[str, Any]]:
    command = [sys.executable, str(Path(__file__).resolve()), panel, theme]
    environment = os.environ | {"KIVY_NO_ARGS": "1"}
    if "DISPLAY" not in environment:
        environment["SDL_VIDEODRIVER"] = "offscreen"
    done = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True, env=environment)
    return [json.loads(line) for line in done.stdout.splitlines() if line.startswith('{"screen"')]


def measure_all(panel: str, theme: str) -> None:
    """Print what each screen measures in each language, a line of JSON each; what is wrong goes to stderr."""
    sys.path[:0] = [str(SCREENS), str(HERE.parent / "data"), str(HERE.parent.parent)]
    from screen_measure import measure
    from screen_window import SampleWindow

    from kiosk.language import LANGUAGES

    with tempfile.TemporaryDirectory() as home:
        window = SampleWindow(Path(home), *PANELS[panel], theme)
        for language in LANGUAGES:
            for name, face in window.sample_faces():
                window.show_sample(name, face, language)
                found = measure(window.stage, PANELS[panel][2])
                for fault in found.clipped + found.overlaps:
                    print(f"{panel} {theme} {language} {name} {face}: {fault}", file=sys.stderr)
                print(json.dumps({
                    "screen": f"{name} {face}".strip(), "language": language, "target": found.smallest_target_mm,
                    "gap": found.smallest_gap_mm, "text": found.smallest_text_arcmin,
                    "contrast": found.lowest_contrast, "clipped": len(found.clipped),
                    "overlaps": len(found.overlaps)}), flush=True)


if __name__ == "__main__":
    measure_all(*sys.argv[1:3])
