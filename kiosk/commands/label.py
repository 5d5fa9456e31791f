"""`kiosk label`: print labels of parts, units, lists, crew, command cards; what becomes of one; the print queue."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from kiosk.commands import label_life, label_prints
from kiosk.commands.common import add_json, add_shop
from kiosk.shop import Shop
from labels.sheet import PAPERS

MOST_BLANKS = 200


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    add_json(parser)
    parser.add_argument("--dry-run", action="store_true", help="say what would be done and do nothing")
    parser.add_argument("--reason", default="", metavar="TEXT", help="why; kept in the journal")
    parser.add_argument("--by", default="", metavar="PERSON", help="who says so: badge number, id or name")
    _add_printing(parser.add_argument_group("print labels"))
    _add_life(parser.add_argument_group("what becomes of a label").add_mutually_exclusive_group())
    _add_queue(parser.add_argument_group("the printer's queue").add_mutually_exclusive_group())


def _add_printing(group: argparse._ArgumentGroup) -> None:
    group.add_argument("part", nargs="*", help="label number or id of a part")
    group.add_argument("--unit", help="every part of a unit, and the unit's own label: its name, id or label")
    group.add_argument("--list", type=Path, metavar="FILE", help="every part that the file names, one a line")
    group.add_argument("--crew", action="store_true", help="every badge of the crew")
    group.add_argument("--command-cards", action="store_true",
                       help="the command card: one label a command; with --sheet one page to laminate")
    group.add_argument("--blank", type=_count, default=0, metavar="N",
                       help=f"issue N numbers ahead, bound when they are scanned (up to {MOST_BLANKS})")
    group.add_argument("--sheet", choices=sorted(PAPERS), help="one PDF of sheets with cut marks, for a laser printer")


def _add_life(group: argparse._MutuallyExclusiveGroup) -> None:
    group.add_argument("--replace", metavar="PART", help="print a new number for a part, bound once it was read")
    group.add_argument("--retire", metavar="NUMBER", help="a label counts no more")
    group.add_argument("--swap", nargs=2, metavar=("PART", "OTHER"), help="two labels are stuck on each other's part")
    group.add_argument("--found", nargs=2, metavar=("NUMBER", "WHERE"), help="a label was found loose: whose is it?")


def _add_queue(group: argparse._MutuallyExclusiveGroup) -> None:
    group.add_argument("--queue", action="store_true", help="list what waits, with the printer's trouble")
    group.add_argument("--again", metavar="NUMBER", help="it did not come out: print it again (needs --by)")
    group.add_argument("--came-out", metavar="NUMBER", help="it came out after all (needs --by)")
    group.add_argument("--cancel", metavar="NUMBER", help="do not print it")


def run(options: argparse.Namespace) -> int:
    """Do what was asked for."""
    with Shop.open(options.shop) as shop:
        return _task(options)(shop, options)


def _task(options: argparse.Namespace) -> Callable[[Shop, argparse.Namespace], int]:
    tasks = {
        "replace": label_life.replace, "retire": label_life.retire, "swap": label_life.swap,
        "found": label_life.found, "queue": label_prints.show_queue, "again": label_prints.print_again,
        "came_out": label_prints.came_out, "cancel": label_prints.cancel,
    }
    return next((task for name, task in tasks.items() if getattr(options, name)), label_prints.print_labels)


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= MOST_BLANKS):
        raise argparse.ArgumentTypeError(f"1 to {MOST_BLANKS} numbers can be issued ahead, not {text}")
    return int(text)
