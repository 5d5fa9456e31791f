"""A history as CSV that loads cleanly into a spreadsheet: RFC 4180, one row a reading, times in UTC and local."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import tzinfo
from pathlib import Path

from kiosk.entities import Correction, ServiceRecord
from kiosk.language import tr
from kiosk.reports.history_rows import CSV_COLUMNS, NO_CORRECTIONS, Names, csv_rows
from kiosk.reports.rows import csv_row, guarded_row
from kiosk.reports.trouble import ReportNotWritten


def write_history_csv(records: Sequence[ServiceRecord], names: Names, zone: tzinfo, path: Path,
                      corrections: Mapping[str, Correction] = NO_CORRECTIONS) -> int:
    """Write the records and return how many were written.

    The file begins with a byte order mark: without it a spreadsheet takes UTF-8 for an older character set.

    Raises:
        ReportNotWritten: the file cannot be written.
    """
    try:
        with path.open("w", encoding="utf-8-sig", newline="") as out:
            out.write(csv_row(CSV_COLUMNS))
            out.writelines(guarded_row(row) for row in csv_rows(records, names, zone, corrections))
    except OSError as error:
        raise ReportNotWritten(tr("The report cannot be written to {path}: {strerror}.").format(
                                   path=path, strerror=error.strerror), repr(error)) from error
    return len(records)
