"""`kiosk verify`: walk the chain of the journal, also against heads that were written down before."""

from __future__ import annotations

import argparse
from pathlib import Path
from zoneinfo import ZoneInfo

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.records.head_list import read_heads, typed_head, write_heads
from kiosk.records.verify import ChainReport, Head
from kiosk.reports.head_receipt import HeadReceipt, write_head_receipts
from kiosk.shop import Shop, utc_now


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("--against", type=Path, metavar="FILE", help="hold the chains against heads written before")
    parser.add_argument("--head", action="append", default=[], metavar="KIOSK:ENTRY:DIGITS",
                        help="a head as typed from a receipt; may be given several times")
    parser.add_argument("--write-heads", type=Path, metavar="FILE", help="write the heads to a new file, to be kept "
                                                                         "somewhere else")
    parser.add_argument("--receipt", type=Path, metavar="FILE", help="write each head on a label as PDF, to be signed")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Exit 0 if every entry is as it was written, 1 if not; heads are written of a whole journal only."""
    known = {**(read_heads(options.against) if options.against else {}), **dict(map(typed_head, options.head))}
    with Shop.open(options.shop) as shop:
        report = shop.records.verify(known)
        is_whole = report.first_bad is None and not report.guards_missing
        if is_whole:
            _write_down(shop, report.heads, options)
    print_json(report) if options.json else _print(report, known)
    return 0 if is_whole else 1


def _write_down(shop: Shop, heads: dict[int, Head], options: argparse.Namespace) -> None:
    now, config = utc_now(), shop.config
    if options.write_heads:
        write_heads(options.write_heads, shop.records.yard_name(), now, heads)
    if options.receipt:
        at = f"{now.astimezone(ZoneInfo(config.time_zone)):%Y-%m-%d %H:%M}"
        receipts = [HeadReceipt(shop.records.yard_name(), kiosk, at, head.seq, head.hash)
                    for kiosk, head in sorted(heads.items())]
        write_head_receipts(options.receipt, receipts, config.label_width_mm, config.label_height_mm)


def _print(report: ChainReport, known: dict[int, Head]) -> None:
    bad = report.first_bad
    if bad is not None:
        print(f"The journal of kiosk {bad.kiosk} is not as it was saved. {bad.reason}")
        return
    print(f"{report.entries} entries, every one as it was saved.")
    if known:
        print("The heads written down before hold.")
    for kiosk, head in report.heads.items():
        print(f"kiosk {kiosk}: last entry {head.seq}, head {head.hash}")
    if report.guards_missing:
        print("The journal's guards in the file were removed or changed: somebody opened it with another program. "
              "Restore the last backup to have them back.")
