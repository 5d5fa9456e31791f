"""The command line: `kiosk COMMAND …`, the same as `python -m kiosk COMMAND …`.

Each command is a module of `kiosk.commands`, imported only when it is called. Exit codes: 0 done, 1 refused with a
sentence on stderr, 2 usage.
"""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from collections.abc import Sequence

from kiosk.errors import KioskError
from labels.errors import LabelError

COMMANDS = {
    "run": "open the kiosk on a shop's folder",
    "demo": "build the invented demo yard and open the kiosk on it",
    "selfcheck": "try every part of this installation and say what to do about each that fails",
    "label": "print labels, say what becomes of one, look after the printer's queue",
    "history": "show or print what was done on a part, at a position, on a unit, by a person; what became of a label",
    "findings": "list findings, open or close one, hold a unit out of service or let it go",
    "correct": "correct or annul a record, with a reason; both stay",
    "photos": "list the photos of records and findings, hold them against their hashes, copy them",
    "due": "list what is due, for a unit or the whole yard",
    "report": "write a shift report, monthly summary, open findings, audit extract, unit's history or life of parts",
    "life": "tell which parts do not last, by kind and position",
    "setup": "make a yard, add units and people, change sheets, take the set-up out, bring one in",
    "export": "write the whole journal as JSON Lines",
    "verify": "walk the journal's chain and name the first entry that was tampered with",
    "rebuild": "make all tables anew from the journal",
    "backup": "write a verified copy of the records",
    "restore": "put a verified backup in the place of the records, keeping the old file",
    "hub": "set up the yard's hub, join or leave it, tell how the kiosks stand",
    "pin": "set or unlock a person's PIN at this kiosk, or list who has one",
    "install": "make this computer a kiosk on the wall: shows what it would do first",
    "update": "install a new version from a wheel file, tried on a copy of the records first, or go back",
    "reckon": "answer a shop-floor computation at the desk",
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    argv = list(sys.argv[1:] if arguments is None else arguments)
    parser = argparse.ArgumentParser(prog="kiosk", description="The shaft-and-belt kiosk.")
    subparsers = parser.add_subparsers(dest="command", metavar="COMMAND")
    chosen = next((word for word in argv if word in COMMANDS), None)
    for name, summary in COMMANDS.items():
        subparser = subparsers.add_parser(name, help=summary, description=summary[0].upper() + summary[1:] + ".")
        if name == chosen:
            module = importlib.import_module(f"kiosk.commands.{name}")
            module.add_arguments(subparser)
            subparser.set_defaults(run=module.run)
    options = parser.parse_args(argv)
    if options.command is None:
        parser.print_help()
        return 2
    return _run(options)


def _run(options: argparse.Namespace) -> int:
    try:
        return int(options.run(options))
    except (KioskError, LabelError) as error:
        print(f"kiosk {options.command}: {error.operator_message}", file=sys.stderr)
        return 1
    except BrokenPipeError:  # the reader of our output went away, as `| head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


if __name__ == "__main__":
    sys.exit(main())
