"""`kiosk export FILE`: the whole journal as JSON Lines, one entry a line, in order."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO

import msgspec

from kiosk.commands.common import add_json, add_shop, print_json, shop_to_read
from kiosk.errors import RecordError
from kiosk.events import KIND_OF, JournalEntry


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("file", help="file to write, or - for standard output")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Write every entry with its kiosk, sequence number and hashes."""
    count = 0
    with shop_to_read(options.shop) as shop, _opened(options.file) as out:
        for entry in shop.records.entries():
            out.write(json.dumps(_line(entry), ensure_ascii=False) + "\n")
            count += 1
    if options.file != "-":
        if options.json:
            print_json({"entries": count, "file": options.file})
        else:
            print(f"{count} entries written to {options.file}.")
    return 0


def _line(entry: JournalEntry) -> dict[str, Any]:
    event = entry.event
    return {
        "kiosk": entry.kiosk, "seq": entry.seq, "id": event.id, "at": event.at.isoformat(),
        "person_id": event.person_id, "kind": KIND_OF[type(event.payload)],
        "payload": msgspec.to_builtins(event.payload), "previous_hash": entry.previous_hash, "hash": entry.hash,
    }


@contextmanager
def _opened(file: str) -> Iterator[TextIO]:
    if file == "-":
        yield sys.stdout
        return
    try:
        with open(file, "x", encoding="utf-8") as out:
            yield out
    except FileExistsError as error:
        raise RecordError(f"{file} is there already; name a new file.") from error
    except OSError as error:
        raise RecordError(f"{file} cannot be written: {error.strerror}.") from error
