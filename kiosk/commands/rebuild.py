"""`kiosk rebuild`: throw the tables away and make them anew from the journal."""

from __future__ import annotations

import argparse

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Rebuild in one transaction; what was readable before stays so if anything goes wrong."""
    with Shop.open(options.shop) as shop:
        entries = shop.records.rebuild()
    print_json({"entries": entries}) if options.json else print(f"All tables were made anew from {entries} entries.")
    return 0
