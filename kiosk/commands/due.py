"""`kiosk due`: what is due, by hours or days, whichever comes first."""

from __future__ import annotations

import argparse

from kiosk.commands.common import add_json, add_shop, find_unit, print_json, shop_to_read
from kiosk.entities import DueItem
from kiosk.presenters.coming_page import in_span
from kiosk.presenters.due_list import due_of_unit
from kiosk.presenters.shifts import shift_at
from kiosk.shop import floor_settings, utc_now


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("--unit", help="one unit: its name, id or label (default: the whole yard)")
    parser.add_argument("--span", choices=("overdue", "shift", "week"),
                        help="only what is overdue, due this shift, or due this week")
    parser.add_argument("--within-days", type=int, default=7, metavar="N", help="how far to look ahead (default 7)")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Print overdue jobs first, then by date."""
    with shop_to_read(options.shop) as shop:
        settings = floor_settings(shop.config)
        today = shift_at(utc_now(), settings).day
        units = [find_unit(shop, options.unit)] if options.unit else shop.records.units()
        items = [item for unit in units
                 for item in due_of_unit(shop.records, shop.sheets, unit.id, today, settings)]
        names = {position.id: f"{unit.name}, {position.name}" for unit in units
                 for position in shop.records.positions(unit.id)}
    if options.span:
        items = [item for item in items if in_span(item, options.span, today)]
    items = [item for item in items if options.span == "overdue" or (item.due - today).days <= options.within_days]
    items.sort(key=lambda item: (not item.overdue, item.due, item.position_id))
    if options.json:
        print_json(items)
        return 0
    for item in items:
        print(_line(item, names.get(item.position_id, item.position_id)))
    print(f"{sum(item.overdue for item in items)} overdue, {len(items)} in all within {options.within_days} days.")
    return 0


def _line(item: DueItem, place: str) -> str:
    state = "OVERDUE" if item.overdue else "due"
    last = f"last {item.last_at:%Y-%m-%d}" if item.last_at else "never done"
    return f"{state:8}{item.due:%Y-%m-%d}  by {item.driver:5}  {place}: {item.job_title} ({last})"
