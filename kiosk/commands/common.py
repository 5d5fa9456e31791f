"""What the commands share: the shop's folder, `--json`, and finding a part by what a person calls it."""

from __future__ import annotations

import argparse
import getpass
import json
import math
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import msgspec

from kiosk.entities import Component, LabelKind, Person, Unit
from kiosk.errors import NotAllowed, NotFound
from kiosk.events import Event, Payload
from kiosk.records.ids import new_id
from kiosk.shop import Shop, utc_now
from labels.errors import LabelError
from labels.number import parse


def add_shop(parser: argparse.ArgumentParser) -> None:
    """Add `--shop FOLDER`; default: $KIOSK_SHOP, else the current folder."""
    parser.add_argument("--shop", type=Path, default=Path(os.environ.get("KIOSK_SHOP", ".")), metavar="FOLDER",
                        help="the shop's folder with kiosk.toml (default: $KIOSK_SHOP or the current folder)")


def add_json(parser: argparse.ArgumentParser) -> None:
    """Add `--json`."""
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")


def print_json(answer: Any) -> None:
    """Print entities and plain values as JSON."""
    print(json.dumps(msgspec.to_builtins(answer), ensure_ascii=False, indent=1))


@contextmanager
def shop_to_read(folder: Path) -> Iterator[Shop]:
    """Open a shop for a command that saves nothing; a full or read-only disk, or a damaged file, is told on stderr."""
    with Shop.open(folder, to_read=True) as shop:
        if shop.trouble:
            print(f"Read from a copy: {shop.trouble}", file=sys.stderr)
        yield shop


def page_progress() -> Callable[[int, int], None] | None:
    """Return what shows the progress of a copy on stderr, None where nobody looks on."""
    if not sys.stderr.isatty():
        return None

    def show(copied: int, total: int) -> None:
        print(f"\r{copied * 100 // max(1, total):3d} % copied", end="\n" if copied == total else "",
              file=sys.stderr, flush=True)

    return show


def find_component(shop: Shop, what: str) -> Component:
    """Return the part that a label number, a component id or a position id means.

    Raises:
        NotFound: nothing is known under it.
    """
    subject = _labelled(shop, what, (LabelKind.COMPONENT, LabelKind.POSITION)) or what
    component = shop.records.component_at(subject)
    return component if component is not None else shop.records.component(subject)


def find_unit(shop: Shop, what: str) -> Unit:
    """Return the unit that a label number, an id or a name means."""
    subject = _labelled(shop, what, (LabelKind.UNIT,)) or what
    for unit in shop.records.units():
        if subject in (unit.id, unit.name):
            return unit
    known = ", ".join(unit.name for unit in shop.records.units())
    raise NotFound(f"There is no unit '{what}'. The yard has: {known}.")


def find_person(shop: Shop, what: str) -> Person:
    """Return the one of the crew that a name, an id or a badge means."""
    people = shop.records.people()
    wanted = what.strip().casefold()
    badge = "".join(wanted.split())
    for person in people:
        if (wanted and wanted in (person.id.casefold(), person.name.casefold())) or (badge and badge == person.badge):
            return person
    raise NotFound(f"There is nobody '{what}'. The crew: {', '.join(person.name for person in people)}.")


def signed_by(shop: Shop, what: str) -> Person:
    """Return who puts something on record at the desk: by name, and by the PIN where this kiosk keeps one of theirs.

    Raises:
        NotAllowed: the PIN is not right, or none is taken now.
    """
    person = find_person(shop, what)
    if shop.pins.is_set(person.id):
        answer = shop.pins.check(person.id, ask_hidden(f"PIN of {person.name}: "))
        if not answer.right:
            raise NotAllowed(f"That is not the PIN of {person.name}; nothing was saved. "
                             f"Wait {max(1, math.ceil(answer.wait_s))} s before the next try.")
    return person


def ask_hidden(prompt: str) -> str:
    """Ask without showing what is typed; a script may send a line a question instead."""
    if sys.stdin.isatty():
        return getpass.getpass(prompt)
    return sys.stdin.readline().strip()


def save(shop: Shop, person: Person, payload: Payload, event_id: str = "") -> str:
    """Put something on record in a person's name and return the entry's id."""
    event = Event(event_id or new_id(), utc_now(), person.id, payload)
    shop.records.append(event)
    return event.id


def _labelled(shop: Shop, what: str, kinds: tuple[LabelKind, ...]) -> str | None:
    try:
        number = parse(what).digits
    except LabelError:
        return None
    label = shop.records.label(number)
    if label is None:
        raise NotFound(f"The label {what} was never issued here.")
    if label.kind not in kinds:
        raise NotFound(f"The label {what} belongs to a {label.kind}, not to a {kinds[0]}.")
    if label.subject_id is None:
        raise NotFound(f"The label {what} was issued but is on no part yet.")
    return label.subject_id
