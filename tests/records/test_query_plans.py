"""No question grows with what it does not ask for: each finds its rows by an index, never by walking a table."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from small_yard import at

from kiosk.entities import HistoryFilter, PhotoOf, Side
from kiosk.records import YardRecords

LEFT = "bearing-left-1"
EVERY_FILTER = HistoryFilter("grease", "within", "mechanic", at(0), at(9), 0.0, 900.0)
QUESTIONS: dict[str, Callable[[YardRecords], object]] = {
    "component": lambda records: records.component(LEFT),
    "component_at": lambda records: records.component_at("u1-left"),
    "components_at": lambda records: records.components_at("u1-left"),
    "components_of_unit": lambda records: records.components_of_unit("u1"),
    "assemblies": lambda records: records.assemblies("u1"),
    "positions": lambda records: records.positions("u1"),
    "label": lambda records: records.label("1000000001"),
    "open_label_prints": lambda records: records.open_label_prints(),
    "last_label_print": lambda records: records.last_label_print("1000000001"),
    "label_sightings": lambda records: records.label_sightings("1000000001", at(0)),
    "label_sightings_of_unit": lambda records: records.label_sightings_of_unit("u1", at(0)),
    "last_found": lambda records: records.last_found("1000000001"),
    "next_serial": lambda records: records.next_serial(),
    "record": lambda records: records.record(_any_id(records)),
    "component_history": lambda records: records.component_history(LEFT),
    "component_history, next page": lambda records: records.component_history(LEFT, before=(at(5), "x")),
    "component_history, filtered": lambda records: records.component_history(LEFT, EVERY_FILTER),
    "position_history": lambda records: records.position_history("u1-left"),
    "position_history, filtered": lambda records: records.position_history("u1-left", EVERY_FILTER, (at(5), "x")),
    "unit_history": lambda records: records.unit_history("u1"),
    "unit_history, filtered": lambda records: records.unit_history("u1", EVERY_FILTER, (at(5), "x")),
    "person_history": lambda records: records.person_history("mechanic"),
    "person_history, filtered": lambda records: records.person_history("mechanic", EVERY_FILTER, (at(5), "x")),
    "correction_that_made": lambda records: records.correction_that_made("x"),
    "hold_of": lambda records: records.hold_of("u1"),
    "holds_of": lambda records: records.holds_of("u1"),
    "corrections": lambda records: records.corrections(["a", "b"]),
    "last_done": lambda records: records.last_done("u1"),
    "strokes_since": lambda records: records.strokes_since(LEFT, at(0)),
    "series": lambda records: records.series(LEFT, "strand-sag"),
    "newest of a series": lambda records: records.series(LEFT, "strand-sag", newest=5),
    "label_moments": lambda records: records.label_moments("1000000001"),
    "series of a side": lambda records: records.series(LEFT, "strand-sag", Side.LEFT),
    "open_findings of a unit": lambda records: records.open_findings(unit_id="u1"),
    "open_findings of a part": lambda records: records.open_findings(component_id=LEFT),
    "open_findings": lambda records: records.open_findings(),
    "findings_of": lambda records: records.findings_of(LEFT),
    "photos_of": lambda records: records.photos_of(PhotoOf.RECORD, ["a", "b"]),
    "lives": lambda records: records.lives("bearing"),
    "cautions_confirmed": lambda records: records.cautions_confirmed("u1", "mechanic", "early"),
    "hours": lambda records: records.hours("u1"),
    "hours_per_day": lambda records: records.hours_per_day("u1", date(2026, 3, 9)),
    "entry": lambda records: records.entry(_any_id(records)),
}
# What walks an index of open findings alone walks what was asked for.
WHOLE_INDEX = "open_finding"


def _any_id(records: YardRecords) -> str:
    return records.component_history(LEFT)[0].id


def _plans(records: YardRecords, ask: Callable[[YardRecords], object]) -> list[str]:
    """Return the lines of the query plans of every statement that a question runs."""
    asked: list[str] = []
    connection = records._store.connection()
    connection.set_trace_callback(asked.append)
    ask(records)
    connection.set_trace_callback(None)
    return [row[3] for statement in asked for row in connection.execute(f"EXPLAIN QUERY PLAN {statement}")]


@pytest.mark.parametrize("question", QUESTIONS)
def test_plan__finds_its_rows_by_an_index(story: YardRecords, question: str) -> None:
    """No step of the plan scans a table."""
    plans = _plans(story, QUESTIONS[question])
    assert plans
    scans = [line for line in plans if line.startswith("SCAN") and WHOLE_INDEX not in line]
    assert scans == []


@pytest.mark.parametrize("question", [name for name in QUESTIONS if "history" in name])
def test_plan__history__comes_in_order_from_the_index(story: YardRecords, question: str) -> None:
    """A page is read off the index in its order; sorting would read the whole history for every page."""
    assert not any("TEMP B-TREE" in line for line in _plans(story, QUESTIONS[question]))


@pytest.mark.parametrize("question", [name for name in QUESTIONS if "history" in name])
def test_plan__history__goes_from_its_index_straight_to_the_journal(story: YardRecords, question: str) -> None:
    """The index holds all that pages and filters need, so a record that is filtered out is never fetched."""
    first, second = _plans(story, QUESTIONS[question])
    assert "USING COVERING INDEX record_of_" in first and "journal USING INTEGER PRIMARY KEY" in second


def test_plan__strokes__never_touch_the_records_themselves(story: YardRecords) -> None:
    """The index holds all that counting strokes needs."""
    assert any("COVERING INDEX" in line for line in _plans(story, QUESTIONS["strokes_since"]))
