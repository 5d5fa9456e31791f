"""Makes bad input from good: seeded mutations of texts and bytes, and a corpus that grows by what reaches new lines.

The growing is done while lines are counted, which is slow; the mass of cases is then made from the grown corpus.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable
from types import FrameType
from typing import Any

LONGEST = 4_000
ODD = ["", "\x00", "\ufeff", "\u200b", "\u202e", "\ud800", "é", "½", "١٢", "𝟙", "🔧", "\r\n", "\t", "\\", "'", '"',
       "=", "=cmd|'/C calc'!A0", "@", "-", "+", "..", "../../etc/x", "/", "%s", "{}", "{0}", "; DROP TABLE journal;--",
       "nan", "NaN", "inf", "-inf", "1e999", "-0", "0x10", "1_000", "9" * 400, "1/0", "0/0", "1/3", "1e-400", "null",
       "true", "[", "]", "{", "}", "[[", "]]", "[" * 300, "{\"a\":" * 200, ",", ".", " ", "in", "mm", "\"", "″", "′"]


def mutated_text(chance: random.Random, text: str, others: list[str]) -> str:
    """Return a text with one to six small things wrong with it."""
    for _ in range(chance.randint(1, 6)):
        text = chance.choice(_TEXT)(chance, text, others)[:LONGEST]
    return text


def mutated_bytes(chance: random.Random, data: bytes) -> bytes:
    """Return bytes with some flipped, cut off, put in or doubled."""
    changed = bytearray(data)
    for _ in range(chance.randint(1, 8)):
        at = chance.randrange(len(changed)) if changed else 0
        what = chance.randrange(6)
        if what == 0 and changed:
            changed[at] ^= 1 << chance.randrange(8)
        elif what == 1 and changed:
            changed[at] = chance.choice((0, 255, 127, 128))
        elif what == 2:
            del changed[at:]
        elif what == 3:
            changed[at:at] = chance.randbytes(chance.randint(1, 16))
        elif what == 4:
            changed[at:at] = changed[at:at + chance.randint(1, 64)]
        else:
            changed[at:at + 4] = chance.choice((b"\xff\xff\xff\xff", b"\0\0\0\0", b"\x7f\xff\xff\xff", b"\0\0\x40\0"))
    return bytes(changed)


def _insert(chance: random.Random, text: str, others: list[str]) -> str:
    at = chance.randint(0, len(text))
    return text[:at] + chance.choice(ODD) + text[at:]


def _delete(chance: random.Random, text: str, others: list[str]) -> str:
    at = chance.randint(0, len(text))
    return text[:at] + text[at + chance.randint(1, 8):]


def _character(chance: random.Random, text: str, others: list[str]) -> str:
    at = chance.randint(0, len(text))
    return text[:at] + chr(chance.choice((chance.randrange(128), chance.randrange(0xD7FF)))) + text[at + 1:]


def _double(chance: random.Random, text: str, others: list[str]) -> str:
    at = chance.randint(0, len(text))
    piece = text[at:at + chance.randint(1, 40)]
    return text[:at] + piece * chance.choice((2, 3, 60)) + text[at:]


def _splice(chance: random.Random, text: str, others: list[str]) -> str:
    other = chance.choice(others)
    return text[:chance.randint(0, len(text))] + other[chance.randint(0, len(other)):]


def _digit(chance: random.Random, text: str, others: list[str]) -> str:
    places = [at for at, character in enumerate(text) if character.isdigit()]
    if not places:
        return _insert(chance, text, others)
    at = chance.choice(places)
    return text[:at] + chance.choice(("0", "9", "-1", "1e309", "18446744073709551616", ".5", "")) + text[at + 1:]


def _line(chance: random.Random, text: str, others: list[str]) -> str:
    lines = text.split("\n")
    at = chance.randrange(len(lines))
    lines.insert(chance.randrange(len(lines) + 1), lines.pop(at) if chance.random() < 0.5 else lines[at])
    return "\n".join(lines)


_TEXT: tuple[Callable[[random.Random, str, list[str]], str], ...] = (
    _insert, _insert, _delete, _character, _double, _splice, _digit, _line)


def grown(corpus: list[Any], mutate: Callable[[Any], Any], run: Callable[[Any], object], files: str, rounds: int
          ) -> list[Any]:
    """Return the corpus with every mutation that reached a line which none before it had.

    Args:
        files: Only lines of files whose path holds this are counted.
    """
    seen: set[tuple[str, int]] = set()
    kept = list(corpus)
    for one in corpus:
        seen |= _lines_of(one, run, files)
    for number in range(rounds):
        one = mutate(kept[number % len(kept)])
        fresh = _lines_of(one, run, files) - seen
        if fresh:
            seen |= fresh
            kept.append(one)
    return kept


def _lines_of(one: Any, run: Callable[[Any], object], files: str) -> set[tuple[str, int]]:
    lines: set[tuple[str, int]] = set()

    def trace(frame: FrameType, event: str, _: Any) -> Any:
        if files not in frame.f_code.co_filename:
            return None
        if event == "line":
            lines.add((frame.f_code.co_filename, frame.f_lineno))
        return trace

    sys.settrace(trace)
    try:
        run(one)
    except Exception:  # the mass run says what is a crash; here only the way is of interest
        return lines
    finally:
        sys.settrace(None)
    return lines
