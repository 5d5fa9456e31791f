"""What takes input from outside, each as a target: good examples, how to spoil them, what to run, how many cases.

A target's run may raise our own errors only. What must hold beyond that is asserted in the run itself.
"""

from __future__ import annotations

import csv
import io
import math
import os
import random
import struct
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
from fuzz_mutate import ODD, mutated_bytes, mutated_text
from PIL import Image
from small_yard import story_events, yard_events

from kiosk.config import parse_config
from kiosk.errors import KioskError, RecordError
from kiosk.pins import PinVault
from kiosk.presenters.keys import text_after
from kiosk.presenters.quantities import read_quantity
from kiosk.records import codec
from kiosk.records.instants import parse_rfc3339
from kiosk.reports.rows import guarded_row
from kiosk.scan.wedge import Scanned, Wedge
from kiosk.sheets.load import parse_sheet
from kiosk.units import format_both, parse_length, parse_range, suspect_unit_slip
from labels.errors import LabelError
from labels.number import compose, is_label_number, kiosk_and_serial, label_kind, parse
from labels.read_command import issued_numbers
from labels.reading import Reader
from labels.reading.picture import load

ROOT = Path(__file__).resolve().parents[2]
OURS = (KioskError, LabelError)


@dataclass(frozen=True)
class Target:
    """One way in.

    Args:
        good: Examples to spoil. `spoil`: makes a bad one.
        run: Takes one; may raise `OURS` only.
        cases: How many in a full run.
        code: Part of the path of the code whose lines guide the corpus; '' grows none.
    """

    name: str
    good: list[Any]
    spoil: Callable[[random.Random, Any], Any]
    run: Callable[[Any], object]
    cases: int
    code: str = ""


def targets(folder: Path) -> list[Target]:
    """Return all targets; those that need a file write it into the folder."""
    return [
        _texts("label text", _LABELS, _label, 45_000, "labels/number"),
        Target("scanner key stream", _STREAMS, _spoiled_stream, _stream, 18_000),
        _texts("length and fraction", _LENGTHS, _length, 40_000, "kiosk/units"),
        _texts("range of lengths", ["3 to 4 in", "3 1/2 in - 4", "76..90 mm"], _range, 12_000, "kiosk/units"),
        _texts("typed quantity", ["12.5", "3 1/2", "150 F", "65 °C", "85 %"], _quantity, 15_000, "kiosk/presenters"),
        Target("keypad", [["3", "1/2"], ["1", "/", "8", "back"]], _spoiled_keys, _keys, 8_000),
        _texts("event body", _bodies(), _body, 36_000, "kiosk/records"),
        _texts("time stamp", ["2026-03-02T05:06:07Z", "2026-03-02T05:06:60.5+01:30"], parse_rfc3339, 12_000,
               "kiosk/records"),
        _texts("settings", [_CONFIG], parse_config, 9_000, "kiosk/config"),
        _texts("service sheet", _sheets(), lambda text: parse_sheet(text, "sheet.toml"), 5_000, "kiosk/sheets"),
        Target("service sheet, bytes", [text.encode() for text in _sheets()],
               lambda chance, data: mutated_bytes(chance, data), lambda data: parse_sheet(data, "sheet.toml"), 2_000),
        _texts("CSV cell", ["bearing, left", "=1+1", "two\nlines"], _csv, 10_000),
        _file("list of issued numbers", [_issued_list()], issued_numbers, folder / "issued.txt", 3_000),
        _file("PIN file", _pin_files(folder), _pins(folder), folder / "fuzz-pins.json", 1_500),
        _file("picture file", _pictures(), _picture, folder / "picture", 4_000),
        Target("picture", [_noise(random.Random(0), None)], _noise, Reader(_LABELS).read, 300),
    ]


def _texts(name: str, good: list[str], run: Callable[[str], object], cases: int, code: str = "") -> Target:
    return Target(name, good, lambda chance, text: mutated_text(chance, text, good), run, cases, code)


