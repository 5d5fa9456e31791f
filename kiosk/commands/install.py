"""`kiosk install`: make this computer a kiosk. Shows what it would do; `--carry-out` does it."""

from __future__ import annotations

import argparse
import shlex
import sys
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.wall.installing import (
    PROGRAM_FOLDER,
    Wish,
    carry_out,
    demand_shop,
    differences,
    planned_commands,
    planned_files,
)
from kiosk.wall.updating import update
from kiosk.wall.versions import Program


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("--carry-out", action="store_true", help="do it; without this it is only shown (needs root)")
    parser.add_argument("--wheel", type=Path, help="the kiosk's wheel file, installed as the first version")
    parser.add_argument("--user", default="kiosk", help="who runs the kiosk; made if missing (default: kiosk)")
    parser.add_argument("--program", type=Path, default=Path(PROGRAM_FOLDER), metavar="FOLDER",
                        help=f"where the program's versions go (default: {PROGRAM_FOLDER})")
    parser.add_argument("--root", type=Path, default=Path("/"), metavar="FOLDER",
                        help="write the files under another root, as for a disk image; no command is run")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Show the files as differences to what is there, and the commands."""
    demand_shop(options.shop)
    wish = Wish(options.shop.resolve(), options.user, options.program)
    changes = list(differences(planned_files(wish), options.root))
    commands = planned_commands(wish)
    if options.carry_out:
        if options.wheel:
            update(wish.shop, Program(wish.program), options.wheel, Path(sys.executable), print)
        carry_out(wish, options.root)
    if options.json:
        print_json({"files": [str(file.path) for file, _ in changes], "commands": [shlex.join(one) for one in commands],
                    "carried_out": options.carry_out})
        return 0
    for _, difference in changes:
        print(difference)
    for command in commands:
        print(shlex.join(command))
    print("Done." if options.carry_out else "Nothing was changed; --carry-out does it, as root.")
    return 0
