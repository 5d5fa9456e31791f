"""Run tests in a small guest of its own, on a kernel that makes virtual input devices; this machine's may make none.

    .venv/bin/python tests/data/guest.py KERNEL tests/scan/test_held_scanner.py

KERNEL is the unpacked folder of a Debian kernel package (`apt-get download linux-image-…; dpkg-deb -x`); the emulator
is `qemu-system-x86`. The guest's only file system is an initial RAM disk with this Python, pytest and this checkout.
"""

from __future__ import annotations

import gzip
import shutil
import subprocess
import sys
import sysconfig
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
TIMEOUT_S = 600
PASSED = "guest: all passed"
_LEFT_OUT = ("test", "idlelib", "tkinter", "lib2to3", "ensurepip", "site-packages", "turtledemo")
_PACKAGES = ("pytest", "_pytest", "pluggy", "iniconfig", "packaging", "stdnum", "pygments")
_MODULES = ("drivers/input/evdev.ko", "drivers/input/misc/uinput.ko")
_INIT = """#!{python}
import ctypes, os, subprocess, sys
libc = ctypes.CDLL(None, use_errno=True)
for kind, where in (("proc", "/proc"), ("sysfs", "/sys"), ("devtmpfs", "/dev"), ("tmpfs", "/tmp")):
    os.makedirs(where, exist_ok=True)
    libc.mount(kind.encode(), where.encode(), kind.encode(), 0, None)
for module in {modules!r}:
    with open(module, "rb") as file:
        assert libc.syscall(313, file.fileno(), b"", 0) == 0, module  # finit_module
environment = {{"PYTHONPATH": "/packages:/checkout:/checkout/tests/data", "PATH": "/", "HOME": "/tmp"}}
done = subprocess.run([sys.executable, "-m", "pytest", "-q", "--noconftest", "-p", "no:cacheprovider", "--rootdir=/tmp",
                       "-c", "/dev/null", *{tests!r}], env=environment, stdout=open("/dev/console", "w"),
                      stderr=subprocess.STDOUT)
print({passed!r} if done.returncode == 0 else "guest: failed", file=open("/dev/console", "w"), flush=True)
libc.sync()
libc.reboot(0x4321fedc)
"""


def run_in_guest(kernel: Path, tests: list[str]) -> str:
    """Return what the guest said on its console."""
    with tempfile.TemporaryDirectory() as folder:
        disk = Path(folder) / "disk.cpio.gz"
        _write_disk(_lay_out(Path(folder) / "root", kernel, tests), disk)
        image = next((kernel / "boot").glob("vmlinuz-*"))
        command = ["qemu-system-x86_64", "-m", "1024", "-cpu", "max", "-nographic", "-no-reboot", "-net", "none",
                   "-kernel", str(image), "-initrd", str(disk),
                   "-append", "console=ttyS0 panic=-1 quiet random.trust_cpu=on rdinit=/init"]
        done = subprocess.run(command, capture_output=True, text=True, errors="replace", timeout=TIMEOUT_S,
                              stdin=subprocess.DEVNULL, check=False)
    return done.stdout


def _lay_out(root: Path, kernel: Path, tests: list[str]) -> Path:
    python = Path(sys.executable).resolve()
    library = Path(sysconfig.get_path("stdlib"))
    _copy(python, root)
    shutil.copytree(library, root / library.relative_to("/"),
                    ignore=shutil.ignore_patterns("__pycache__", "*.a", "config-*", *_LEFT_OUT))
    for binary in (python, *(library / "lib-dynload").glob("*.so")):
        for needed in _needed_by(binary):
            _copy(needed, root)
    site = Path(sysconfig.get_path("purelib"))
    for package in _PACKAGES:
        shutil.copytree(site / package, root / "packages" / package, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(site / "py.py", root / "packages")
    for folder in ("kiosk", "labels", "tests/data", "tests/scan"):
        shutil.copytree(ROOT / folder, root / "checkout" / folder, ignore=shutil.ignore_patterns("__pycache__"))
    modules = [next(kernel.glob(f"lib/modules/*/kernel/{module}")) for module in _MODULES]
    for module in modules:
        shutil.copy(module, root / module.name)
    init = root / "init"
    init.write_text(_INIT.format(python=python, modules=[f"/{module.name}" for module in modules], passed=PASSED,
                                 tests=[f"/checkout/{test}" for test in tests]), encoding="utf-8")
    init.chmod(0o755)
    return root


def _copy(path: Path, root: Path) -> None:
    target = root / path.relative_to("/")
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(path, target)


def _needed_by(binary: Path) -> Iterator[Path]:
    listed = subprocess.run(["ldd", str(binary)], capture_output=True, text=True, check=False).stdout
    for word in listed.split():
        if word.startswith("/"):
            yield Path(word)


def _write_disk(root: Path, target: Path) -> None:
    """Write a folder as an initial RAM disk: the kernel's 'newc' form of cpio, compressed."""
    with gzip.open(target, "wb", compresslevel=1) as disk:
        for number, path in enumerate((root, *sorted(root.rglob("*"))), 1):
            content = path.read_bytes() if path.is_file() else b""
            disk.write(_entry(number, path.stat().st_mode, str(path.relative_to(root)), content))
        disk.write(_entry(0, 0, "TRAILER!!!", b""))


def _entry(number: int, mode: int, name: str, content: bytes) -> bytes:
    named = name.encode() + b"\0"
    fields = (number, mode, 0, 0, 1, 0, len(content), 0, 0, 0, 0, len(named), 0)
    head = b"070701" + "".join(f"{field:08x}" for field in fields).encode() + named
    return head + bytes(-len(head) % 4) + content + bytes(-len(content) % 4)


if __name__ == "__main__":
    said = run_in_guest(Path(sys.argv[1]), sys.argv[2:])
    print(said)
    sys.exit(0 if PASSED in said else 1)
