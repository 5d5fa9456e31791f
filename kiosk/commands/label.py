"""`kiosk label`: print labels again, of parts, whole units or the crew."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass

from kiosk.commands.common import add_json, add_shop, find_component, find_unit, print_json
from kiosk.entities import Component
from kiosk.shop import Shop


@dataclass(frozen=True)
class _PrintedLabel:
    number: str
    lines: list[str]
    file: str


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("part", nargs="*", help="label number or id of a part")
    parser.add_argument("--unit", help="every part of a unit, and the unit's own label: its name, id or label")
    parser.add_argument("--crew", action="store_true", help="every badge of the crew")
    parser.add_argument("--dry-run", action="store_true", help="say what would be printed and print nothing")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Print each label to a PDF in the shop's folder for labels."""
    with Shop.open(options.shop) as shop:
        wanted = _wanted(shop, options)
        answer = [_PrintedLabel(number, lines, "" if options.dry_run else str(shop.press.print_again(number, lines)))
                  for number, lines in wanted]
    if options.json:
        print_json(answer)
        return 0
    for label in answer:
        print(f"{label.number}  {' / '.join(label.lines)}  {label.file or 'not printed'}")
    if not answer:
        print("Nothing to print: name a part, --unit or --crew.")
    return 0


def _wanted(shop: Shop, options: argparse.Namespace) -> Iterator[tuple[str, list[str]]]:
    for what in options.part:
        yield _of_component(shop, find_component(shop, what))
    if options.unit:
        unit = find_unit(shop, options.unit)
        yield unit.label, [unit.name, unit.description or unit.design]
        for component in shop.records.components_of_unit(unit.id):
            yield _of_component(shop, component)
    if options.crew:
        for person in shop.records.people():
            yield person.badge, [person.name, str(person.role)]


def _of_component(shop: Shop, component: Component) -> tuple[str, list[str]]:
    position = shop.records.position(component.position_id)
    unit = shop.records.unit(component.unit_id)
    return component.label, [position.name, f"{unit.name} · {component.installed_at.astimezone(shop.zone):%Y-%m-%d}"]
