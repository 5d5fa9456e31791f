"""What makes a Linux panel PC or single-board computer a kiosk: files and commands, planned first, then carried out.

systemd starts an X server with nothing but the kiosk in it and starts it again whenever it ends. No desktop, no
cursor, no blanking, no other console within reach of a keyboard.
"""

from __future__ import annotations

import difflib
import os
import pwd
import shlex
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kiosk.config import FILE_NAME as SHOP_FILE
from kiosk.errors import InstallRefused
from kiosk.language import tr

PROGRAM_FOLDER = "/opt/shaft-and-belt-kiosk"
SERVICE = "shaft-and-belt-kiosk.service"
# libgl1 and below: what the window, the camera and the label reader link to; see DEVELOPERS.md.
PACKAGES = ("xserver-xorg-core", "xserver-xorg-input-libinput", "xinit", "libgl1", "libegl1", "libgl1-mesa-dri",
            "libxcb1", "libglib2.0-0", "libzbar0", "libxi6", "libxrandr2", "libxcursor1", "libmtdev1", "python3-venv")
GROUPS = ("input", "video", "audio", "lp", "tty", "render")
_WHOLE_LOG = "200M"


@dataclass(frozen=True)
class Wish:
    """What is wanted.

    Args:
        shop: The shop's folder. `user`: who runs the kiosk; made if missing.
        program: Folder of the versions.
        terminal: Number of the virtual terminal that the screen is on.
    """

    shop: Path
    user: str = "kiosk"
    program: Path = Path(PROGRAM_FOLDER)
    terminal: int = 7


@dataclass(frozen=True)
class PlannedFile:
    """A file to be written: where, what, and its mode."""

    path: Path
    text: str
    mode: int = 0o644


def planned_files(wish: Wish) -> tuple[PlannedFile, ...]:
    """Return every file of the installation."""
    return (
        PlannedFile(Path("/etc/systemd/system") / SERVICE, _service(wish)),
        PlannedFile(wish.program / "session", _session(wish), 0o755),
        PlannedFile(Path("/etc/X11/xorg.conf.d/90-shaft-and-belt-kiosk.conf"), _SCREEN),
        PlannedFile(Path("/etc/X11/Xwrapper.config"), "allowed_users=anybody\nneeds_root_rights=auto\n"),
        PlannedFile(Path("/etc/systemd/journald.conf.d/shaft-and-belt-kiosk.conf"),
                    f"[Journal]\nSystemMaxUse={_WHOLE_LOG}\n"),
    )


def planned_commands(wish: Wish) -> tuple[tuple[str, ...], ...]:
    """Return the commands to be run, as root, in order."""
    commands: list[tuple[str, ...]] = [("apt-get", "install", "-y", "--no-install-recommends", *PACKAGES)]
    if not _is_user(wish.user):
        commands.append(("useradd", "--create-home", "--shell", "/usr/sbin/nologin", wish.user))
    commands += [
        ("usermod", "--append", "--groups", ",".join(GROUPS), wish.user),
        ("install", "--directory", "--owner", wish.user, "--group", wish.user, str(wish.program), str(wish.shop)),
        ("chown", "--recursive", f"{wish.user}:{wish.user}", str(wish.shop)),
        ("systemctl", "daemon-reload"),
        ("systemctl", "enable", SERVICE),
        ("systemctl", "restart", SERVICE),
    ]
    return tuple(commands)


def differences(files: tuple[PlannedFile, ...], root: Path) -> Iterator[tuple[PlannedFile, str]]:
    """Yield each file that is not there as planned, with what would change, as a unified diff."""
    for file in files:
        target = under(root, file.path)
        old = target.read_text(encoding="utf-8", errors="replace") if target.is_file() else ""
        if old != file.text or not target.is_file():
            lines = difflib.unified_diff(old.splitlines(), file.text.splitlines(), str(target), str(target),
                                         "now", "planned", lineterm="")
            yield file, "\n".join(lines)


