"""`kiosk verify`: walk the chain of the journal."""

from __future__ import annotations

import argparse

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Exit 0 if every entry is as it was written, 1 if not."""
    with Shop.open(options.shop) as shop:
        report = shop.records.verify()
    if options.json:
        print_json(report)
    elif report.first_bad is None:
        print(f"{report.entries} entries, every one as it was saved.")
        for kiosk, head in report.heads.items():
            print(f"kiosk {kiosk}: last entry {head.seq}, head {head.hash}")
    else:
        bad = report.first_bad
        print(f"The journal of kiosk {bad.kiosk} is not as it was saved. {bad.reason}")
    return 0 if report.first_bad is None else 1
