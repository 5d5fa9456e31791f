"""`kiosk demo`: build the invented yard where it is missing, and open the kiosk on it."""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path

import kiosk
from kiosk.commands.run import add_window, run_kiosk
from kiosk.errors import ConfigError


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_window(parser)


def run(options: argparse.Namespace) -> int:
    """Build with the program beside the package, then open the window."""
    maker = Path(kiosk.__file__).parent.parent / "demo_shop" / "build.py"
    if not maker.exists():
        raise ConfigError("The demo yard comes with the source checkout: call demo_shop/start there.")
    shop = maker.parent / "shop"
    if not (shop / "kiosk.toml").exists():
        subprocess.run([sys.executable, "-m", "demo_shop.build"], cwd=maker.parent.parent, check=True)
    return run_kiosk(shop, options)
