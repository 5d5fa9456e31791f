"""How long a page of history takes, and a whole history as a file, beside the same rows by sqlite3 alone.

The yard is that of `big_yard`. Peers are written by hand for these very tables: the page's rows as tuples, with the
journal's text that the entities are made of; and a program of the standard library alone (sqlite3, json, csv) that
writes the same file, which is compared byte for byte.
"""

from __future__ import annotations

import csv
import json
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from big_yard import KIOSK, BigYard, big_yard
from figures import Figure, beside

from demo_shop.build import SHEETS
from kiosk.presenters.ports import HistoryRequest
from kiosk.presenters.trend_view import MOST_POINTS
from kiosk.records import YardRecords
from kiosk.report_desk import ReportDesk
from kiosk.reports.history_rows import CSV_COLUMNS
from kiosk.reports.series import series_chart
from kiosk.service_sheet import ReadingSpec
from kiosk.sheets import SheetShelf

BENCH, PEER = "history", "sqlite3"
PAGES, FILES, PAGE = 300, 5, 50
TREND_UNITS = 8
ZONE = ZoneInfo("America/New_York")
_ROWS = """SELECT record.at, record.id, record.job, record.verdict, record.person_id, record.hours, record.strokes,
    journal.body FROM record CROSS JOIN journal ON journal.arrival = record.arrival
    WHERE record.{column} = ? ORDER BY record.at DESC, record.id DESC LIMIT ?"""

_READINGS = """SELECT at, hours, value, phase, side FROM reading WHERE component_id = ? AND quantity = ?
    ORDER BY at DESC, record_id DESC, place DESC LIMIT ?"""

_WHOLE = """SELECT journal.body, correction.reason, correction.replacement_id FROM record
    CROSS JOIN journal ON journal.arrival = record.arrival LEFT JOIN correction ON correction.record_id = record.id
    WHERE record.component_id = ? ORDER BY record.at DESC, record.id DESC"""


def run() -> list[Figure]:
    """Return the first pages of histories, a part's whole history as CSV, and a trend with its forecast."""
    yard = big_yard()
    records = YardRecords.open(yard.path, KIOSK)
    try:
        with closing(sqlite3.connect(yard.path)) as bare:
            return [
                _page("first page", records.component_history, bare, "component_id"),
                _to_csv(yard, records, bare),
                _page("position first page", records.position_history, bare, "position_id"),
                _page("unit first page", records.unit_history, bare, "unit_id"),
                _page("person first page", records.person_history, bare, "person_id"),
                _trend(records, bare),
            ]
    finally:
        records.close()


def _page(figure: str, ours: Callable[[str], object], bare: sqlite3.Connection, column: str) -> Figure:
    """Over parts from all over the yard, once each after one turn to warm up; turn by turn with the peer."""
    statement = _ROWS.format(column=column)

    def theirs(key: str) -> object:
        return bare.execute(statement, (key, PAGE)).fetchall()

    keys = _some_keys(bare, column)
    for warm_up in (ours, theirs):
        for key in keys:
            warm_up(key)
    pairs = [(_ms(lambda key=key: ours(key)), _ms(lambda key=key: theirs(key))) for key in keys]
    mine, peer = (statistics.median(times) for times in zip(*pairs, strict=True))
    return beside(BENCH, figure, mine, "ms", PEER, peer, len(keys))


def _some_keys(bare: sqlite3.Connection, column: str) -> list[str]:
    """Return those with the most records, so that pages are full even in a small yard."""
    return [key for (key,) in bare.execute(
        f"SELECT {column} FROM record GROUP BY {column} ORDER BY count(*) DESC, {column} LIMIT ?", (PAGES,))]


