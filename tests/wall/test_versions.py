"""Updates from real wheels into real environments, taken back when they do not last."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import sysconfig
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from kiosk.errors import UpdateRefused
from kiosk.wall.installing import Wish, planned_files
from kiosk.wall.updating import count_start, take_back, update, wheels_on_sticks
from kiosk.wall.versions import TRIAL_STARTS, Program, Trial, version_of

LIBRARIES = Path(sysconfig.get_path("purelib"))
MIGRATIONS = "kiosk/records/migrations/__init__.py"
MakeWheel = Callable[..., Path]
NEWER_SCHEMA = """

def _later(statement):
    import importlib
    migrations = importlib.import_module("kiosk.records.migrations")
    class Later:
        NUMBER, TITLE, REBUILD, SQL = migrations.MIGRATIONS[-1].NUMBER + 1, "later", False, (statement,)
    migrations.MIGRATIONS = (*migrations.MIGRATIONS, Later)
    migrations.migrate.__defaults__ = (migrations.MIGRATIONS,)
"""
WORKING_SCHEMA = NEWER_SCHEMA + '\n_later("CREATE TABLE later (id INTEGER PRIMARY KEY);")\n'
BROKEN_SCHEMA = NEWER_SCHEMA + '\n_later("CREATE TABLE journal (id INTEGER PRIMARY KEY);")\n'
RUN_FAILS = '\n\ndef run_kiosk(folder, options):\n    raise SystemExit(7)\n'


def entries(program: Program, shop: Path) -> int:
    """Return how many entries the current version finds in the records, the chain verified."""
    done = subprocess.run([str(program.python(program.current() or "")), "-m", "kiosk", "verify", "--json", "--shop",
                           str(shop)], capture_output=True, text=True, check=True, cwd="/", env=clean_environment())
    return int(json.loads(done.stdout)["entries"])


def clean_environment() -> dict[str, str]:
    return {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}


@pytest.fixture(scope="session")
def first_wheel(make_wheel: MakeWheel) -> Path:
    return make_wheel("1.0.0")


@pytest.fixture
def program(tmp_path: Path, yard: Path, first_wheel: Path) -> Program:
    """A kiosk that runs version 1.0.0."""
    program = Program(tmp_path / "program")
    update(yard, program, first_wheel, Path(sys.executable), print)
    return program


@pytest.mark.slow
def test_update_runs_from_the_next_start_and_goes_back_with_its_records(program: Program, yard: Path,
                                                                        make_wheel: MakeWheel) -> None:
    """1.0.0 → 1.1.0 with a migration that 1.0.0 does not know → back: the old version opens every entry again."""
    before = entries(program, yard)
    wheel = make_wheel("1.1.0", MIGRATIONS, WORKING_SCHEMA)
    update(yard, program, wheel, Path(sys.executable), print)
    assert (program.current(), program.before()) == ("1.1.0", "1.0.0")
    assert entries(program, yard) == before
    assert program.trial() is not None
    assert take_back(program, print) == "1.0.0"
    assert program.current() == "1.0.0" and program.trial() is None
    assert entries(program, yard) == before + 1, "all that was there, and that it was put back"
    assert list(yard.glob("*.before-restore-*")), "the newer file is kept aside"


@pytest.mark.slow
def test_update_that_spoils_the_records_is_refused_before_anything_changes(program: Program, yard: Path,
                                                                           make_wheel: MakeWheel) -> None:
    """Its migration fails on the copy; the records and the version that runs are as they were."""
    records = (yard / "kiosk.db").read_bytes()
    wheel = make_wheel("1.2.0", MIGRATIONS, BROKEN_SCHEMA)
    with pytest.raises(UpdateRefused, match="does not work with this yard's records"):
        update(yard, program, wheel, Path(sys.executable), print)
    assert program.versions() == ["1.0.0"] and program.current() == "1.0.0" and program.trial() is None
    assert (yard / "kiosk.db").read_bytes() == records


@pytest.mark.slow
@pytest.mark.window
@pytest.mark.skipif(not shutil.which("xinit") or not shutil.which("Xvfb"), reason="no xinit or no Xvfb here")
def test_session_takes_back_a_version_that_does_not_stay_up(program: Program, yard: Path, make_wheel: MakeWheel,
                                                            tmp_path: Path) -> None:
    """The real session on a virtual X server: 2.0.0 ends at once, three times; the fourth start is 1.0.0's window."""
    update(yard, program, make_wheel("2.0.0", "kiosk/commands/run.py", RUN_FAILS), Path(sys.executable), print)
    session = next(file for file in planned_files(Wish(yard, program=program.folder)) if file.path.name == "session")
    script = program.folder / "session"
    script.write_text(session.text)
    script.chmod(session.mode)
    for _ in range(TRIAL_STARTS):
        assert program.current() == "2.0.0"
        start_session(script).wait(timeout=120)
    running = start_session(script)
    try:
        wait_until(lambda: program.current() == "1.0.0" and (yard / "window.lock").exists())
        wait_until(lambda: (yard / "log" / "kiosk.log").exists())
        assert running.poll() is None
    finally:
        os.killpg(running.pid, signal.SIGTERM)
        running.wait(timeout=30)


