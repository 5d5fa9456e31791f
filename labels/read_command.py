"""`python -m labels read IMAGE…`: the label number in each picture, one line a picture.

A line is `PATH<TAB>NUMBER`, or `PATH<TAB>-` when no number is sure. With `--any` it is every Code 128 text of the
picture, each after a tab. Pictures are read by a worker a core; what is wrong with a file is said on stderr.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from multiprocessing.context import BaseContext
from pathlib import Path

import cv2

from labels.errors import LabelError
from labels.number import parse
from labels.reading import Reader, read_any
from labels.reading.picture import load

HELP = "read the label number in each picture"

# What one picture gave: the texts, and what was wrong with the file.
Answer = tuple[list[str], str]
_CONTROL = {code: f"\\x{code:02x}" for code in (*range(32), 127)}

_reader: Reader
_is_any: bool


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the command's arguments."""
    parser.add_argument("images", nargs="+", metavar="IMAGE", help="picture files")
    parser.add_argument("--any", action="store_true", dest="is_any",
                        help="every Code 128 text, not only label numbers")
    parser.add_argument("--issued", metavar="FILE",
                        help="the issued numbers, one a line, which damaged labels may be matched against")


def run(arguments: argparse.Namespace) -> int:
    """Print a line for each picture; 1 when a file could not be read as a picture."""
    issued = None if arguments.issued is None else issued_numbers(arguments.issued)
    sys.stdout.reconfigure(errors="surrogateescape")  # type: ignore[union-attr]
    code = 0
    for path, (texts, complaint) in zip(arguments.images, _answers(arguments, issued), strict=True):
        shown = "\t".join(text.translate(_CONTROL) for text in texts) or "-"
        print(f"{path}\t{shown}", flush=True)
        if complaint:
            print(complaint, file=sys.stderr)
            code = 1
    return code


def issued_numbers(path: str) -> list[str]:
    """Return the numbers of a file, one a line; empty lines and those that begin with # are passed over.

    Raises:
        LabelError: the file cannot be read, or a line is no label number.
    """
    try:
        lines = Path(path).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise LabelError(f"The issued numbers in {path} cannot be read: {error}.", repr(error)) from error
    numbers = []
    for at, line in enumerate(lines, start=1):
        if line.strip() and not line.startswith("#"):
            try:
                numbers.append(parse(line).digits)
            except LabelError as error:
                raise LabelError(f"{path}, line {at}: {error.operator_message}", error.details) from error
    return numbers


def _answers(arguments: argparse.Namespace, issued: list[str] | None) -> Iterator[Answer]:
    """Yield each picture's answer in the order of the pictures."""
    workers = min(len(arguments.images), os.cpu_count() or 1)
    if workers == 1:
        _prepare(issued, arguments.is_any)
        yield from map(_answer, arguments.images)
        return
    done = 0
    try:
        with ProcessPoolExecutor(workers, _context(), _prepare_worker, (issued, arguments.is_any)) as pool:
            for answer in pool.map(_answer, arguments.images):
                yield answer
                done += 1
    except BrokenProcessPool:
        for path in arguments.images[done:]:
            yield [], f"{path} was not read: a worker was stopped, perhaps for want of memory."


def _context() -> BaseContext:
    """Return how workers are started: from a fresh process, for a fork of one with OpenCV's threads may hang."""
    context = get_context("forkserver")
    context.set_forkserver_preload(["labels.read_command"])
    return context


def _prepare(issued: list[str] | None, is_any: bool) -> None:
    global _reader, _is_any
    cv2.setNumThreads(1)
    _reader, _is_any = Reader(issued), is_any


def _prepare_worker(issued: list[str] | None, is_any: bool) -> None:
    # Image libraries write their own remarks on damaged files to stderr; ours come from the parent.
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    _prepare(issued, is_any)


def _answer(path: str) -> Answer:
    try:
        image = load(path)
        number = _reader.read(image).number
        texts = [number] if number else []
        if _is_any:
            texts = list(dict.fromkeys(read_any(image) + texts))
        return texts, ""
    except LabelError as error:
        return [], error.operator_message
