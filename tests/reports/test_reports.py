"""The supervisor's reports on the demo yard: what they count, and files that load in a PDF reader and a data frame."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pandas
import pypdf
import pytest

from kiosk.events import Event, FindingClosed, RecordCorrected, UnitHeld
from kiosk.report_book import ReportBook
from kiosk.reports.report import Report
from kiosk.reports.report_files import write_csv, write_json_lines
from kiosk.reports.report_pdf import write_report_pdf
from kiosk.reports.trouble import ReportNotWritten
from kiosk.shop import Shop, floor_settings, utc_now


@pytest.fixture
def shop(yard: Path) -> Iterator[Shop]:
    with Shop.open(yard) as opened:
        yield opened


@pytest.fixture
def book(shop: Shop) -> ReportBook:
    return ReportBook(shop.records, shop.sheets, shop.reports, floor_settings(shop.config), "A4", utc_now)


KINDS: dict[str, Callable[[ReportBook], Report]] = {
    "shift": lambda book: book.shift(utc_now() - timedelta(days=3)),
    "month": lambda book: book.month((utc_now() - timedelta(days=20)).date()),
    "findings": lambda book: book.findings(),
    "audit": lambda book: book.audit(utc_now() - timedelta(days=60), utc_now()),
    "unit": lambda book: book.unit("unit-01"),
    "life": lambda book: book.life("shaft-bearing"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_report__each_kind__loads_in_a_pdf_reader_and_a_data_frame(kind: str, book: ReportBook,
                                                                   tmp_path: Path) -> None:
    """A4 pages with title and journal head; CSV and JSON Lines have the table's columns and as many rows."""
    report = KINDS[kind](book)
    write_report_pdf(report, tmp_path / "r.pdf")
    write_csv(report.table, tmp_path / "r.csv")
    write_json_lines(report.table, tmp_path / "r.jsonl")
    page = pypdf.PdfReader(tmp_path / "r.pdf").pages[0]
    assert (round(page.mediabox.width), round(page.mediabox.height)) == (595, 842)
    assert report.chain_head in page.extract_text().replace("\n", "")
    frame = pandas.read_csv(tmp_path / "r.csv", encoding="utf-8-sig")
    assert tuple(frame.columns) == report.table.columns and len(frame) == len(report.table.rows)
    if report.table.rows:
        lines = pandas.read_json(tmp_path / "r.jsonl", lines=True)
        assert tuple(lines.columns) == report.table.columns and len(lines) == len(frame)


def test_unit_report__numbers_and_times_load_as_such(book: ReportBook, tmp_path: Path) -> None:
    """A data frame takes hours and values for numbers and can read the times."""
    write_csv(book.unit("unit-01").table, tmp_path / "r.csv")
    frame = pandas.read_csv(tmp_path / "r.csv", encoding="utf-8-sig")
    assert pandas.api.types.is_float_dtype(frame["unit_hours"]) and pandas.api.types.is_numeric_dtype(frame["value"])
    assert pandas.to_datetime(frame["at_utc"], utc=True, format="ISO8601").is_monotonic_decreasing


def test_shift_report__counts_what_holds(shop: Shop, book: ReportBook) -> None:
    """An annulled record is not counted among the work; the annulment is counted as a correction."""
    record = shop.records.unit_history("unit-01", limit=1)[0]
    before = book.shift(record.at)
    boss = next(person for person in shop.records.people() if person.role == "supervisor")
    shop.records.append(Event("annul", record.at + timedelta(seconds=1), boss.id,
                              RecordCorrected(record.id, "entered on the wrong unit", None)))
    after = book.shift(record.at)
    assert after.totals["jobs"] == before.totals["jobs"] - 1


def test_audit__has_corrections_closings_and_holds_with_their_hashes(shop: Shop, book: ReportBook) -> None:
    """What a supervisor did stands there by name with reason, and the hash is the journal's."""
    boss = next(person for person in shop.records.people() if person.role == "supervisor")
    now = datetime.now(UTC)
    finding = shop.records.open_findings()[0]
    events = [Event(shop_id, now, boss.id, payload) for shop_id, payload in (
        (_id(now, 1), FindingClosed(finding.id, "seal is in again")), (_id(now, 2), UnitHeld("unit-02", "brake")))]
    entries = shop.records.append_all(events)
    rows = book.audit(now - timedelta(hours=1), now + timedelta(hours=1)).table.rows
    assert [row[-1] for row in rows][-2:] == [entry.hash for entry in entries]
    assert "seal is in again" in str(rows[-2][3]) and rows[-1][1] == boss.name


def _id(at: datetime, number: int) -> str:
    text = f"{int(at.timestamp() * 1000):012x}"
    return f"{text[:8]}-{text[8:]}-7000-8000-{number:012x}"


def test_long_report__shows_progress(book: ReportBook, tmp_path: Path) -> None:
    """Progress rises to the end."""
    shares: list[float] = []
    write_report_pdf(book.unit("unit-01"), tmp_path / "r.pdf", shares.append)
    assert shares == sorted(shares) and shares[-1] > 0.9


def test_report__folder_is_gone__is_refused_with_a_sentence(book: ReportBook, tmp_path: Path) -> None:
    """A stick that was pulled out ends in a sentence."""
    with pytest.raises(ReportNotWritten, match="cannot be written"):
        write_json_lines(book.findings().table, tmp_path / "gone" / "r.jsonl")


def test_life_report__table__is_valid_json_a_line(book: ReportBook, tmp_path: Path) -> None:
    """Truth values and numbers stay what they are."""
    write_json_lines(book.life("shaft-bearing").table, tmp_path / "r.jsonl")
    rows = [json.loads(line) for line in (tmp_path / "r.jsonl").read_text("utf-8").splitlines()]
    assert rows and all(isinstance(row["worse_than_chance"], bool) for row in rows)