def _file(name: str, good: list[bytes], run: Callable[[str], object], path: Path, cases: int) -> Target:
    """A target that reads a file: each case is written over the one before."""

    def run_file(data: bytes) -> object:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        os.write(handle, data)
        os.close(handle)
        return run(str(path))

    return Target(name, good, mutated_bytes, run_file, cases)


# --- labels ---

_LABELS = [number.digits for number in (compose(1, 1, 1), compose(3, 99, 999_999), compose(5, 0, 0))]  # type: ignore[arg-type]
_LABELS += [parse(text).grouped for text in _LABELS]


def _label(text: str) -> None:
    known = is_label_number(text)
    try:
        number = parse(text)
    except LabelError:
        assert not known
        return
    assert len(number.digits) == 10 and number.digits.isascii() and number.digits.isdigit()
    assert parse(number.grouped) == number
    kiosk, serial = kiosk_and_serial(number)
    assert compose(label_kind(number), kiosk, serial) == number


def _issued_list() -> bytes:
    return ("# issued\n" + "\n".join(_LABELS) + "\n").encode()


# --- keys ---

_STREAMS = [[("1" * 1, 0.004)] * 10 + [("\n", 0.004)], [("3", 0.2), (".", 0.3), ("5", 0.2)], [("a", 0.001)] * 120]


def _spoiled_stream(chance: random.Random, stream: list[tuple[str, float]]) -> list[tuple[str, float]]:
    """Keys with their gaps: bursts, pauses, frames without a key, odd characters, Enter anywhere."""
    keys = list(stream)
    for _ in range(chance.randint(1, 12)):
        at = chance.randint(0, len(keys))
        gap = chance.choice((0.0, 0.001, 0.02, 0.049, 0.051, 0.3, 5.0, -1.0))
        keys.insert(at, (chance.choice(("\n", "", "7", "x", *(odd[:1] for odd in ODD if odd))), gap))
    return keys


def _stream(keys: list[tuple[str, float]]) -> None:
    """Nothing that was sent is lost, doubled or out of order, and a scan is never longer than it may be."""
    wedge, at, got, sent = Wedge(), 0.0, [], ""
    for character, gap in keys:
        at += gap
        if character == "\n":
            got += wedge.enter(at)
        elif character == "":
            got += wedge.poll(at)
        else:
            sent += character
            got += wedge.feed(character, at)
    for _ in range(3):
        at += 1
        got += wedge.poll(at)
    texts = [one.text if isinstance(one, Scanned) else one.key for one in got]
    assert "".join(text for text in texts if text != "enter") == sent


def _spoiled_keys(chance: random.Random, keys: list[str]) -> list[str]:
    known = [*"0123456789./ -", "1/2", "1/4", "1/8", "1/16", "1/32", "back", "clear", "unit", "next", *ODD]
    return [*keys, *(chance.choice(known) for _ in range(chance.randint(1, 60)))]


def _keys(keys: list[str]) -> None:
    text = ""
    for key in keys:
        text = text_after(text, key)
        assert len(text) <= 40
    try:
        parse_length(text, "in")
    except OURS:
        return


# --- quantities ---

_LENGTHS = ["3 1/2", "3-1/2 in", "3½\"", "12 mm", "0.375", "1' 2 3/8\"", "7/16", "88,9 mm", "-1/4", "2.54 cm"]


def _length(text: str) -> None:
    for unit in ("in", "mm"):
        length = parse_length(text, unit)
        assert math.isfinite(length.mm)
        assert format_both(length.mm, unit)
        suspect_unit_slip(length.mm, 10.0, 20.0)


def _range(text: str) -> None:
    low, high = parse_range(text, "in")
    assert low.mm <= high.mm


def _quantity(text: str) -> None:
    for unit, units in (("mm", "in"), ("degC", "in"), ("count", "mm"), ("h", "mm"), ("percent", "in")):
        try:
            assert math.isfinite(read_quantity(text, unit, units))
        except OURS:
            continue


# --- records ---

def _bodies() -> list[str]:
    events = [*yard_events(), *story_events()]
    return [f"{codec.kind_of(event.payload)}\t{codec.encode(event.payload)}" for event in events]


