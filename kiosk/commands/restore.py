"""`kiosk restore FILE`: put a verified backup in the place of the records; the old file is kept aside."""

from __future__ import annotations

import argparse
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.config import load_config
from kiosk.records.restore import restore


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("file", type=Path, help="a copy made by `kiosk backup`")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Check the copy, then swap; nothing changes if the copy is not good."""
    config = load_config(options.shop)
    kept = restore(options.file, options.shop / config.database).kept
    if options.json:
        print_json({"restored": str(options.file), "old_records": str(kept) if kept else None})
    else:
        print(f"The records are those of {options.file} now." + (f" The old file is kept as {kept}." if kept else ""))
    return 0
