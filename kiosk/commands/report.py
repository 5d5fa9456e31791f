"""`kiosk report KIND`: the supervisor's reports as PDF, CSV or JSON Lines, on Letter or A4."""

from __future__ import annotations

import argparse
import sys
from datetime import UTC, date, datetime, time
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, find_unit, print_json
from kiosk.errors import RecordError
from kiosk.report_book import ReportBook, kind_of_part
from kiosk.reports.report import Report
from kiosk.reports.report_files import write_csv, write_json_lines
from kiosk.reports.report_pdf import write_report_pdf
from kiosk.shop import Shop, floor_settings, utc_now

KINDS = ("shift", "month", "findings", "audit", "unit", "life")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("kind", choices=KINDS)
    parser.add_argument("what", nargs="?", default="", help="the unit (unit), or the kind of part (life)")
    parser.add_argument("--day", type=date.fromisoformat, metavar="YYYY-MM-DD",
                        help="a day of the shift or month; default: today")
    parser.add_argument("--at", type=time.fromisoformat, metavar="HH:MM", help="a time in the shift; default: now")
    parser.add_argument("--since", type=date.fromisoformat, metavar="YYYY-MM-DD", help="first day of an audit extract")
    parser.add_argument("--until", type=date.fromisoformat, metavar="YYYY-MM-DD", help="the day after its last day")
    parser.add_argument("--pdf", type=Path, metavar="FILE")
    parser.add_argument("--csv", type=Path, metavar="FILE")
    parser.add_argument("--jsonl", type=Path, metavar="FILE", help="JSON Lines, one object a row")
    parser.add_argument("--page", choices=("Letter", "A4"), help="default: as the shop has it")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Print the report's figures, and write the files that were asked for."""
    with Shop.open(options.shop) as shop:
        report = _made(shop, options)
    if options.pdf:
        write_report_pdf(report, options.pdf, _progress if sys.stderr.isatty() else None)
    if options.csv:
        write_csv(report.table, options.csv)
    if options.jsonl:
        write_json_lines(report.table, options.jsonl)
    written = [str(path) for path in (options.pdf, options.csv, options.jsonl) if path]
    if options.json:
        rows = [dict(zip(report.table.columns, row, strict=True)) for row in report.table.rows]
        print_json({"title": report.title, **report.totals, "written": written, "rows": rows})
        return 0
    _print(report, written)
    return 0


def _made(shop: Shop, options: argparse.Namespace) -> Report:
    settings = floor_settings(shop.config)
    book = ReportBook(shop.records, shop.sheets, shop.reports, settings, options.page or shop.config.page, utc_now)
    now = utc_now().astimezone(settings.zone)
    day = options.day or now.date()
    if options.kind == "shift":
        return book.shift(datetime.combine(day, options.at or now.time(), settings.zone))
    if options.kind == "month":
        return book.month(day)
    if options.kind == "findings":
        return book.findings()
    if options.kind == "audit":
        since, until = (datetime.combine(each, time(0), settings.zone).astimezone(UTC) if each else None
                        for each in (options.since, options.until))
        if since is None:
            raise RecordError("Say from which day: kiosk report audit --since 2026-03-01.")
        return book.audit(since, until or utc_now())
    if not options.what:
        raise RecordError(f"Say which: kiosk report {options.kind} NAME.")
    if options.kind == "unit":
        return book.unit(find_unit(shop, options.what).id)
    return book.life(kind_of_part(shop.sheets, options.what))


def _print(report: Report, written: list[str]) -> None:
    print(report.title)
    for label, text in report.facts:
        print(f"  {label}: {text}")
    for section in report.sections:
        if not written and section.rows:
            print(f"\n{section.heading}")
            for row in section.rows:
                print("  " + "  |  ".join(cell.replace("\n", "; ") for cell in row))
    for path in written:
        print(f"Written to {path}.")


def _progress(share: float) -> None:
    print(f"\r{share:4.0%}", end="", file=sys.stderr, flush=True)
