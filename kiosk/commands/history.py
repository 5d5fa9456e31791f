"""`kiosk history WHAT`: what was done on a part, at its position, on a unit, by a person; what became of a label."""

from __future__ import annotations

import argparse
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import msgspec

from kiosk.commands.common import add_json, add_shop, find_component, find_person, find_unit, print_json, shop_to_read
from kiosk.entities import HistoryFilter, HistoryScope, PhotoOf, ServiceRecord, Verdict
from kiosk.errors import NotFound
from kiosk.presenters.ports import FileWish, HistoryRequest
from kiosk.shop import Shop
from labels.number import parse


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("what", metavar="WHAT",
                        help="label number of the part or position, or its id; with --unit, --person, --label theirs")
    whose = parser.add_mutually_exclusive_group()
    whose.add_argument("--position", action="store_true", help="through every part that sat at the position")
    whose.add_argument("--unit", action="store_true", help="everything on a unit: its name, id or label")
    whose.add_argument("--person", action="store_true", help="everything one of the crew did: name, id or badge")
    whose.add_argument("--label", action="store_true", help="what became of a label number")
    parser.add_argument("--job", help="only this job of the service sheet")
    parser.add_argument("--verdict", choices=[verdict.value for verdict in Verdict], help="only this verdict")
    parser.add_argument("--by", metavar="PERSON", help="only what this person did: name, id or badge")
    parser.add_argument("--since", type=date.fromisoformat, metavar="YYYY-MM-DD", help="from this day on")
    parser.add_argument("--until", type=date.fromisoformat, metavar="YYYY-MM-DD", help="up to this day, itself too")
    parser.add_argument("--hours-from", type=float, metavar="H", help="from this hour-meter reading on")
    parser.add_argument("--hours-until", type=float, metavar="H", help="below this hour-meter reading")
    parser.add_argument("--limit", type=int, default=50, metavar="N", help="newest N records (default 50)")
    parser.add_argument("--pdf", type=Path, metavar="FILE", help="write it as PDF, all records")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="write it as CSV, all records")
    parser.add_argument("--jsonl", type=Path, metavar="FILE", help="write it as JSON Lines, all records")
    parser.add_argument("--page", choices=("Letter", "A4"), help="default: as the shop has it")
    parser.add_argument("--chain", action="store_true", help="with where each record stands in the journal, checked")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Print the newest records, or write all of them to a file."""
    with shop_to_read(options.shop) as shop:
        if options.label:
            return _label(shop, options)
        request = HistoryRequest(*_subject(shop, options), _filter(shop, options))
        files = [(path, kind) for path, kind in ((options.pdf, "pdf"), (options.csv, "csv"), (options.jsonl, "jsonl"))
                 if path is not None]
        for path, kind in files:
            shop.reports.write(path, request, FileWish(kind, options.page or ""))
        if files:
            written = [str(path) for path, _ in files]
            print_json({"written": written}) if options.json else print(
                "\n".join(f"Written to {path}." for path in written))
            return 0
        records = shop.records.history_page(request.scope, request.subject_id, request.filter, None, options.limit)
        if options.json:
            print_json([_plain(shop, record, options.chain) for record in records])
        else:
            _print(shop, records, options.chain)
    return 0


def _subject(shop: Shop, options: argparse.Namespace) -> tuple[str, HistoryScope]:
    if options.unit:
        return find_unit(shop, options.what).id, HistoryScope.UNIT
    if options.person:
        return find_person(shop, options.what).id, HistoryScope.PERSON
    component = find_component(shop, options.what)
    if options.position:
        return component.position_id, HistoryScope.POSITION
    return component.id, HistoryScope.PART


def _filter(shop: Shop, options: argparse.Namespace) -> HistoryFilter:
    until = options.until + timedelta(days=1) if options.until else None
    since, until = (datetime.combine(day, time(0), shop.zone).astimezone(UTC) if day else None
                    for day in (options.since, until))
    return HistoryFilter(options.job, options.verdict, find_person(shop, options.by).id if options.by else None,
                         since, until, options.hours_from, options.hours_until)


def _plain(shop: Shop, record: ServiceRecord, with_chain: bool) -> dict[str, Any]:
    """Return a record with its photos and what corrected it, for a program."""
    plain: dict[str, Any] = msgspec.to_builtins(record)
    plain["photos"] = [kept.photo.sha256 for kept in shop.records.photos_of(PhotoOf.RECORD, [record.id])]
    plain["correction"] = msgspec.to_builtins(shop.records.corrections([record.id]).get(record.id))
    if with_chain:
        plain["chain"] = msgspec.to_builtins(shop.records.chain_check(record.id))
    return plain


def _print(shop: Shop, records: tuple[ServiceRecord, ...], with_chain: bool) -> None:
    for record, row in zip(records, shop.reports.rows(records), strict=True):
        print(f"{row.when}  {row.hours:>9} h  {row.job}  {row.person}  {row.verdict}")
        for line in row.lines:
            print(f"    {line}")
        if with_chain:
            check = shop.records.chain_check(record.id)
            print(f"    journal: kiosk {check.kiosk}, entry {check.seq}, {check.hash}: {check.trouble or 'as saved'}")
    print(f"{len(records)} records.")


def _label(shop: Shop, options: argparse.Namespace) -> int:
    number = parse(options.what).digits
    label, moments = shop.records.label(number), shop.records.label_moments(number)
    if label is None:
        raise NotFound(f"The label {options.what} was never issued here.")
    if options.json:
        print_json({"label": label, "moments": moments})
        return 0
    print(f"{parse(number).grouped}: {label.kind} {label.subject_id or '(on nothing)'}")
    for moment in moments:
        print(f"{moment.at.astimezone(shop.zone):%Y-%m-%d %H:%M}  {moment.what}"
              + (f", {moment.detail}" if moment.detail else ""))
    return 0
