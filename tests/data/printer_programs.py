"""A real IPP printer program and a real print queue on loopback, for tests; both live in a folder of their own.

The printer program runs `print.sh` for each job; a test changes how it behaves by writing `behaviour.sh` beside it.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

NEEDED = ("ippeveprinter", "dbus-run-session")
QUEUE_NEEDED = ("cupsd", "lpadmin", "cupsenable")
_SIZE = "MEMBER collection media-size {{MEMBER integer x-dimension {0} MEMBER integer y-dimension {1}}}"
_MARGINS = " ".join(f"MEMBER integer media-{side}-margin 0" for side in ("bottom", "left", "right", "top"))
_ATTRIBUTES = """\
ATTR textWithoutLanguage printer-make-and-model "Label printer"
ATTR mimeMediaType document-format-supported {formats}
ATTR keyword media-supported om_label_51x25mm
ATTR keyword media-default om_label_51x25mm
ATTR keyword media-ready om_label_51x25mm
ATTR collection media-col-default {{{media}}}
ATTR collection media-col-ready {{{media}}}
ATTR collection media-col-database {{{media}}}
ATTR collection media-size-supported {{MEMBER integer x-dimension 5100 MEMBER integer y-dimension 2500}}
ATTR integer media-bottom-margin-supported 0
ATTR integer media-left-margin-supported 0
ATTR integer media-right-margin-supported 0
ATTR integer media-top-margin-supported 0
ATTR keyword print-scaling-supported none,auto
ATTR keyword print-scaling-default none
ATTR rangeOfInteger copies-supported 1-99
ATTR integer copies-default 1
ATTR keyword pwg-raster-document-type-supported {raster_type}
ATTR resolution pwg-raster-document-resolution-supported 203dpi
ATTR keyword print-color-mode-supported monochrome
ATTR resolution printer-resolution-supported 203dpi
ATTR resolution printer-resolution-default 203dpi
ATTR keyword sides-supported one-sided
ATTR keyword job-creation-attributes-supported copies,document-format,job-name,media,media-col,print-scaling
"""
_PRINT_SH = """\
#!/bin/sh
# Called with the job's file; what it says on stderr is the printer's state.
cd "$(dirname "$0")"
[ -e behaviour.sh ] && . ./behaviour.sh "$@"
cp "$1" "$(pwd)/out/$(date +%s%N)-${IPP_COPIES:-1}.${1##*.}"
"""


def missing(programs: tuple[str, ...]) -> str:
    """Return the programs that are not installed, '' when all are there."""
    return ", ".join(program for program in programs if not shutil.which(program, path=_path()))


def _path() -> str:
    return os.environ.get("PATH", "") + ":/usr/sbin:/sbin"


def free_port() -> int:
    """Return a port of loopback that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_until(is_so: Callable[[], object], seconds: float = 10.0) -> None:
    """Wait until something is so.

    Raises:
        TimeoutError: it never was.
    """
    end = time.monotonic() + seconds
    while not is_so():
        if time.monotonic() > end:
            raise TimeoutError("what was waited for never came")
        time.sleep(0.02)


def _answers(port: int) -> bool:
    with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=0.2):
        return True
    return False


