"""`kiosk update WHEEL`: a new version from a file, tried on a copy of the records first; `--back` takes it back."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.errors import UpdateRefused
from kiosk.wall.installing import PROGRAM_FOLDER
from kiosk.wall.updating import count_start, take_back, update
from kiosk.wall.versions import ENVIRONMENT, Program


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("wheel", type=Path, nargs="?", help="the new version's wheel file, as on a USB stick")
    parser.add_argument("--back", action="store_true", help="go back to the version before, with its records")
    parser.add_argument("--count-start", action="store_true",
                        help="count a start of a version on trial, as the session does; take it back after three")
    parser.add_argument("--program", type=Path, metavar="FOLDER", help="where the versions are",
                        default=Path(os.environ.get(ENVIRONMENT, PROGRAM_FOLDER)))
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Say each step on stderr; the answer is which version runs from the next start on."""
    program = Program(options.program)

    def say(text: str) -> None:
        print(text, file=sys.stderr)

    if options.count_start:
        count_start(program, say)
    elif options.back:
        take_back(program, say)
    elif options.wheel is None:
        raise UpdateRefused("Name the wheel file of the new version, or --back.")
    else:
        update(options.shop, program, options.wheel, Path(sys.executable), say)
    answer = {"current": program.current(), "before": program.before(), "versions": program.versions()}
    if options.json:
        print_json(answer)
    return 0
