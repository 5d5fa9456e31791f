"""What the commands share: the shop's folder, `--json`, and finding a part by what a person calls it."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import msgspec

from kiosk.entities import Component, LabelKind, Unit
from kiosk.errors import NotFound
from kiosk.shop import Shop
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
