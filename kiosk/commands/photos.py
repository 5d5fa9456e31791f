"""`kiosk photos`: the photos on record, each held against its hash; copied out, or brought back from a backup."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import msgspec

from kiosk.commands.common import add_json, add_shop, print_json, shop_to_read
from kiosk.photos import PhotoBook
from kiosk.shop import PHOTO_FOLDER


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("--to", type=Path, metavar="FOLDER", help="copy every photo there that is not there yet")
    parser.add_argument("--bring-back", action="store_true", help="fetch missing or changed ones from the backups")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """List them; exit 1 if one is missing or not what was taken."""
    with shop_to_read(options.shop) as shop:
        kept = shop.records.photos()
        wanted = [each.photo.sha256 for each in kept]
        copied = None
        if options.bring_back:
            copied = PhotoBook(shop.folder / shop.config.backups / PHOTO_FOLDER).copy_to(shop.photos.folder, wanted)
        elif options.to:
            copied = shop.photos.copy_to(options.to, wanted)
        troubles = dict(shop.photos.troubles(wanted))
    if options.json:
        rows = [{**msgspec.to_builtins(each), "trouble": troubles.get(each.photo.sha256, "")} for each in kept]
        print_json({"photos": rows, "copied": None if copied is None else copied.copied,
                    "troubles": [] if copied is None else copied.troubles})
    else:
        for each in kept:
            trouble = troubles.get(each.photo.sha256, "as it was taken")
            print(f"{each.photo.sha256}  {each.at:%Y-%m-%d %H:%M}  {each.of} {each.subject_id}: {trouble}")
        if copied is not None:
            print(f"{copied.copied} copied, {copied.there} of {len(wanted)} are there.")
    for trouble in copied.troubles if copied else ():
        print(f"kiosk photos: {trouble}", file=sys.stderr)
    return 1 if troubles or (copied is not None and copied.troubles) else 0
