"""A report of several sections as PDF, on Letter or A4: facts, tables and charts, the journal's head on every page."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path
from typing import Any

from kiosk.language import tr
from kiosk.reports.charts import chart_png
from kiosk.reports.paper import footer, page_progress, paper_size, photo_cells
from kiosk.reports.report import Report, Section
from kiosk.reports.trouble import ReportNotWritten

# One long table takes time that grows with its square.
_ROWS_AT_ONCE = 200
_CHART_SHAPE = 2.6 / 7.0


def write_report_pdf(report: Report, path: Path, progress: Callable[[float], None] | None = None) -> None:
    """Write the report.

    Args:
        progress: Called with 0..1 while pages are made.

    Raises:
        ReportNotWritten: the file cannot be written.
    """
    from reportlab.lib.units import mm
    from reportlab.platypus import SimpleDocTemplate

    document = SimpleDocTemplate(
        str(path), pagesize=paper_size(report.page), leftMargin=15 * mm, rightMargin=15 * mm, topMargin=15 * mm,
        bottomMargin=18 * mm, title=report.title, author="shaft-and-belt kiosk",
    )
    if progress:
        document.setProgressCallBack(page_progress(progress))
    draw = footer(report.title, report.printed, report.chain_head)
    try:
        document.build(_story(report, document.width), onFirstPage=draw, onLaterPages=draw)
    except OSError as error:
        raise ReportNotWritten(tr("The report cannot be written to {path}: {strerror}.").format(
                                   path=path, strerror=error.strerror), repr(error)) from error


def _story(report: Report, width: float) -> list[Any]:
    from reportlab.lib.styles import getSampleStyleSheet
    from reportlab.platypus import Paragraph

    styles = getSampleStyleSheet()
    styles["Heading2"].keepWithNext = 1  # no heading alone at the foot of a page
    story: list[Any] = [Paragraph(escape(report.title), styles["Title"])]
    story += [Paragraph(f"<b>{escape(label)}:</b> {escape(text)}", styles["Normal"]) for label, text in report.facts]
    for section in report.sections:
        story += _section(section, width, styles)
    return story


def _section(section: Section, width: float, styles: Any) -> list[Any]:
    from reportlab.platypus import Image, KeepTogether, Paragraph, Spacer

    story: list[Any] = [Paragraph(escape(section.heading), styles["Heading2"])]
    for chart in section.charts:
        story += [Image(io.BytesIO(chart_png(chart)), width=width, height=width * _CHART_SHAPE), Spacer(1, 6)]
    if not section.rows and not section.charts:
        story.append(Paragraph(escape(tr(section.empty)), styles["Normal"]))
    for start in range(0, len(section.rows), _ROWS_AT_ONCE):
        story.append(_table(section, section.rows[start : start + _ROWS_AT_ONCE], width))
    for caption, photo in section.photos:
        cells = photo_cells((photo,), styles["Normal"])
        story.append(KeepTogether([Spacer(1, 6), Paragraph(escape(caption), styles["Normal"]), *cells]))
    return story


def _table(section: Section, rows: Sequence[tuple[str, ...]], width: float) -> Any:
    from reportlab.lib import colors
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph, Table, TableStyle

    cell = ParagraphStyle("cell", fontName="Helvetica", fontSize=7.5, leading=9)
    lines = [[Paragraph(f"<b>{escape(heading)}</b>", cell) for heading in section.columns]]
    lines += [[Paragraph(escape(text).replace("\n", "<br/>"), cell) for text in row] for row in rows]
    shares = section.shares or (1.0,) * len(section.columns)
    table = Table(lines, colWidths=[width * share / sum(shares) for share in shares], repeatRows=1)
    table.setStyle(TableStyle([
        ("VALIGN", (0, 0), (-1, -1), "TOP"), ("LINEBELOW", (0, 0), (-1, -1), 0.3, colors.grey),
        ("TOPPADDING", (0, 0), (-1, -1), 2), ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]))
    return table
