"""`kiosk run`: open the kiosk on a shop's folder."""

from __future__ import annotations

import argparse
import dataclasses
import logging
import os
import sys
from pathlib import Path
from typing import Any

from kiosk.commands.common import add_shop
from kiosk.errors import ConfigError, KioskError
from kiosk.one_window import only_window
from kiosk.records.ids import new_id
from kiosk.set_up.founding import is_empty, make_folder
from kiosk.set_up.pen import Pen
from kiosk.set_up.sheet_folder import settle
from kiosk.shop import Shop
from kiosk.wall.log import keep_log

LOWEST_PPI, HIGHEST_PPI = 50, 600
TO_RESTORE_OPTION = "--to-restore"
_log = logging.getLogger(__name__)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    add_window(parser)


def add_window(parser: argparse.ArgumentParser) -> None:
    """Add the options of the window and the camera."""
    parser.add_argument("--size", metavar="WxH", help="window size, such as 1280x800 (default: kiosk.toml)")
    parser.add_argument("--ppi", type=float, metavar="N", help="the panel's pixels per inch; goes with its size")
    parser.add_argument("--full-screen", action="store_true", help="borderless over the whole screen, no cursor")
    parser.add_argument(TO_RESTORE_OPTION, action="store_true", help=argparse.SUPPRESS)
    parser.add_argument("--camera", metavar="SOURCE", help="device number, video file or stream URL")


def run(options: argparse.Namespace) -> int:
    """Open the window; return when it is closed."""
    return run_kiosk(options.shop, options)


def run_kiosk(folder: Path, options: argparse.Namespace) -> int:
    """Open the kiosk on a folder with the window's options; a new or empty folder becomes a shop first."""
    if is_empty(folder):
        make_folder(folder)
    keep_log(folder)
    with only_window(folder), Shop.open(folder, at_window=True, to_restore=options.to_restore) as shop:
        if not shop.trouble and shop.records.people():  # else the first run puts them on record
            _settle_sheets(shop)
        from kiosk.app import Again, KioskApp

        app = KioskApp(dataclasses.replace(shop, config=dataclasses.replace(shop.config, **_changes(options))))
        app.run()
    if app.again is not None:
        _start_anew(app.again is Again.TO_RESTORE)
    return 0


def _settle_sheets(shop: Shop) -> None:
    """Make the folder of sheets and the journal say the same; what cannot be settled is logged."""
    try:
        pen = Pen(new_id, shop.clock(), None)
        for said in settle(shop.sheets, shop.folder / shop.config.sheets, shop.records, pen):
            _log.warning(said)
    except KioskError as error:
        _log.warning("sheets: %s", error.operator_message)


def _start_anew(to_restore: bool) -> None:
    """Put a new process with the same command in this one's place: a window cannot be opened twice in one."""
    words = [word for word in sys.orig_argv[1:] if word != TO_RESTORE_OPTION]
    os.execv(sys.executable, [sys.executable, *words, *([TO_RESTORE_OPTION] if to_restore else [])])


def _changes(options: argparse.Namespace) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    if options.size:
        width, _, height = options.size.partition("x")
        if not (width.isdigit() and height.isdigit()):
            raise ConfigError(f"'{options.size}' is not a size; write it like 1280x800.")
        changes |= {"width": int(width), "height": int(height)}
        if options.ppi is None:
            _log.warning("Window of another size, laid out for the pixels per inch of kiosk.toml. If this is another "
                         "panel, give its --ppi too, or keys come out too small or too large for a gloved hand.")
    if options.ppi is not None:
        if not LOWEST_PPI <= options.ppi <= HIGHEST_PPI:
            raise ConfigError(f"--ppi must be between {LOWEST_PPI} and {HIGHEST_PPI}.")
        changes["ppi"] = options.ppi
    if options.full_screen:
        changes["full_screen"] = True
    if options.camera is not None:
        changes["camera"] = options.camera
    return changes