class LabelPrinterProgram:
    """The printer program with a roll of 51 x 25 mm labels.

    Args:
        folder: Its own folder.
        takes_raster: Whether it takes black printer raster beside PDF.
    """

    def __init__(self, folder: Path, takes_raster: bool = True) -> None:
        self.folder, self.port = folder, free_port()
        self.address = f"ipp://localhost:{self.port}/ipp/print"
        self._process: subprocess.Popen[bytes] | None = None
        for part in ("spool", "out"):
            (folder / part).mkdir(parents=True)
        media = _SIZE.format(5100, 2500) + " " + _MARGINS
        raster = "image/pwg-raster," if takes_raster else ""
        (folder / "label.conf").write_text(_ATTRIBUTES.format(
            media=media, formats=f"{raster}application/pdf,application/octet-stream",
            raster_type="black_1" if takes_raster else "srgb_8"))
        (folder / "print.sh").write_text(_PRINT_SH)
        (folder / "print.sh").chmod(0o755)

    def start(self) -> None:
        """Switch it on and wait until it answers."""
        command = ("DBUS_SYSTEM_BUS_ADDRESS=$DBUS_SESSION_BUS_ADDRESS exec ippeveprinter -r off -n localhost "
                   f"-p {self.port} -a label.conf -d spool -k -c {self.folder}/print.sh Label")
        with (self.folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                ["dbus-run-session", "--", "sh", "-c", command], cwd=self.folder, stdout=log, stderr=log,
                env={**os.environ, "PATH": _path()}, start_new_session=True)
        wait_until(lambda: _answers(self.port))

    def stop(self) -> None:
        """Switch it off, at once and in the middle of whatever it does."""
        if self._process is None:
            return
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait(timeout=5)
        self._process = None
        wait_until(lambda: not _answers(self.port))

    def behave(self, shell: str) -> None:
        """Set what it does with each job: lines of shell, run before the label 'comes out'."""
        (self.folder / "behaviour.sh").write_text(shell)

    def came_out(self) -> list[Path]:
        """Return what came out of it, oldest first; the name ends in the number of copies."""
        return sorted((self.folder / "out").iterdir())


class PrintQueue:
    """A print queue by CUPS on loopback, in front of a printer or of a driver that writes a file.

    Args:
        folder: Its own folder, which the queue's own user must be able to enter.
    """

    def __init__(self, folder: Path) -> None:
        self.folder, self.port = folder, free_port()
        for part in ("etc", "spool", "cache", "state", "tmp", "log"):
            (folder / part).mkdir(parents=True, exist_ok=True)
            (folder / part).chmod(0o777)
        for parent in (folder, *folder.parents):
            with contextlib.suppress(PermissionError):
                parent.chmod(parent.stat().st_mode | 0o011)
        (folder / "cupsd.conf").write_text(
            f"Listen 127.0.0.1:{self.port}\nBrowsing No\nLogLevel info\nDirtyCleanInterval 0\nDefaultAuthType None\n"
            "WebInterface No\nJobRetryInterval 1\nMaxLogSize 0\n"
            "<Location />\nOrder allow,deny\nAllow all\n</Location>\n"
            "<Policy default>\n<Limit All>\nOrder allow,deny\nAllow all\n</Limit>\n</Policy>\n")
        at = {"ServerRoot": "etc", "RequestRoot": "spool", "CacheDir": "cache", "StateDir": "state", "TempDir": "tmp"}
        logs = {name: f"log/{name}" for name in ("AccessLog", "ErrorLog", "PageLog")}
        lines = [f"{key} {folder / value}" for key, value in {**at, **logs}.items()]
        (folder / "cups-files.conf").write_text("\n".join([*lines, "FileDevice Yes", "Sandboxing relaxed", ""]))
        self._process: subprocess.Popen[bytes] | None = None

    def address(self, name: str) -> str:
        """Return the address of one of its queues."""
        return f"ipp://localhost:{self.port}/printers/{name}"

    def start(self) -> None:
        """Start it and wait until it answers."""
        with (self.folder / "log" / "out").open("ab") as log:
            self._process = subprocess.Popen(
                ["cupsd", "-f", "-c", str(self.folder / "cupsd.conf"), "-s", str(self.folder / "cups-files.conf")],
                stdout=log, stderr=log, env={**os.environ, "PATH": _path()}, start_new_session=True)
        wait_until(lambda: _answers(self.port))

    def stop(self) -> None:
        """End it at once."""
        if self._process is None:
            return
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait(timeout=5)
        self._process = None
        wait_until(lambda: not _answers(self.port))

    def run(self, *command: str) -> None:
        """Run one of the queue's own commands."""
        done = subprocess.run(command, check=False, timeout=30, capture_output=True, text=True,
                              env={**os.environ, "PATH": _path(), "CUPS_SERVER": f"localhost:{self.port}"})
        if done.returncode:
            raise RuntimeError(f"{command}: {done.stderr}")

    def add(self, name: str, *options: str) -> None:
        """Make a queue by lpadmin's options and switch it on."""
        self.run("lpadmin", "-p", name, "-E", *options)
