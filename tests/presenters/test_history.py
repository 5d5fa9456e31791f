"""The history of a part and of its position, filtered, opened, and as files."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from kiosk.entities import JobType, Phase, Reading, ServiceRecord, Side, Verdict
from kiosk.presenters.states import ComponentState, HistoryState


def record(yard, number, component="c-bearing", job="grease", **more):
    return ServiceRecord(
        f"r-{number:04d}", component, "p-bearing", "u4", "bearing", 3, job, JobType.GREASE,
        yard.clock() - timedelta(days=200 - number), 500.0 + number, "ana",
        strokes=2 if job == "grease" else None, grease="EP 2", **more)


@pytest.fixture
def history(yard):
    """Return the yard with the bearing's history open: 120 greasings, one inspection, and a part before it."""
    old = replace(yard.records.components["c-bearing"], id="c-old", retired_at=yard.clock() - timedelta(days=300))
    yard.records.components["c-old"] = old
    yard.records.service_records[:] = [record(yard, number) for number in range(120)]
    warm = Reading("temperature", Side.BOTH, Phase.AS_FOUND, "150", 65.6, "degC", 0.29, None, 65.0, "guarded 95 %",
                   "our yard's instruction 1", Verdict.TOO_CLOSE)
    yard.records.service_records.append(record(yard, 150, job="inspect", readings=(warm,), verdict=Verdict.TOO_CLOSE,
                                               advice=("Look at the seal.",), cautions=("locked-out",), note="warm"))
    yard.records.service_records.append(record(yard, -200, component="c-old", override_reason="stood in water"))
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_history()
    return yard


def test_first_page_is_newest_first(history):
    """Fifty records, the newest on top, more below."""
    assert isinstance(history.state, HistoryState)
    assert len(history.state.rows) == 50
    assert history.state.rows[0].record_id == "r-0150"
    assert history.state.has_more


def test_more_appends_the_next_pages_until_the_end(history):
    """121 records in three pages, none twice."""
    history.screen.more()
    history.screen.more()
    history.screen.more()
    ids = [row.record_id for row in history.state.rows]
    assert len(ids) == len(set(ids)) == 121
    assert not history.state.has_more
    assert history.state.count_text == "121 records"


def test_one_touch_further_is_the_whole_position(history):
    """The position's history holds the part before, too."""
    history.screen.show_position()
    for _ in range(3):
        history.screen.more()
    assert history.state.rows[-1].record_id == "r--200"
    assert history.state.title == "History of the position, 2 parts"
    history.screen.show_part()
    assert history.state.scope == "part"


def test_filter_by_job(history):
    """One kind of job only, and all again."""
    history.screen.filter_job("inspect")
    assert [row.record_id for row in history.state.rows] == ["r-0150"]
    assert next(job for job in history.state.jobs if job.chosen).key == "inspect"
    history.screen.filter_job("")
    assert len(history.state.rows) == 50


def test_record_opens_to_everything(history):
    """Readings beside the limits of the day, advice, cautions, note, sheet and revision."""
    history.screen.open_record("r-0150")
    detail = history.state.opened
    texts = {line.title: line.text for line in detail.lines}
    assert texts["Advice shown"] == "Look at the seal."
    assert texts["Cautions confirmed"] == "locked out (by Ana, in that shift)"
    assert texts["Sheet"] == "bearing, revision 3"
    assert texts["Note"] == "warm"
    assert detail.readings[0].title == "Housing temperature"
    assert "typed 150" in detail.readings[0].value
    assert "guarded 95 %" in detail.readings[0].limits


def test_override_is_shown_in_list_and_record(history):
    """Why a stop was overridden stands with the record."""
    history.screen.show_position()
    for _ in range(3):
        history.screen.more()
    assert "overridden: stood in water" in history.state.rows[-1].summary
    history.screen.open_record("r--200")
    assert any(line.title == "Stop overridden" for line in history.state.opened.lines)


def test_back_closes_an_opened_record_first(history):
    """Back leads from the record to the list, then to the part."""
    history.screen.open_record("r-0150")
    history.screen.back()
    assert history.state.opened is None
    history.screen.back()
    assert isinstance(history.state, ComponentState)


def test_files_are_written_as_shown(history):
    """PDF and CSV get the scope and the filter that are on screen."""
    history.screen.show_position()
    history.screen.filter_job("grease")
    history.screen.export_pdf()
    assert history.state.exported == "Saved as /reports/history.pdf"
    history.screen.export_csv()
    assert history.state.exported == "Saved as /reports/history.csv"
    asked = history.reports.asked[0]
    assert (asked.component_id, asked.whole_position, asked.filter.job) == ("c-bearing", True, "grease")


def test_record_opens_from_the_parts_page(yard):
    """A touch on a last record opens it in the history."""
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_record("wash-1")
    assert yard.state.opened.record_id == "wash-1"
