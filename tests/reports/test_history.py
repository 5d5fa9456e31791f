"""A part's history on paper and as a file, opened again by a PDF reader and a CSV reader of others."""

import csv
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pypdf
import pytest

from kiosk.entities import JobType, Phase, Reading, SeriesPoint, ServiceRecord, Side, Verdict
from kiosk.reports.charts import SeriesChart, chart_png, chart_svg
from kiosk.reports.history_csv import write_history_csv
from kiosk.reports.history_pdf import HistoryReport, write_history_pdf
from kiosk.reports.history_rows import CSV_COLUMNS, Names, history_row
from kiosk.reports.trouble import ReportNotWritten

ZONE = ZoneInfo("America/New_York")
START = datetime(2026, 3, 2, 11, 40, tzinfo=UTC)
NAMES = Names(
    people={"p1": "R. Okafor"}, positions={"pos": "Flight chain, left"}, components={"c1": "chain"},
    units={"u1": "Unit 04"}, jobs={("chain", "sag"): "Adjust the sag"},
    quantities={("chain", "sag-clearance"): "Clearance at the lowest point"},
)


def reading(side: Side, value: float, phase: Phase = Phase.AS_FOUND) -> Reading:
    return Reading("sag-clearance", side, phase, "3 1/2", value, "mm", 0.46, 76.2, 101.6, "guarded 95 %",
                   "yard instruction 3", Verdict.WITHIN)


def record(number: int = 0, **changes: object) -> ServiceRecord:
    fields: dict = dict(
        id=f"r{number}", component_id="c1", position_id="pos", unit_id="u1", sheet="chain", sheet_revision=2,
        job="sag", job_type=JobType.ADJUST, at=START + timedelta(days=number), hours=1200.0 + number, person_id="p1",
        readings=(reading(Side.LEFT, 88.9), reading(Side.RIGHT, 88.9)), verdict=Verdict.WITHIN,
    )
    return ServiceRecord(**{**fields, **changes})


def report(rows: int) -> HistoryReport:
    chart = SeriesChart("Clearance", (SeriesPoint(START, 1200.0, 88.9, "as found", "left"),), "mm", 76.2, 101.6, True)
    return HistoryReport(
        title="Flight chain, left, Unit 04", facts=(("Label", "1 4821 0937 6"),),
        rows=[history_row(record(number), NAMES, ZONE, in_inches=True) for number in range(rows)], charts=(chart,),
        printed="printed by R. Okafor, 2026-03-02 06:40", chain_head="ab" * 32,
    )


def test_pdf_has_every_record_in_the_shops_own_time(tmp_path: Path) -> None:
    """Times are local, readings in the person's units, the chain's head on the page."""
    path = tmp_path / "history.pdf"
    write_history_pdf(report(3), path)
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
    assert "2026-03-02 06:40" in text and "2026-03-04 06:40" in text
    assert "3 1/2 in" in text and "Adjust the sag" in text and "R. Okafor" in text and "ab" * 32 in text


def test_long_history_fills_pages_and_shows_progress(tmp_path: Path) -> None:
    """Hundreds of records go over as many pages as they need, with progress up to the end."""
    shares: list[float] = []
    write_history_pdf(report(450), tmp_path / "history.pdf", progress=shares.append)
    assert len(pypdf.PdfReader(tmp_path / "history.pdf").pages) > 10
    assert shares == sorted(shares) and shares[-1] <= 1.0


def test_history_of_a_new_part_says_that_it_is_empty(tmp_path: Path) -> None:
    """A part without records still gives a page."""
    write_history_pdf(report(0), tmp_path / "history.pdf")
    assert "Nothing is recorded yet" in pypdf.PdfReader(tmp_path / "history.pdf").pages[0].extract_text()


def test_report_to_a_missing_folder_is_refused_with_a_sentence(tmp_path: Path) -> None:
    """A stick that was pulled out ends in a sentence."""
    with pytest.raises(ReportNotWritten, match="cannot be written"):
        write_history_pdf(report(1), tmp_path / "gone" / "history.pdf")


def test_markup_in_a_note_is_printed_as_typed(tmp_path: Path) -> None:
    """What somebody typed never becomes markup of the page."""
    row = history_row(record(note="<b>& 3 < 4"), NAMES, ZONE, in_inches=False)
    write_history_pdf(HistoryReport("t", (), [row], (), "", ""), tmp_path / "history.pdf")
    assert "<b>& 3 < 4" in pypdf.PdfReader(tmp_path / "history.pdf").pages[0].extract_text()


def test_csv_has_a_row_a_reading_rfc_4180(tmp_path: Path) -> None:
    """RFC 4180, read by the standard library: a heading, then one row for each reading."""
    path = tmp_path / "history.csv"
    count = write_history_csv([record(0), record(1, readings=(), strokes=2, grease="EP2")], NAMES, ZONE, path)
    rows = list(csv.reader(path.open(newline="", encoding="utf-8-sig")))
    assert tuple(rows[0]) == CSV_COLUMNS and len(rows) == 1 + 2 + 1 and count == 2
    assert {len(row) for row in rows} == {len(CSV_COLUMNS)}
    assert path.read_bytes().count(b"\r\n") == 4


def test_csv_does_not_start_formulas_in_a_spreadsheet(tmp_path: Path) -> None:
    """A note that begins like a formula is text in the spreadsheet (common practice, no source)."""
    path = tmp_path / "history.csv"
    write_history_csv([record(note="=1+1")], NAMES, ZONE, path)
    cells = [cell for row in csv.reader(path.open(newline="", encoding="utf-8-sig")) for cell in row]
    assert "'=1+1" in cells and "=1+1" not in cells


def test_chart_is_drawn_as_png_and_svg() -> None:
    """The same chart comes as picture and as vector."""
    chart = report(1).charts[0]
    assert chart_png(chart).startswith(b"\x89PNG") and b"<svg" in chart_svg(chart)
