"""Wheels of this checkout under version numbers of the tests' own, some with a fault planted."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
MakeWheel = Callable[..., Path]


@pytest.fixture(scope="session")
def make_wheel(tmp_path_factory: pytest.TempPathFactory) -> MakeWheel:
    """Return a maker of wheels: version, a module to plant a fault in, and the text to add at its end."""

    def make(version: str, module: str = "", added: str = "") -> Path:
        source = tmp_path_factory.mktemp(f"source-{version}")
        for name in ("kiosk", "labels", "demo_shop", "assets"):
            shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns(
                "__pycache__", "shop", "out", "pictures"))
        for name in ("pyproject.toml", "README.md"):
            shutil.copy(ROOT / name, source)
        project = source / "pyproject.toml"
        text = project.read_text()
        old = next(line for line in text.splitlines() if line.startswith("version = "))
        project.write_text(text.replace(old, f'version = "{version}"'))
        if module:
            file = source / module
            file.write_text(file.read_text(encoding="utf-8") + added, encoding="utf-8")
        out = tmp_path_factory.mktemp(f"wheel-{version}")
        subprocess.run([sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(out),
                        str(source)], check=True)
        return next(out.glob("*.whl"))

    return make
