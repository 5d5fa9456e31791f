"""The wheel: what is in it, and one greasing with it alone, from an empty folder. The lock and the licences."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
import tomllib
import venv
import zipfile
from pathlib import Path

import parts
import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
# What must go along beside the code: each by its ending and where it stands.
ALONG = {"*.kv": "kiosk", "*.toml": "kiosk", "*.sql": "kiosk", "*.mo": "kiosk", "sheets/*.toml": "demo_shop"}


def test_lock__every_dependency__is_there_and_fits() -> None:
    """The lock names an exact version of each direct dependency, one that pyproject.toml allows."""
    locked = dict(line.split("==") for line in parts.LOCK.read_text(encoding="utf-8").splitlines()
                  if line and not line.startswith("#"))
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [Requirement(text) for text in project["dependencies"]]
    unmet = [str(one) for one in wanted if not one.specifier.contains(locked.get(parts.canonical(one.name), "0"))]
    assert unmet == []


def test_licences__every_locked_part__is_listed_with_one() -> None:
    """Nothing is shipped whose licence is not named."""
    listed = {parts.canonical(name): licence for name, licence in re.findall(
        r"^\| ([^|]+) \| ([^|]+) \|$", parts.LICENSES.read_text(encoding="utf-8"), re.M)}
    locked = [line.split("==")[0] for line in parts.LOCK.read_text(encoding="utf-8").splitlines() if "==" in line]
    assert [name for name in locked if not listed.get(name, "").strip()] == []


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel of what git holds, in a copy, as building leaves folders behind."""
    copy, out = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheel")
    files = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True).stdout.split(b"\0")
    subprocess.run(["tar", "-c", "--null", "-T", "-", "-f", str(copy / "source.tar")], cwd=ROOT, check=True,
                   input=b"\0".join(name for name in files if name))
    subprocess.run(["tar", "-x", "-f", "source.tar"], cwd=copy, check=True)
    subprocess.run([sys.executable, "-m", "pip", "wheel", ".", "--no-deps", "--no-build-isolation", "-q",
                    "-w", str(out)], cwd=copy, check=True)
    return next(out.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel into an environment of its own, its dependencies read from this one; return its Python."""
    folder = tmp_path_factory.mktemp("environment")
    venv.create(folder, with_pip=False, symlinks=True)
    python = folder / "bin" / "python"
    subprocess.run([sys.executable, "-m", "pip", "--python", str(python), "install", "-q", "--no-deps", str(wheel)],
                   check=True)
    inner = next(folder.glob("lib/python*/site-packages"))
    # A plain path: modules are found there, but not the link that an editable install of this checkout leaves.
    (inner / "dependencies.pth").write_text(sysconfig.get_paths()["purelib"] + "\n", encoding="utf-8")
    return python


@pytest.mark.slow
def test_wheel__kv_tables_catalogues_fonts_sounds_demo__are_in_it(wheel: Path) -> None:
    """Whatever stands beside the code in the checkout and is needed stands in the wheel."""
    inside = set(zipfile.ZipFile(wheel).namelist())
    wanted = {path.relative_to(ROOT).as_posix() for pattern, folder in ALONG.items()
              for path in (ROOT / folder).rglob(pattern) if "shop" not in path.relative_to(ROOT).parts[1:2]}
    wanted |= {f"kiosk/{path.relative_to(ROOT).as_posix()}" for pattern in ("fonts/*.ttf", "sounds/*.wav")
               for path in (ROOT / "assets").glob(pattern)}
    wanted |= {path.relative_to(ROOT).as_posix() for path in (ROOT / "kiosk" / "records" / "migrations").glob("m*.py")}
    wanted |= {"kiosk/assets/lock.txt", "kiosk/assets/LICENSES.md", "kiosk/assets/LICENSE.txt"}
    assert wanted - inside == set()


@pytest.mark.slow
@pytest.mark.window
def test_wheel__installed_alone__greases_a_bearing_from_an_empty_folder(installed: Path, tmp_path: Path) -> None:
    """Build the demo yard, sign in, confirm, grease, save: with the wheel's own files, none of the checkout's."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"} | {
        "KIVY_HOME": str(tmp_path / "kivy"), "KIVY_NO_ARGS": "1"}
    empty = tmp_path / "empty"
    empty.mkdir()

    def call(*words: str) -> str:
        done = subprocess.run([str(installed), *words], cwd=empty, env=environment, capture_output=True, text=True,
                              timeout=300, check=False)
        assert done.returncode == 0, f"{done.stdout[-2000:]}\n{done.stderr[-4000:]}"
        return done.stdout

    call("-m", "demo_shop.build", "--to", "demo-yard", "--days", "30")
    said = call(str(ROOT / "tests" / "data" / "wheel_greasing.py"), "demo-yard")
    assert str(installed.parent.parent) in said
    assert "every one as it was saved" in call("-m", "kiosk", "verify", "--shop", "demo-yard")