def _body(text: str) -> None:
    """What is read back and kept again says the same: a body cannot mean two things."""
    kind, _, body = text.partition("\t")
    payload = codec.decode(kind, body)
    try:
        kept = codec.encode(payload)
    except RecordError:
        return
    assert codec.encode(codec.decode(kind, kept)) == kept


def _csv(text: str) -> None:
    row = guarded_row([text])
    cells = next(csv.reader(io.StringIO(row, newline="")))
    assert cells[0].removeprefix("'") == text.removeprefix("'")
    assert not cells[0].startswith(("=", "+", "-", "@", "\t", "\r", "\n"))


# --- settings, sheets, PINs ---

_CONFIG = """kiosk = 1
time_zone = "Europe/Dublin"
units = "in"
camera = "0"
shift_starts = ["06:00", "14:00", "22:00"]
shift_names = ["early", "late", "night"]
idle_logout_s = 600
page = "A4"
printer = "ipp://printer/ipp/print"
label_width_mm = 51.0
pin_for = "leads"
"""


def _sheets() -> list[str]:
    folder = ROOT / "demo_shop" / "sheets"
    return [(folder / f"{name}.toml").read_text("utf-8") for name in ("shaft-bearing", "flight-chain", "wear-pad")]


def _pin_files(folder: Path) -> list[bytes]:
    vault = _vault(folder / "good-pins.json", folder)
    vault.set("lead", "7302")
    return [(folder / "good-pins.json").read_bytes()]


def _vault(path: Path, folder: Path) -> PinVault:
    return PinVault(path, folder / "fuzz.pepper", lambda: datetime(2026, 3, 2, tzinfo=UTC))


def _pins(folder: Path) -> Callable[[str], object]:
    def read(path: str) -> None:
        vault = _vault(Path(path), folder)
        vault.is_set("lead")
        vault.wait_s("lead")
        vault.people()

    return read


# --- pictures ---

def _pictures() -> list[bytes]:
    """Small good pictures of many kinds, and some that lie about their size."""
    grey = np.random.default_rng(1).integers(0, 255, (60, 90), np.uint8)
    found = []
    for kind in ("PNG", "JPEG", "BMP", "TIFF", "WEBP", "GIF", "PPM"):
        out = io.BytesIO()
        Image.fromarray(grey).save(out, kind)
        found.append(out.getvalue())
    found += [_giant_png(side) for side in (20_000, 60_000, 2**31 - 1)]
    found += [_giant_bmp(side) for side in (20_000, 60_000, 2**31 - 1)]
    found += [b"P5 60000 60000 255\n", b"GIF89a\xff\xff\xff\xff"]
    found += [b"", b"not a picture", b"%PDF-1.4", b"\x89PNG\r\n\x1a\n"]
    return found


def _giant_png(side: int) -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")


def _giant_bmp(side: int) -> bytes:
    return b"BM" + struct.pack("<IHHI", 1_078, 0, 0, 1_078) + struct.pack(
        "<IiiHHIIiiII", 40, side, side, 1, 8, 0, 0, 0, 0, 256, 256) + bytes(1_024)


def _picture(path: str) -> None:
    grey = load(path)
    assert grey.ndim == 2 and grey.size < 40_000_000


def _noise(chance: random.Random, _: Any) -> np.ndarray:
    """A small frame of noise, stripes or nothing, grey or colour, of any odd shape."""
    draw = np.random.default_rng(chance.getrandbits(32))
    height, width = chance.choice(((1, 1), (1, 300), (17, 40), (90, 160), (120, 200), (200, 30)))
    shape = (height, width) if chance.random() < 0.5 else (height, width, 3)
    if chance.random() < 0.3:
        return np.full(shape, chance.choice((0, 128, 255)), np.uint8)
    picture = draw.integers(0, 256, shape, np.uint8)
    if chance.random() < 0.5:
        picture[:, ::chance.randint(2, 9)] = chance.choice((0, 255))
    return picture
