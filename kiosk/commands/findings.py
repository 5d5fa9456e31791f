"""`kiosk findings`: list what is wrong, open or close a finding, hold a unit out of service or let it go."""

from __future__ import annotations

import argparse
from typing import Any

import msgspec

from kiosk.commands.common import (
    add_json,
    add_shop,
    find_component,
    find_person,
    find_unit,
    print_json,
    save,
    shop_to_read,
    signed_by,
)
from kiosk.entities import Finding, PhotoOf, Severity
from kiosk.errors import RecordError
from kiosk.events import FindingClosed, FindingOpened, Payload, UnitHeld, UnitReleased
from kiosk.records.ids import new_id
from kiosk.shop import Shop, utc_now

SEVERITIES = {"watch": Severity.WATCH, "next-service": Severity.NEXT_SERVICE, "before-use": Severity.BEFORE_USE}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("--unit", help="only findings of this unit: name, id or label")
    parser.add_argument("--all", action="store_true", help="closed ones of the part named by --part, too")
    parser.add_argument("--part", help="only findings of this part: label number or id")
    deed = parser.add_mutually_exclusive_group()
    deed.add_argument("--open", metavar="TEXT", help="open a finding on --part: what is wrong")
    deed.add_argument("--close", metavar="FINDING", help="close a finding, by its id")
    deed.add_argument("--hold", metavar="UNIT", help="hold a unit out of service")
    deed.add_argument("--release", metavar="UNIT", help="let a unit go out again")
    parser.add_argument("--severity", choices=SEVERITIES, help="how soon a finding must be put right")
    parser.add_argument("--reason", default="", help="why; needed to close, hold and release")
    parser.add_argument("--by", metavar="PERSON", help="in whose name: name, id or badge; their PIN is asked for")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """List, or put one thing on record."""
    if any((options.open, options.close, options.hold, options.release)):
        with Shop.open(options.shop) as shop:
            return _put_on_record(shop, options)
    with shop_to_read(options.shop) as shop:
        rows = [_plain(shop, finding) for finding in _wanted(shop, options)]
        holds = shop.records.holds()
        if options.json:
            print_json({"findings": rows, "held": holds})
            return 0
        for row in rows:
            print(f"{row['id']}  {row['opened_at'][:10]}  {row['unit']}, {row['position']}: {row['text']}"
                  + (f"  [{row['severity']}]" if row["severity"] else "")
                  + ("" if row["closed_at"] is None else f"  closed: {row['closed_reason']}"))
        for hold in holds:
            print(f"{shop.records.unit(hold.unit_id).name} is held out of service: {hold.reason}")
        print(f"{len(rows)} findings, {len(holds)} units held.")
    return 0


def _wanted(shop: Shop, options: argparse.Namespace) -> tuple[Finding, ...]:
    if options.part:
        part = find_component(shop, options.part)
        return shop.records.findings_of(part.id) if options.all else shop.records.open_findings(component_id=part.id)
    return shop.records.open_findings(unit_id=find_unit(shop, options.unit).id if options.unit else None)


def _plain(shop: Shop, finding: Finding) -> dict[str, Any]:
    plain: dict[str, Any] = msgspec.to_builtins(finding)
    photos = shop.records.photos_of(PhotoOf.FINDING, [finding.id])
    return {**plain, "unit": shop.records.unit(finding.unit_id).name,
            "position": shop.records.position(finding.position_id).name,
            "photos": [kept.photo.sha256 for kept in photos]}


def _put_on_record(shop: Shop, options: argparse.Namespace) -> int:
    if not options.by:
        raise RecordError("Say in whose name: --by NAME.")
    payload = _payload(shop, options)
    event_id = save(shop, signed_by(shop, options.by), payload)
    if options.json:
        print_json({"entry": event_id, "saved": msgspec.to_builtins(payload)})
    else:
        print("Saved.")
    return 0


def _payload(shop: Shop, options: argparse.Namespace) -> Payload:
    if options.open:
        if not options.part:
            raise RecordError("Say on which part: --part NUMBER.")
        part, person = find_component(shop, options.part), find_person(shop, options.by)
        severity = SEVERITIES.get(options.severity or "", Severity.NOT_SAID)
        return FindingOpened(Finding(new_id(), part.unit_id, part.position_id, part.id, options.open, utc_now(),
                                     person.id, severity=severity))
    if not options.reason.strip():
        raise RecordError("Say why: --reason TEXT.")
    if options.close:
        return FindingClosed(shop.records.finding(options.close).id, options.reason)
    if options.hold:
        return UnitHeld(find_unit(shop, options.hold).id, options.reason)
    return UnitReleased(find_unit(shop, options.release).id, options.reason)
