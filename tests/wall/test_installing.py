"""What `kiosk install` plans and writes, held against systemd's own reading of it."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from kiosk.__main__ import main
from kiosk.errors import InstallRefused
from kiosk.wall.installing import SERVICE, Wish, carry_out, demand_shop, differences, planned_commands, planned_files


def test_dry_run_shows_every_file_and_changes_nothing(yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
                                                      ) -> None:
    """Without --carry-out the other root stays empty."""
    root = tmp_path / "root"
    assert main(["install", "--shop", str(yard), "--root", str(root)]) == 0
    said = capsys.readouterr().out
    assert all(str(file.path) in said for file in planned_files(Wish(yard))) and "Nothing was changed" in said
    assert not root.exists()


def test_files_are_written_once_and_then_as_planned(yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
                                                    ) -> None:
    """Carried out under another root, as for a disk image; a second dry run finds nothing to change."""
    arguments = ["install", "--shop", str(yard), "--root", str(tmp_path / "root"), "--json"]
    assert main([*arguments, "--carry-out"]) == 0
    capsys.readouterr()
    assert main(arguments) == 0
    assert json.loads(capsys.readouterr().out)["files"] == []
    assert list(differences(planned_files(Wish(yard)), tmp_path / "root")) == []


@pytest.mark.skipif(not shutil.which("systemd-analyze") or not shutil.which("xinit"), reason="no systemd or no xinit")
def test_systemd_finds_no_fault_in_the_service(tmp_path: Path) -> None:
    """`systemd-analyze verify`, the reference reader, on a shop whose folder has a space and a percent sign."""
    shop = tmp_path / "our shop 100 %"
    program = tmp_path / "program"
    shop.mkdir()
    wish = Wish(shop, "root", program)
    carry_out(wish, tmp_path / "root")
    unit = tmp_path / "root/etc/systemd/system" / SERVICE
    done = subprocess.run(["systemd-analyze", "verify", "--man=no", str(unit)], capture_output=True, text=True,
                          check=False)
    ours = [line for line in done.stderr.splitlines() if SERVICE in line]
    assert done.returncode == 0 and ours == []


def test_session_is_a_script_that_a_shell_can_read(tmp_path: Path) -> None:
    """`sh -n` on a shop whose folder holds a quote."""
    session = next(file for file in planned_files(Wish(tmp_path / "Jo's shop")) if file.path.name == "session")
    assert subprocess.run(["sh", "-n"], input=session.text, text=True, check=False).returncode == 0


def test_folder_of_something_else_is_refused(tmp_path: Path) -> None:
    """The shop's folder is given to the kiosk's user: a slip like `/etc` must not be."""
    (tmp_path / "passwd").touch()
    with pytest.raises(InstallRefused, match="something else than a shop"):
        demand_shop(tmp_path)


def test_user_that_is_there_is_not_made_again(yard: Path) -> None:
    """'root' is on every system."""
    made = [command for command in planned_commands(Wish(yard, user="root")) if command[0] == "useradd"]
    assert made == []
