"""`kiosk backup FILE`: an online copy of the records that counts only when it was opened and checked."""

from __future__ import annotations

import argparse
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("file", type=Path, help="where to write the copy; must not exist")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Write and verify the copy."""
    with Shop.open(options.shop) as shop:
        report = shop.records.backup(options.file)
    if options.json:
        print_json({**report.__dict__, "path": str(report.path)})
    else:
        print(f"{report.entries} entries were copied to {report.path}, opened there and checked.")
    return 0
