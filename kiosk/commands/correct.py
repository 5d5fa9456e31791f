"""`kiosk correct RECORD`: put a record right or annul it, with a reason; the old one stays in sight."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import Any

from kiosk.commands.common import add_json, add_shop, print_json, save, signed_by
from kiosk.errors import RecordError
from kiosk.events import RecordCorrected
from kiosk.records.ids import new_id
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("record", help="the record's id, as `kiosk history --json` tells it")
    parser.add_argument("--annul", action="store_true", help="as if it had not been; it stays in sight")
    parser.add_argument("--strokes", type=int, metavar="N", help="grease strokes that were given")
    parser.add_argument("--hours", type=float, metavar="H", help="what the hour meter showed")
    parser.add_argument("--note", help="the note")
    parser.add_argument("--reason", required=True, help="why")
    parser.add_argument("--by", required=True, metavar="PERSON",
                        help="a lead or supervisor: name, id or badge; their PIN is asked for")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Save the correction."""
    with Shop.open(options.shop) as shop:
        old = shop.records.record(options.record)
        changes = _changes(options)
        if options.annul == bool(changes):
            raise RecordError("Say what was wrong (--strokes, --hours, --note), or --annul; one of both.")
        event_id = new_id()
        new = None if options.annul else replace(old, id=event_id, **changes)
        save(shop, signed_by(shop, options.by), RecordCorrected(old.id, options.reason, new), event_id)
    if options.json:
        print_json({"record": old.id, "replacement": None if new is None else new.id})
    else:
        print("The record is annulled." if new is None else f"The record {new.id} holds now.")
    return 0


def _changes(options: argparse.Namespace) -> dict[str, Any]:
    asked = {"strokes": options.strokes, "hours": options.hours, "note": options.note}
    return {name: value for name, value in asked.items() if value is not None}
