"""The command line of labels: `python -m labels read …`, `print …`.

Each command is a module with HELP, add_arguments(parser) and run(arguments), which returns the exit code:
0 done, 1 refused with a sentence on stderr, 2 usage.
"""

from __future__ import annotations

import argparse
import os
import sys
from importlib import import_module

# One thread a process: several workers that each start a thread a core only wait for one another.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

_COMMANDS = {"read": "labels.read_command", "print": "labels.print_command"}


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m labels", description="Read and print label numbers.")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name, module in _COMMANDS.items():
        command = import_module(module)
        one = commands.add_parser(name, help=command.HELP, description=command.HELP)
        command.add_arguments(one)
        one.set_defaults(run=command.run)
    return parser


def main(words: list[str] | None = None) -> int:
    """Run one command and return its exit code."""
    from labels.errors import LabelError

    arguments = _parser().parse_args(words)
    try:
        return int(arguments.run(arguments))
    except LabelError as error:
        print(error.operator_message, file=sys.stderr)
        return 1
    except BrokenPipeError:
        # Whoever read our output has gone; there is nobody left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


if __name__ == "__main__":
    sys.exit(main())
