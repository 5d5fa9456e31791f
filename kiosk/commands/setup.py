"""`kiosk setup`: take a yard's set-up out as CSV and TOML, bring a prepared one in, line by line or all of it."""

from __future__ import annotations

import argparse
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.records.ids import new_id
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.intake import Intake
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare what can be done and its options."""
    add_shop(parser)
    tasks = parser.add_subparsers(dest="task", metavar="TASK", required=True)
    out = tasks.add_parser("out", help="write yard, units, positions, parts, crew, labels and sheets into a folder")
    out.add_argument("folder", type=Path, help="new, empty, or with a set-up taken out before")
    add_json(out)
    into = tasks.add_parser("in", help="bring in a prepared set-up: a folder, or one file of it")
    into.add_argument("path", type=Path, help="the folder or file")
    into.add_argument("--dry-run", action="store_true", help="say line by line what would change, and change nothing")
    add_json(into)


def run(options: argparse.Namespace) -> int:
    """Do what was asked for."""
    with Shop.open(options.shop) as shop:
        desk = desk_of(shop)
        return {"out": _out, "in": _in}[options.task](desk, options)


def desk_of(shop: Shop) -> SetUpDesk:
    """Return the set-up of an open shop."""
    return SetUpDesk(shop.records, shop.sheets, shop.folder / shop.config.sheets, shop.config.kiosk, shop.zone,
                     shop.clock, new_id)


def _out(desk: SetUpDesk, options: argparse.Namespace) -> int:
    counts = desk.take_out(options.folder)
    if options.json:
        print_json({"folder": str(options.folder), "written": counts})
    else:
        print(f"{options.folder}: " + ", ".join(f"{count} {what}" for what, count in counts.items()))
    return 0


def _in(desk: SetUpDesk, options: argparse.Namespace) -> int:
    intake = desk.look_through(options.path)
    if not options.dry_run:
        desk.bring_in(intake)
    if options.json:
        print_json(_answer(intake, options.dry_run))
        return 0
    for change in intake.changes:
        print(change)
    count, end = len(intake.changes), "Nothing was changed: --dry-run." if options.dry_run else "On record."
    print(f"{count} lines change something, {intake.unchanged} say what is on record already. {end}")
    return 0


def _answer(intake: Intake, dry_run: bool) -> dict[str, object]:
    changes = [{"file": change.file, "line": change.line, "change": change.text} for change in intake.changes]
    return {"changes": changes, "unchanged": intake.unchanged, "brought_in": not dry_run}