def start_session(script: Path) -> subprocess.Popen[bytes]:
    """Start a session as the service does, on an X server that needs no screen."""
    environment = clean_environment() | {"KIVY_NO_ARGS": "1", "LIBGL_ALWAYS_SOFTWARE": "1"}
    environment.pop("DISPLAY", None)
    number = next(number for number in range(200, 300) if not Path(f"/tmp/.X11-unix/X{number}").exists())
    return subprocess.Popen(["xinit", str(script), "--", str(shutil.which("Xvfb")), f":{number}", "-screen", "0",
                             "1280x800x24", "-nolisten", "tcp"], env=environment, start_new_session=True,
                            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def wait_until(is_so, seconds: float = 90.0) -> None:
    end = time.monotonic() + seconds
    while not is_so():
        assert time.monotonic() < end
        time.sleep(0.2)


# --- without environments ---


def test_trial_counts_starts_and_goes_back_after_three(tmp_path: Path) -> None:
    """Each start is counted before it happens; the one after the third takes the version back."""
    program = Program(tmp_path)
    for version in ("1.0.0", "1.1.0"):
        (program.path(version) / "bin").mkdir(parents=True)
        (program.path(version) / "bin" / "kiosk").touch()
        program.switch(version)
    program.begin_trial(Trial("1.1.0", "1.0.0", str(tmp_path), ""))
    assert [count_start(program, print) for _ in range(TRIAL_STARTS + 1)] == [False, False, False, True]
    assert program.current() == "1.0.0"


def test_version_that_lasted_is_on_trial_no_more(tmp_path: Path) -> None:
    """After a minute the trial ends; later starts count for nothing."""
    program = Program(tmp_path)
    program.begin_trial(Trial("1.1.0", "1.0.0", str(tmp_path), ""))
    program.settle()
    assert program.trial() is None and count_start(program, print) is False


def test_version_that_is_there_is_not_installed_over(tmp_path: Path, first_wheel: Path) -> None:
    """Installing over what runs would pull the program away from under it."""
    program = Program(tmp_path / "program")
    kiosk = program.path("1.0.0") / "bin" / "kiosk"
    kiosk.parent.mkdir(parents=True)
    kiosk.write_text("runs")
    with pytest.raises(UpdateRefused, match="installed already"):
        program.stage(first_wheel, Path(sys.executable), LIBRARIES, print)
    assert kiosk.read_text() == "runs"


@pytest.mark.parametrize("name", ["other-1.0.0-py3-none-any.whl", "shaft_and_belt_kiosk-1.0-cp311-linux.whl", "x"])
def test_another_file_is_no_update(tmp_path: Path, name: str) -> None:
    """A stick holds many things."""
    (tmp_path / name).write_bytes(b"PK")
    with pytest.raises(UpdateRefused, match="is no update"):
        version_of(tmp_path / name)


def test_wheel_that_did_not_arrive_whole_is_refused(tmp_path: Path, first_wheel: Path) -> None:
    """The stick was pulled out too early, or a byte changed on it."""
    content = first_wheel.read_bytes()
    cut = tmp_path / first_wheel.name
    cut.write_bytes(content[: len(content) // 2])
    with pytest.raises(UpdateRefused, match="Copy it to the stick again"):
        version_of(cut)
    middle = len(content) // 3
    cut.write_bytes(content[:middle] + bytes([content[middle] ^ 1]) + content[middle + 1:])
    with pytest.raises(UpdateRefused, match="Copy it to the stick again"):
        version_of(cut)


def test_updates_on_sticks_are_listed_newest_first(tmp_path: Path) -> None:
    """By version and not by letter; what is no update of ours is left out."""
    (tmp_path / "stick" / "folder").mkdir(parents=True)
    for name in ("0.9.0", "0.10.0", "0.10.0rc1"):
        (tmp_path / "stick" / "folder" / f"shaft_and_belt_kiosk-{name}-py3-none-any.whl").touch()
    (tmp_path / "stick" / "holiday.whl").touch()
    names = [path.name.split("-")[1] for path in wheels_on_sticks((str(tmp_path),))]
    assert names == ["0.10.0", "0.10.0rc1", "0.9.0"]
