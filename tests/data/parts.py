"""Writes the lock of exact versions and the list of licences from what is installed: `python tests/data/parts.py`.

`assets/lock.txt` is for `pip install WHEEL -c lock.txt`; `assets/LICENSES.md` names every part that an installed kiosk
is made of. Both go into the wheel.
"""

from __future__ import annotations

import re
import sys
import tomllib
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
LOCK, LICENSES = ROOT / "assets" / "lock.txt", ROOT / "assets" / "LICENSES.md"
# Where a package's own data names no licence, or only a family: from its licence file.
KNOWN = {"peewee": "MIT", "docutils": "Public domain, BSD-2-Clause", "reportlab": "BSD-3-Clause",
         "scipy": "BSD-3-Clause",
         "matplotlib": "Matplotlib licence (PSF style)", "python-stdnum": "LGPL-2.1-or-later",
         "opencv-python": "Apache-2.0; its wheel bundles FFmpeg (LGPL-2.1) and Qt 5 (LGPL-3)",
         "kivy": "MIT; its wheel bundles SDL2 (zlib) and FreeType"}
BESIDE = """
| of the system | licence |
|---|---|
| SQLite, in Python's own sqlite3 | public domain |
| libzbar0 | LGPL-2.1 |
| libgl1, libegl1 (Mesa, libglvnd) | MIT |
| libxcb1, libxi6, libxrandr2, libxcursor1, libmtdev1 | MIT |
| libglib2.0-0 | LGPL-2.1 |

| in assets | licence |
|---|---|
| fonts/DejaVuSansCondensed*.ttf | Bitstream Vera and Arev licences: fonts/LICENSE_DEJAVU.txt |
| sounds/*.wav, made by sounds/make_tones.py | MIT, ours |
| all drawings on screen, in code | MIT, ours |
"""


@dataclass(frozen=True)
class Part:
    """One installed package."""

    name: str
    version: str
    licence: str


def parts() -> list[Part]:
    """Return what the kiosk's dependencies, with its extra 'hub', come to on this system."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["hub"]]
    found: dict[str, Part] = {}
    for text in wanted:
        _collect(Requirement(text), found)
    return [found[name] for name in sorted(found)]


def canonical(name: str) -> str:
    """Return a package's name as indexes compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def _collect(requirement: Requirement, found: dict[str, Part]) -> None:
    name = canonical(requirement.name)
    if name in found:
        return
    try:
        known = distribution(name)
    except PackageNotFoundError:
        return  # for another system
    found[name] = Part(known.metadata["Name"], known.version, _licence(name))
    for text in known.requires or []:
        inner = Requirement(text)
        extras = requirement.extras or {""}
        if inner.marker is None or any(inner.marker.evaluate({"extra": extra}) for extra in extras):
            _collect(inner, found)


def _licence(name: str) -> str:
    data = distribution(name).metadata
    classifiers = [one.split("::")[-1].strip() for one in data.get_all("Classifier") or [] if one.startswith("License")]
    return str(KNOWN.get(name) or data.get("License-Expression") or next(iter(classifiers), "")
               or (data.get("License") or "").split("\n")[0])


def lock_text(found: list[Part]) -> str:
    """Return the lock."""
    head = "# Exact versions that the tests ran with (Linux x86-64): pip install WHEEL -c lock.txt\n"
    return head + "".join(f"{canonical(part.name)}=={part.version}\n" for part in found)


def licences_text(found: list[Part]) -> str:
    """Return the list of licences."""
    rows = "".join(f"| {part.name} | {part.licence} |\n" for part in found)
    return ("# Licences of all parts\n\nThe kiosk itself: MIT, [LICENSE.txt](LICENSE.txt). Each package brings its "
            "licence's text in its own files.\nMade by `tests/data/parts.py`.\n\n| package | licence |\n|---|---|\n"
            + rows + BESIDE)


def main() -> int:
    """Write both files."""
    found = parts()
    LOCK.write_text(lock_text(found), encoding="utf-8")
    LICENSES.write_text(licences_text(found), encoding="utf-8")
    print(f"{len(found)} packages")
    return 0


if __name__ == "__main__":
    sys.exit(main())
