"""What must hold for any input whatever: nothing lost, nothing meant twice, nothing but our own refusals."""

from __future__ import annotations

import csv
import io
import json
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.config import parse_config
from kiosk.errors import KioskError
from kiosk.events import KINDS
from kiosk.presenters.keys import digits_after, text_after
from kiosk.records import codec
from kiosk.reports.rows import guarded_row
from kiosk.scan.wedge import LONGEST_SCAN, Scanned, Wedge
from kiosk.sheets.load import parse_sheet
from kiosk.units import parse_length
from labels.errors import LabelError
from labels.number import Kind, compose, is_label_number, kiosk_and_serial, parse

MANY = settings(max_examples=300, deadline=1000)
ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4), max_leaves=12)


@MANY
@given(st.text() | st.from_regex(r"[0-9 -]{8,16}"))
def test_label__any_text__is_a_number_or_refused(text: str) -> None:
    """`parse` gives a number of ten digits or refuses; `is_label_number` never calls a refused text a number."""
    try:
        number = parse(text)
    except LabelError as error:
        assert not is_label_number(text) and error.operator_message
    else:
        assert is_label_number(number.digits)  # `parse` forgives spaces and hyphens, `is_label_number` does not


@MANY
@given(st.sampled_from(Kind), st.integers(0, 99), st.integers(0, 999_999), st.integers(0, 9), st.integers(1, 9))
def test_label__one_digit_wrong__is_refused(kind: Kind, kiosk: int, serial: int, place: int, by: int) -> None:
    """ISO/IEC 7064 MOD 11,10 finds every single wrong digit."""
    number = compose(kind, kiosk, serial)
    assert kiosk_and_serial(number) == (kiosk, serial)
    digits = number.digits
    slipped = digits[:place] + str((int(digits[place]) + by) % 10) + digits[place + 1:]
    assert not is_label_number(slipped)


@MANY
@given(st.lists(st.tuples(st.characters(exclude_characters="\n"), st.floats(0, 0.2)), max_size=200), st.booleans())
def test_wedge__any_stream_of_keys__comes_out_whole_and_in_order(keys: list[tuple[str, float]], enters: bool) -> None:
    """Whatever is taken for a scan and whatever for typing, no character is lost, doubled or moved."""
    wedge, at, got = Wedge(), 0.0, []
    for character, gap in keys:
        at += gap
        got += wedge.feed(character, at) + wedge.poll(at)
    got += wedge.enter(at) if enters else wedge.poll(at + 1) + wedge.poll(at + 2)
    texts = [one.text if isinstance(one, Scanned) else one.key for one in got]
    assert "".join(text for text in texts if text != "enter") == "".join(character for character, _ in keys)
    assert all(len(text) <= LONGEST_SCAN for text in texts)


@MANY
@given(st.text() | st.from_regex(r"[0-9 ]{0,4}[0-9/½¼.,'\"-]{0,8} ?(in|mm|cm|ft)?", fullmatch=True))
def test_length__any_text__is_a_finite_length_or_refused(text: str) -> None:
    """What is read is a number that can be judged; what is refused is told in a sentence."""
    for unit in ("in", "mm"):
        try:
            assert math.isfinite(parse_length(text, unit).mm)
        except KioskError as error:
            assert error.operator_message.strip()


@MANY
@given(st.lists(st.text(max_size=5) | st.sampled_from([*"0123456789./ -", "1/2", "1/16", "back", "clear"])))
def test_keypad__any_keys__make_a_short_text(keys: list[str]) -> None:
    """The field never grows beyond what fits, and never takes what no key has."""
    text = number = ""
    for key in keys:
        text, number = text_after(text, key), digits_after(number, key)
        assert len(text) <= 40 and len(number) <= 10
    assert set(number) <= {*"0123456789."} and set(text) <= {*"0123456789./ -"}


@MANY
@given(st.sampled_from(sorted(KINDS)), ANY_JSON)
def test_event_body__any_json__is_read_exactly_or_refused(kind: str, value: Any) -> None:
    """A body is what its kind says or it is refused; what was read is kept again in the same words."""
    try:
        payload = codec.decode(kind, json.dumps(value))
    except KioskError:
        return
    kept = codec.encode(payload)
    assert codec.encode(codec.decode(kind, kept)) == kept


@MANY
@given(st.lists(st.text(), min_size=1, max_size=5))
def test_csv__any_cells__come_back_and_are_no_formulas(cells: list[str]) -> None:
    """RFC 4180 both ways; no cell begins as a formula does."""
    back = next(csv.reader(io.StringIO(guarded_row(cells), newline="")), [""])
    assert [cell.removeprefix("'") for cell in back] == [cell.removeprefix("'") for cell in cells]
    assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) for cell in back)


@settings(max_examples=150, deadline=1000)
@given(st.text() | st.binary().map(lambda data: data.decode("latin-1")))
@pytest.mark.parametrize("read", [parse_config, lambda text: parse_sheet(text, "sheet.toml")],
                         ids=["settings", "sheet"])
def test_toml__any_text__is_taken_or_refused(read: Any, text: str) -> None:
    """Settings and sheets refuse with the family's errors only."""
    try:
        read(text)
    except KioskError as error:
        assert error.operator_message
