"""`kiosk selfcheck`: try every part of this installation, say of each whether it works and what to do if not."""

from __future__ import annotations

import argparse

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.wall.checks import all_checks


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    add_json(parser)
    parser.add_argument("--print-label", action="store_true", help="print a test label on the shop's printer too")


def run(options: argparse.Namespace) -> int:
    """Exit 0 only if everything works, so that a monitor can call it."""
    checks = list(all_checks(options.shop, options.print_label))
    if options.json:
        print_json(checks)
    else:
        for check in checks:
            print(f"{'works' if check.works else 'FAILS':6} {check.part}: {check.found}")
            if check.advice:
                print(f"       {check.advice}")
    return 0 if all(check.works for check in checks) else 1
