"""`kiosk backup [FILE]`: an online copy of the records that counts only when it was opened and checked."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, page_progress, print_json
from kiosk.records.keeper import Taken
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("file", type=Path, nargs="?",
                        help="where to write the copy; must not exist (default: the shop's folder of backups, where "
                             "old ones give way, and the second disk if kiosk.toml names one)")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Write and verify the copy; exit 1 if the second disk did not get its own."""
    with Shop.open(options.shop) as shop:
        taken = (Taken(shop.records.backup(options.file, page_progress())) if options.file
                 else shop.keeper.take(page_progress()))
        photos = "" if options.file else shop.back_up_photos()
    report = taken.report
    trouble = taken.trouble or photos
    if options.json:
        print_json({**report.__dict__, "path": str(report.path), "second": str(taken.second) if taken.second else None,
                    "trouble": trouble, "removed": taken.removed})
    else:
        print(f"{report.entries} entries were copied to {report.path}, opened there and checked.")
        if taken.second:
            print(f"A second copy is at {taken.second}, read back and the same.")
        for name in taken.removed:
            print(f"{name} gave way.")
    if trouble:
        print(f"kiosk backup: {trouble}", file=sys.stderr)
    return 1 if trouble else 0
