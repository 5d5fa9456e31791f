"""A report's table as CSV and as JSON Lines: both load cleanly into a spreadsheet or a data frame."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path

from kiosk.language import tr
from kiosk.reports.report import Table
from kiosk.reports.rows import csv_row, guarded_row
from kiosk.reports.trouble import ReportNotWritten


def write_csv(table: Table, path: Path) -> None:
    """Write the table as CSV (RFC 4180) with a byte order mark, without which a spreadsheet mistakes UTF-8.

    Raises:
        ReportNotWritten: the file cannot be written.
    """
    _write(path, (csv_row(table.columns), *(guarded_row(row) for row in table.rows)), "utf-8-sig")


def write_json_lines(table: Table, path: Path) -> None:
    """Write the table as JSON Lines: one object a row, UTF-8.

    Raises:
        ReportNotWritten: the file cannot be written.
    """
    lines = (json.dumps(dict(zip(table.columns, row, strict=True)), ensure_ascii=False) + "\n" for row in table.rows)
    _write(path, lines, "utf-8")


def _write(path: Path, lines: Iterable[str], encoding: str) -> None:
    try:
        with path.open("w", encoding=encoding, newline="") as out:
            out.writelines(lines)
    except OSError as error:
        raise ReportNotWritten(tr("The report cannot be written to {path}: {strerror}.").format(
                                   path=path, strerror=error.strerror), repr(error)) from error
