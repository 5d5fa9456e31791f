"""Rows of CSV by RFC 4180, and the guard that keeps a spreadsheet from running a cell.

Sources: RFC 4180, section 2 (line ends CRLF, quotes doubled), written by the standard library's csv module. The guard
is common practice, no source: a cell that begins with = + - @ or a control character is a formula to a spreadsheet.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
_GUARD = "'"


def csv_row(fields: Iterable[Any]) -> str:
    """Return one row of CSV with its line end.

    Args:
        fields: Texts and numbers; None becomes an empty field.
    """
    line = io.StringIO(newline="")
    csv.writer(line, lineterminator="\r\n").writerow(fields)
    return line.getvalue()


def guarded(field: Any) -> Any:
    """Return a field that no spreadsheet takes for a formula: such a text gets an apostrophe in front.

    Numbers stay as they are, negative ones too.
    """
    if isinstance(field, str) and field.startswith(_FORMULA_STARTS):
        return _GUARD + field
    return field


def guarded_row(fields: Iterable[Any]) -> str:
    """Return one row of CSV whose texts no spreadsheet takes for formulas."""
    return csv_row(map(guarded, fields))
