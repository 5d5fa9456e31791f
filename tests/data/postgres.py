"""A real PostgreSQL on loopback in a folder of the test's own, as a user that is not root."""

from __future__ import annotations

import glob
import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

_ENOUGH_S = 60.0


def programs() -> Path | None:
    """Return the folder of PostgreSQL's programs, None where it is not installed."""
    found = sorted(glob.glob("/usr/lib/postgresql/*/bin/postgres"), key=lambda path: int(path.split("/")[4]))
    if found:
        return Path(found[-1]).parent
    plain = shutil.which("postgres")
    return Path(plain).parent if plain else None


def free_port() -> int:
    """Return a port of loopback that nobody listens on."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


class Postgres:
    """One server. Start with `start`; its superuser comes in through the folder's socket without a secret.

    Args:
        extra: More settings, `name=value`. `certificate`: files (certificate, key) for TLS.
    """

    def __init__(self, extra: Sequence[str] = (), certificate: tuple[Path, Path] | None = None) -> None:
        found = programs()
        assert found is not None, "PostgreSQL is not installed; .ci/prepare test installs it"
        self._programs = found
        self.folder = Path(tempfile.mkdtemp(prefix="hub-pg-"))
        self.port = free_port()
        self._extra, self._certificate = list(extra), certificate
        self._server: subprocess.Popen[bytes] | None = None
        self._user = pwd.getpwnam("postgres") if os.getuid() == 0 else None
        if self._user:
            os.chown(self.folder, self._user.pw_uid, self._user.pw_gid)
        self._run("initdb", "-D", str(self._data), "-U", "owner", "--auth-local=trust", "--auth-host=scram-sha-256",
                  "-E", "UTF8", "--locale=C", "--no-sync")
        if certificate:
            self._take_certificate(certificate)

    @property
    def _data(self) -> Path:
        return self.folder / "data"

    def start(self) -> None:
        """Start and wait until it answers."""
        settings = {"port": str(self.port), "listen_addresses": "127.0.0.1", "max_connections": "200",
                    "unix_socket_directories": str(self.folder)}
        if self._certificate:
            settings |= {"ssl": "on", "ssl_cert_file": "hub.crt", "ssl_key_file": "hub.key"}
        given = [part for name, value in settings.items() for part in ("-c", f"{name}={value}")]
        given += [part for each in self._extra for part in ("-c", each)]
        self._server = subprocess.Popen(
            [str(self._programs / "postgres"), "-D", str(self._data), *given], **self._as_user(),
            stdout=subprocess.DEVNULL, stderr=(self.folder / "log").open("ab"))
        self._wait()

    def kill(self) -> None:
        """Stop it as a power cut would."""
        self._end(signal.SIGQUIT)

    def stop(self) -> None:
        """Stop it and remove its folder."""
        self._end(signal.SIGINT)
        shutil.rmtree(self.folder, ignore_errors=True)

    def log(self) -> str:
        """Return what it logged."""
        return (self.folder / "log").read_text("utf-8", "replace")

    def owner_url(self, database: str = "postgres") -> str:
        """Return the address by which the owner gets in."""
        return f"postgresql://owner@/{database}?host={self.folder}&port={self.port}"

    def url(self, database: str = "yard", port: int | None = None) -> str:
        """Return the address for kiosks, or that of something in between that listens on another port."""
        return f"postgresql://127.0.0.1:{port or self.port}/{database}"

    def _end(self, how: int) -> None:
        if self._server is not None:
            self._server.send_signal(how)
            self._server.wait(timeout=_ENOUGH_S)
            self._server = None

    def _wait(self) -> None:
        until = time.monotonic() + _ENOUGH_S
        while time.monotonic() < until:
            done = subprocess.run([str(self._programs / "pg_isready"), "-h", str(self.folder), "-p", str(self.port)],
                                  stdout=subprocess.DEVNULL, check=False)
            if done.returncode == 0:
                return
            time.sleep(0.05)
        raise RuntimeError(f"PostgreSQL did not start: {self.log()}")

    def _take_certificate(self, certificate: tuple[Path, Path]) -> None:
        for source, name in zip(certificate, ("hub.crt", "hub.key"), strict=True):
            target = self._data / name
            shutil.copyfile(source, target)
            target.chmod(0o600)
            if self._user:
                os.chown(target, self._user.pw_uid, self._user.pw_gid)

    def _run(self, program: str, *arguments: str) -> None:
        subprocess.run([str(self._programs / program), *arguments], check=True, stdout=subprocess.DEVNULL,
                       **self._as_user())

    def _as_user(self) -> dict[str, object]:
        """PostgreSQL refuses to run as root; a test run may be root's."""
        clean = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C"}
        if self._user is None:
            return {"env": clean}
        return {"env": clean, "user": self._user.pw_uid, "group": self._user.pw_gid, "extra_groups": [],
                "cwd": str(self.folder)}
