"""`kiosk restore [FILE]`: put a verified backup in the place of the records; the old file is kept aside."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, page_progress, print_json
from kiosk.config import load_config
from kiosk.errors import NotFound
from kiosk.one_window import only_window
from kiosk.photos import PhotoBook
from kiosk.records.keeper import backups_in
from kiosk.records.restore import Restored, rehearse
from kiosk.restoring import restore_and_record
from kiosk.shop import PHOTO_FOLDER, Shop, utc_now


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("file", type=Path, nargs="?", help="a copy made by `kiosk backup` (default: the newest)")
    parser.add_argument("--rehearse", action="store_true", help="change nothing; say what would be there and be lost")
    parser.add_argument("--without-newer", action="store_true",
                        help="give up what the records hold beyond the backup")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Check the copy, then swap; nothing changes if the copy is not good."""
    config = load_config(options.shop)
    target = options.shop / config.database
    copy = options.file or _newest(options.shop / config.backups)
    keep_newer = not options.without_newer
    if options.rehearse:
        found = rehearse(copy, target, keep_newer, page_progress())
    else:
        with only_window(options.shop):
            found = restore_and_record(copy, target, config.kiosk, utc_now, None, keep_newer, page_progress())
            _bring_back_photos(options.shop)
    if options.json:
        print_json({**found.__dict__, "restored": None if options.rehearse else str(copy), "copy": str(copy),
                    "kept": None, "old_records": str(found.kept) if found.kept else None})
    else:
        print("\n".join(_lines(found, options.rehearse)))
    return 0


def _bring_back_photos(folder: Path) -> None:
    """Fetch the photos that are missing or damaged from beside the backups, and say what could not be fetched."""
    with Shop.open(folder) as shop:
        wanted = [kept.photo.sha256 for kept in shop.records.photos()]
        missing = [sha256 for sha256, _ in shop.photos.troubles(wanted)]
        found = PhotoBook(folder / shop.config.backups / PHOTO_FOLDER).copy_to(shop.photos.folder, missing)
    for trouble in found.troubles:
        print(f"kiosk restore: {trouble}", file=sys.stderr)


def _newest(folder: Path) -> Path:
    for copy in backups_in(folder):
        return copy
    raise NotFound(f"There is no backup in {folder}. Name the file of one.")


def _lines(found: Restored, is_rehearsal: bool) -> list[str]:
    would = "would be" if is_rehearsal else "are"
    until = f"{found.copy_entries} entries, the last of {found.copy_until}"
    lines = [f"The records {would} those of {found.copy}: {until}.",
             f"{found.carried} newer entries {would} carried over from the old records."]
    if found.lost:
        lines.append(f"{found.lost} entries that were saved {would} lost" + (
            f"; {found.stranded} of them can still be read in the old file." if found.stranded else "."))
    elif found.can_be_read or found.carried:
        lines.append(f"No entry that is known of {would} lost.")
    else:
        lines.append("The old records cannot be read: what was saved after the backup is not known.")
    if found.kept:
        lines.append(f"The old file is kept as {found.kept}.")
    return [*lines, "Nothing was changed."] if is_rehearsal else lines
