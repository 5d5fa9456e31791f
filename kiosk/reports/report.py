"""What a report says, before it is on paper or in a file: facts and sections to read, and one table for a program."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kiosk.language import N_
from kiosk.reports.charts import Chart

Cell = str | int | float | bool | None


@dataclass(frozen=True)
class Table:
    """Rows for a spreadsheet or a program: times in ISO 8601 with their offset, numbers as numbers."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True)
class Section:
    """A part of the printed report.

    Args:
        columns: Headings. `rows`: as many texts each. `shares`: how wide each column is beside the others.
        empty: Said where there are no rows.
        photos: (what it shows, a file or why it cannot be shown) each, below the rows.
    """

    heading: str
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    shares: tuple[float, ...] = ()
    charts: tuple[Chart, ...] = ()
    empty: str = N_("Nothing.")
    photos: tuple[tuple[str, Path | str], ...] = ()


@dataclass(frozen=True)
class Report:
    """A whole report.

    Args:
        kind: 'shift', 'month', 'findings', 'audit', 'unit', 'life'. `name`: stem of its file's name.
        facts: Pairs of label and text under the title.
        table: The same as data. `totals`: figures that the facts are written from, for `--json`.
        printed: Who printed it and when. `chain_head`: hash of the journal's last entry.
    """

    kind: str
    name: str
    title: str
    facts: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
    table: Table
    printed: str
    chain_head: str
    page: str = "Letter"
    totals: Mapping[str, Any] = field(default_factory=dict)