def _trend(records: YardRecords, bare: sqlite3.Connection) -> Figure:
    """The newest readings of a part's main quantity, fitted, with prediction band and the hours at the limit.

    The peer fetches the same readings and fits nothing.
    """
    sheets = SheetShelf.load(SHEETS)
    wanted = [(part.id, spec) for unit in records.units()[:TREND_UNITS] for part in records.components_of_unit(unit.id)
              for spec in sheets.sheet(part.sheet).readings[:1] if (spec.lower, spec.upper) != (None, None)]

    def ours(part_id: str, spec: ReadingSpec) -> int:
        points = records.series(part_id, spec.key, newest=MOST_POINTS)
        series_chart(spec, points)
        return len(points)

    def theirs(part_id: str, spec: ReadingSpec) -> int:
        return len(bare.execute(_READINGS, (part_id, spec.key, MOST_POINTS)).fetchall())

    for each in wanted:
        if ours(*each) != theirs(*each):
            raise AssertionError("the two did not find the same readings")
    pairs = [(_ms(lambda each=each: ours(*each)), _ms(lambda each=each: theirs(*each))) for each in wanted]
    mine, peer = (statistics.median(times) for times in zip(*pairs, strict=True))
    return beside(BENCH, "trend with forecast", mine, "ms", PEER, peer, len(wanted))


def _to_csv(yard: BigYard, records: YardRecords, bare: sqlite3.Connection) -> Figure:
    """Turn by turn, so that a slow moment of the machine meets both."""
    with tempfile.TemporaryDirectory() as folder:
        first, second = Path(folder) / "ours.csv", Path(folder) / "theirs.csv"
        desk = ReportDesk(records, SheetShelf.load(SHEETS), Path(folder), ZONE, "A4", True, lambda: datetime.now(UTC))
        request = HistoryRequest(yard.component_id)
        pairs = [(_ms(lambda: desk.write_csv(first, request)), _ms(lambda: _write_bare(bare, yard, second)))
                 for _ in range(FILES)]
        if first.read_bytes() != second.read_bytes():
            raise AssertionError("the two programs did not write the same file")
    ours, theirs = (statistics.median(times) for times in zip(*pairs, strict=True))
    return beside(BENCH, "all to csv", ours, "ms", PEER, theirs, FILES)


def _ms(call: Callable[[], object]) -> float:
    start = time.perf_counter()
    call()
    return (time.perf_counter() - start) * 1000.0


# --- the same file by the standard library alone ---


def _write_bare(bare: sqlite3.Connection, yard: BigYard, path: Path) -> None:
    names = {table: dict(bare.execute(f"SELECT id, {column} FROM {table}").fetchall())
             for table, column in (("person", "name"), ("unit", "name"))}
    position = bare.execute("SELECT name FROM position WHERE id = ?", (yard.position_id,)).fetchone()[0]
    component = bare.execute("SELECT description FROM component WHERE id = ?", (yard.component_id,)).fetchone()[0]
    with path.open("w", encoding="utf-8-sig", newline="") as out:
        writer = csv.writer(out, lineterminator="\r\n")
        writer.writerow(CSV_COLUMNS)
        for body, reason, replacement in bare.execute(_WHOLE, (yard.component_id,)):
            writer.writerows(_bare_rows(json.loads(body)["record"], reason, replacement, names, position, component))


def _bare_rows(record: dict[str, Any], reason: str | None, replacement: str | None, names: dict[str, dict[str, str]],
               position: str, component: str) -> Iterator[list[Any]]:
    at = datetime.fromisoformat(record["at"])
    head = [record["id"], at.isoformat(), at.astimezone(ZONE).isoformat(timespec="minutes"),
            names["unit"][record["unit_id"]], position, component, record["component_id"], record["sheet"],
            record["sheet_revision"], record["job"], record["job_type"], record["hours"],
            names["person"][record["person_id"]], record["verdict"] or ""]
    state = "holds" if reason is None else "annulled" if replacement is None else "corrected"
    tail = [record["strokes"], record["grease"], record["override_reason"], record["note"],
            " | ".join(record["advice"]), state, reason or ""]
    for each in record["readings"] or [None]:
        cells = [""] * 12 if each is None else [
            each["quantity"], each["side"], each["phase"], each["typed"], float(each["value"]), each["unit"],
            _number(each["lower"]), _number(each["upper"]), float(each["standard_uncertainty"]), each["verdict"],
            each["rule"], each["limit_source"]]
        yield [_safe(cell) for cell in (*head, *cells, *tail)]


def _number(value: float | None) -> float | None:
    return None if value is None else float(value)


def _safe(cell: Any) -> Any:
    if isinstance(cell, str) and cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")):
        return "'" + cell
    return cell
