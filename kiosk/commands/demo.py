"""`kiosk demo`: build the invented yard where it is missing, and open the kiosk on it.

In a source checkout the yard stands beside its program; with an installed kiosk in the folder that the command names.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path

import kiosk
from kiosk.commands.run import add_window, run_kiosk
from kiosk.errors import ConfigError

ROOT = Path(kiosk.__file__).resolve().parent.parent
IN_HERE = Path("demo-yard")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("--shop", type=Path, metavar="FOLDER", help=f"where the yard is built (default: {place()})")
    add_window(parser)


def run(options: argparse.Namespace) -> int:
    """Build the yard where it is missing, then open the window."""
    shop = (options.shop or place()).resolve()
    if not (shop / "kiosk.toml").exists():
        print(f"Building the demo yard in {shop}: 12 machines, three years of records ...", flush=True)
        made = subprocess.run([sys.executable, "-m", "demo_shop.build", "--to", str(shop)], cwd=ROOT, check=False)
        if made.returncode:
            raise ConfigError(f"The demo yard could not be built in {shop}. Name another folder with --shop.")
    return run_kiosk(shop, options)


def place() -> Path:
    """Return where the demo yard stands when nothing is said: beside its program, or in the folder one is in."""
    return ROOT / "demo_shop" / "shop" if (ROOT / "pyproject.toml").exists() else IN_HERE
