"""A part's or a position's history as PDF, on Letter or A4, newest record first, with the chart of its readings."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from pathlib import Path
from typing import Any

from kiosk.language import N_, tr
from kiosk.reports.charts import SeriesChart, chart_png
from kiosk.reports.history_rows import HistoryRow
from kiosk.reports.paper import footer, page_progress, paper_size, photo_cells
from kiosk.reports.trouble import ReportNotWritten


@dataclass(frozen=True)
class HistoryReport:
    """Everything the report prints; nothing is looked up here.

    Args:
        title: The part or position. `facts`: pairs of label and text under it.
        rows: Newest first.
        printed: Who printed it and when, one line.
        chain_head: Hash of the journal's last entry, so that the page can be held against the records.
        page: 'Letter' or 'A4'.
        photos: {place in `rows`: photos of that record, each a file, or why it cannot be shown}.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    rows: Sequence[HistoryRow]
    charts: tuple[SeriesChart, ...]
    printed: str
    chain_head: str
    page: str = "Letter"
    photos: Mapping[int, Sequence[Path | str]] = field(default_factory=dict)


COLUMNS = ((N_("When"), 76), (N_("Hours"), 48), (N_("Job"), 92), (N_("By"), 68), (N_("Readings and what was done"), 0))


def write_history_pdf(report: HistoryReport, path: Path, progress: Callable[[float], None] | None = None) -> None:
    """Write the report.

    Args:
        progress: Called with 0..1 while pages are made.

    Raises:
        ReportNotWritten: the file cannot be written.
    """
    from reportlab.lib.units import mm
    from reportlab.platypus import SimpleDocTemplate

    document = SimpleDocTemplate(
        str(path), pagesize=paper_size(report.page), leftMargin=15 * mm, rightMargin=15 * mm,
        topMargin=15 * mm, bottomMargin=18 * mm, title=report.title, author="shaft-and-belt kiosk",
    )
    if progress:
        document.setProgressCallBack(page_progress(progress))
    draw = footer(report.title, report.printed, report.chain_head)
    try:
        document.build(_story(report, document.width), onFirstPage=draw, onLaterPages=draw)
    except OSError as error:
        raise ReportNotWritten(tr("The report cannot be written to {path}: {strerror}.").format(
                                   path=path, strerror=error.strerror), repr(error)) from error


def _story(report: HistoryReport, width: float) -> list[Any]:
    from reportlab.lib.styles import getSampleStyleSheet
    from reportlab.platypus import Image, Paragraph, Spacer

    styles = getSampleStyleSheet()
    story: list[Any] = [Paragraph(escape(report.title), styles["Title"])]
    story += [Paragraph(f"<b>{escape(label)}:</b> {escape(text)}", styles["Normal"]) for label, text in report.facts]
    for chart in report.charts:
        story += [Spacer(1, 6), Image(io.BytesIO(chart_png(chart)), width=width, height=width * 2.6 / 7.0)]
    story.append(Spacer(1, 8))
    if not report.rows:
        story.append(Paragraph(tr("Nothing is recorded yet."), styles["Normal"]))
        return story
    # A table of thousands of rows is laid out in pieces: one long table takes time that grows with its square.
    for start in range(0, len(report.rows), 200):
        photos = {place - start: files for place, files in report.photos.items() if start <= place < start + 200}
        story.append(_table(report.rows[start : start + 200], width, start == 0, photos))
    return story


def _table(rows: Sequence[HistoryRow], width: float, with_heading: bool,
           photos: Mapping[int, Sequence[Path | str]]) -> Any:
    from reportlab.lib import colors
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph, Table, TableStyle

    cell = ParagraphStyle("cell", fontName="Helvetica", fontSize=7.5, leading=9)
    lines = [[Paragraph(escape(text), cell) for text in (row.when, row.hours, row.job, row.person)]
             + [[Paragraph(_what(row), cell), *photo_cells(photos.get(place, ()), cell)]]
             for place, row in enumerate(rows)]
    if with_heading:
        lines.insert(0, [Paragraph(f"<b>{tr(heading)}</b>", cell) for heading, _ in COLUMNS])
    widths = [size for _, size in COLUMNS[:-1]]
    table = Table(lines, colWidths=[*widths, width - sum(widths)], repeatRows=1 if with_heading else 0)
    table.setStyle(TableStyle([
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, -1), 0.3, colors.grey),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]))
    return table


def _what(row: HistoryRow) -> str:
    lines = [escape(line) for line in row.lines]
    if row.verdict:
        lines.insert(0, f"<b>{escape(row.verdict)}</b>")
    return "<br/>".join(lines) or "done"
