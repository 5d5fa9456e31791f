"""Rows of CSV: read back the same, and no cell runs in a spreadsheet."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.reports.rows import csv_row, guarded, guarded_row

FIELDS = st.lists(st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0")), min_size=1, max_size=6)


@given(FIELDS)
def test_csv_row__any_text__reads_back_the_same(fields: list[str]) -> None:
    """Whatever was typed stands in its own field again."""
    line = csv_row(fields)
    assert line.endswith("\r\n")
    assert list(csv.reader(io.StringIO(line, newline=""))) == [fields]


@given(FIELDS)
def test_guarded_row__any_text__no_field_begins_a_formula(fields: list[str]) -> None:
    """No field of a guarded row begins as a formula does, and nothing else is changed."""
    (read,) = csv.reader(io.StringIO(guarded_row(fields), newline=""))
    for got, typed in zip(read, fields, strict=True):
        assert not got.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
        assert got in (typed, f"'{typed}")


@pytest.mark.parametrize(("field", "safe"), [
    ("=HYPERLINK(1)", "'=HYPERLINK(1)"), ("+1", "'+1"), ("-1 1/2 in", "'-1 1/2 in"), ("@SUM(A1)", "'@SUM(A1)"),
    ("\t=1", "'\t=1"), ("1 5/8", "1 5/8"), ("", ""), (-1.5, -1.5), (None, None),
])
def test_guarded__common_practice__texts_only(field: object, safe: object) -> None:
    """Texts that begin a formula get an apostrophe; numbers and other texts are left alone."""
    assert guarded(field) == safe