def demand_shop(shop: Path) -> None:
    """Refuse a folder that is no shop's, for it is given to the kiosk's user with all that is in it.

    Raises:
        InstallRefused: it holds something else.
    """
    if shop.exists() and not (shop / SHOP_FILE).exists() and any(shop.iterdir()):
        raise InstallRefused(tr("{path} holds something else than a shop. Name a shop's folder, or a new one.").format(
            path=shop))


def carry_out(wish: Wish, root: Path) -> list[Path]:
    """Write the files, then run the commands; under another root the files only.

    Raises:
        InstallRefused: not root, or a file or command that cannot be.
    """
    if root == Path("/") and os.geteuid() != 0:
        raise InstallRefused(tr("Installing takes root: call it with sudo."))
    is_here = root == Path("/")
    commands = planned_commands(wish) if is_here else ()
    before = [command for command in commands if command[0] != "systemctl"]
    for command in before:
        _run(command)
    written = [_write(file, root) for file in planned_files(wish)]
    for command in commands[len(before):]:
        _run(command)
    return written


def under(root: Path, path: Path) -> Path:
    """Return where a path of the system lies under another root."""
    return root / path.relative_to("/")


def _write(file: PlannedFile, root: Path) -> Path:
    target = under(root, file.path)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        part = target.with_name(f"{target.name}.part")
        part.write_text(file.text, encoding="utf-8")
        part.chmod(file.mode)
        os.replace(part, target)
    except OSError as error:
        raise InstallRefused(tr("{path} cannot be written: {reason}.").format(path=target, reason=error.strerror),
                             repr(error)) from error
    return target


def _run(command: tuple[str, ...]) -> None:
    try:
        subprocess.run(command, check=True)
    except (OSError, subprocess.CalledProcessError) as error:
        raise InstallRefused(tr("This did not work: {command}. What was done before it stays; mend it and call the "
                                "command again.").format(command=shlex.join(command)), repr(error)) from error


def _is_user(name: str) -> bool:
    try:
        pwd.getpwnam(name)
    except KeyError:
        return False
    return True


def _service(wish: Wish) -> str:
    return f"""\
[Unit]
Description=Shaft and belt kiosk
After=systemd-user-sessions.service network.target cups.service
Conflicts=getty@tty{wish.terminal}.service
StartLimitIntervalSec=0

[Service]
User={wish.user}
SupplementaryGroups={" ".join(GROUPS)}
PAMName=login
TTYPath=/dev/tty{wish.terminal}
StandardInput=tty
StandardOutput=journal
StandardError=journal
UtmpIdentifier=tty{wish.terminal}
UtmpMode=user
WorkingDirectory={_quoted(wish.shop)}
ExecStart=/usr/bin/xinit {_quoted(wish.program / "session")} -- :0 vt{wish.terminal} -nolisten tcp -s 0 -dpms
Restart=always
RestartSec=2

[Install]
WantedBy=multi-user.target
"""


def _session(wish: Wish) -> str:
    program, shop = shlex.quote(str(wish.program)), shlex.quote(str(wish.shop))
    return f"""\
#!/bin/sh
# What the X server shows: the kiosk, nothing else. A new version that does not stay up is taken back here, by the
# version before it: the new one may not even start.
export KIOSK_PROGRAM={program} KIOSK_SHOP={shop}
trusted="$KIOSK_PROGRAM/current"
[ -e "$KIOSK_PROGRAM/trial.json" ] && [ -x "$KIOSK_PROGRAM/before/bin/kiosk" ] && trusted="$KIOSK_PROGRAM/before"
"$trusted/bin/kiosk" update --count-start
exec "$KIOSK_PROGRAM/current/bin/kiosk" run --full-screen
"""


_SCREEN = """\
# No blanking, no other console, no way to end the screen from a keyboard.
Section "ServerFlags"
    Option "BlankTime" "0"
    Option "StandbyTime" "0"
    Option "SuspendTime" "0"
    Option "OffTime" "0"
    Option "DontVTSwitch" "true"
    Option "DontZap" "true"
EndSection
"""


def _quoted(path: Path) -> str:
    """Quote a path for a unit file: spaces and quotes by backslash, a percent sign doubled."""
    return "".join(f"\\x{ord(c):02x}" if c in " \t\"'\\" else c for c in str(path)).replace("%", "%%")
