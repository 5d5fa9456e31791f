"""`kiosk history PART`: what was done on a part, or at its position through every part that sat there."""

from __future__ import annotations

import argparse
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, find_component, print_json, shop_to_read
from kiosk.entities import HistoryFilter, ServiceRecord
from kiosk.presenters.ports import HistoryRequest
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("part", help="label number of the part or position, or its id")
    parser.add_argument("--position", action="store_true", help="through every part that sat at the position")
    parser.add_argument("--job", help="only this job of the service sheet")
    parser.add_argument("--limit", type=int, default=50, metavar="N", help="newest N records (default 50)")
    parser.add_argument("--pdf", type=Path, metavar="FILE", help="write it as PDF, all records")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="write it as CSV, all records")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Print the newest records, or write all of them to a file."""
    wanted = HistoryFilter(job=options.job)
    with shop_to_read(options.shop) as shop:
        component = find_component(shop, options.part)
        request = HistoryRequest(component.id, options.position, wanted)
        for path, write in ((options.pdf, shop.reports.write_pdf), (options.csv, shop.reports.write_csv)):
            if path is not None:
                write(path, request)
                print(f"Written to {path}.")
        if options.pdf or options.csv:
            return 0
        if options.position:
            records = shop.records.position_history(component.position_id, wanted, None, options.limit)
        else:
            records = shop.records.component_history(component.id, wanted, None, options.limit)
        print_json(records) if options.json else _print(shop, records)
    return 0


def _print(shop: Shop, records: tuple[ServiceRecord, ...]) -> None:
    for row in shop.reports.rows(records):
        print(f"{row.when}  {row.hours:>9} h  {row.job}  {row.person}  {row.verdict}")
        for line in row.lines:
            print(f"    {line}")
    print(f"{len(records)} records.")
