"""The history of a part and of its position, filtered, opened, and as files."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from kiosk.entities import JobType, Phase, Reading, ServiceRecord, Side, Verdict
from kiosk.errors import RecordError
from kiosk.events import Event, RecordCorrected
from kiosk.presenters.history import PAGE
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


def ids(yard):
    """Return the ids of the records on the page."""
    return [row.record_id for row in yard.state.rows]


def test_first_page_is_newest_first(history):
    """A page of records, the newest on top, more below."""
    assert isinstance(history.state, HistoryState)
    assert len(history.state.rows) == PAGE
    assert history.state.rows[0].record_id == "r-0150"
    assert history.state.has_more and not history.state.has_newer


def test_pages__older_to_the_end_and_newer_back__miss_nothing_and_repeat_nothing(history):
    """121 records in pages that each stand alone; the way back shows the same pages."""
    pages = [ids(history)]
    while history.state.has_more:
        history.screen.older()
        pages.append(ids(history))
    seen = [each for page in pages for each in page]
    assert len(seen) == len(set(seen)) == 121 and max(map(len, pages)) == PAGE
    assert history.state.count_text == "Records 121 to 121"
    history.screen.older()
    assert ids(history) == pages[-1]
    for page in reversed(pages[:-1]):
        history.screen.newer()
        assert ids(history) == page
    history.screen.newer()
    assert ids(history) == pages[0]


def test_one_touch_further_is_the_whole_position_then_the_unit(history):
    """The position's history holds the part before, too; the unit's says where each record belongs."""
    history.screen.show_scope("position")
    while history.state.has_more:
        history.screen.older()
    assert history.state.rows[-1].record_id == "r--200"
    assert history.state.title == "History of the position, 2 parts"
    history.screen.show_scope("unit")
    assert history.state.rows[0].summary.startswith("upper shaft bearing, left")
    assert [scope.key for scope in history.state.scopes if scope.chosen] == ["unit"]
    history.screen.show_scope("part")
    assert history.state.scope == "part"


def test_unit_and_person__have_histories_of_their_own(history):
    """What was done on a unit, and what somebody did, wherever it was."""
    history.desk.open_unit_history("u4")
    assert history.state.title == "History of Unit 4" and len(history.state.scopes) == 1
    history.desk.open_person_history("ana")
    assert history.state.title == "What Ana did" and history.state.rows[0].record_id == "r-0150"
    assert history.state.rows[0].summary.startswith("Unit 4, upper shaft bearing, left")
    assert "person" not in [group.key for group in history.state.filters]


def test_label__its_own_story_stands_beside_the_records(history):
    """Issued, found loose and by whom: the newest first, under the number."""
    number, newest, oldest = history.state.label_lines
    assert number.title == "Label" and "found loose, floor of bay 2, Ana" in newest.text
    assert oldest.text == "issued"


CHOSEN = [
    pytest.param("job", "inspect", ["r-0150"], id="job"),
    pytest.param("verdict", "too close to call", ["r-0150"], id="verdict"),
    pytest.param("person", "ana", None, id="person"),
    pytest.param("person", "stranger", [], id="nobody"),
    pytest.param("dates", "31", [], id="days-too-few"),
    pytest.param("dates", "366", None, id="a-year"),
]


@pytest.mark.parametrize(("group", "key", "expected"), CHOSEN)
def test_filter__chosen__shows_what_is_asked_for_and_all_again(history, group, key, expected):
    """Each list of the filter leaves in what it names; its '' is all."""
    everything = ids(history)
    history.screen.choose_filter(group, key)
    assert ids(history) == (everything if expected is None else expected)
    assert any(each.is_set for each in history.state.filters)
    history.screen.choose_filter(group, "")
    assert ids(history) == everything
    assert not any(each.is_set for each in history.state.filters)


def test_filter__typed_days__hold_the_first_and_the_last(history):
    """Record 150 was made 50 days before the kiosk's 2 March: on 11 January 2026."""
    history.screen.type_filter("dates", "2026-01-11 to 2026-01-11")
    assert ids(history) == ["r-0150"] and "11 Jan 2026" in history.state.count_text
    history.screen.type_filter("dates", "2026-01-12 - 2026-01-20")
    assert ids(history) == []
    history.screen.clear_filter()
    assert len(ids(history)) == PAGE


def test_filter__typed_hours__from_and_up_to(history):
    """Records at 600 h and above, below 610 h."""
    history.screen.type_filter("hours", "600 to 610")
    assert ids(history) == [f"r-{number:04d}" for number in range(109, 99, -1)]


@pytest.mark.parametrize(("group", "text"), [("dates", "yesterday"), ("dates", "2026-02-31"), ("hours", "many"),
                                             ("hours", "600"), ("dates", "2026-01-01 2026-01-02 2026-01-03")])
def test_filter__what_is_no_day_or_hour__is_refused_and_changes_nothing(history, group, text):
    """A sentence says what to type; the list stays."""
    history.screen.type_filter(group, text)
    assert history.message.kind == "refused" and len(ids(history)) == PAGE


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
    history.screen.show_scope("position")
    while history.state.has_more:
        history.screen.older()
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


def test_record__opened__shows_where_it_stands_in_the_journal(history):
    """Kiosk, entry, both hashes, and that they were held against the neighbours just now, or what does not fit."""
    history.screen.open_record("r-0150")
    texts = {line.title: line.text for line in history.state.opened.lines}
    assert texts["Journal"].startswith("kiosk 1, entry 17; checked now")
    assert texts["Its hash"].replace(" ", "") == "ab" * 32
    assert texts["The hash before it"].replace(" ", "") == "cd" * 32
    history.records.chain_trouble = "The entry before it is not the one it was chained to."
    history.screen.open_record("r-0150")
    assert any("not the one" in line.text for line in history.state.opened.lines)


def test_record__corrected__shows_each_value_before_and_now(history):
    """Strokes and reading as they were and as they are, on the record that holds and on the one that does not."""
    old = history.records.record("r-0150")
    cooler = replace(old.readings[0], value=60.0, verdict=Verdict.WITHIN)
    history.records.append(Event("r-new", history.clock(), "ana", RecordCorrected(
        old.id, "misread", replace(old, id="r-new", readings=(cooler,), note="cool"))))
    for record_id in ("r-new", "r-0150"):
        history.screen.open_record(record_id)
        texts = {line.title: line.text for line in history.state.opened.lines}
        assert texts["Housing temperature"] == ("150.1 °F (65.6 °C) (too close to call) before, "
                                                "140 °F (60 °C) (within) now")


def test_files_are_written_as_shown_and_as_wished(history):
    """Every kind of file gets the scope and the filter that are on screen, on the paper and in the place chosen."""
    history.reports.sticks = {"STICK": "STICK"}
    history.screen.show_scope("position")
    history.screen.choose_filter("job", "grease")
    for key in ("paper", "place", "pdf", "csv", "jsonl"):
        history.screen.press_file(key)
    assert history.state.exported == "Saved as /reports/history.jsonl"
    assert [wish.kind for wish in history.reports.wishes] == ["pdf", "csv", "jsonl"]
    assert {(wish.page, wish.place) for wish in history.reports.wishes} == {("A4", "STICK")}
    asked = history.reports.asked[0]
    assert (asked.subject_id, asked.scope, asked.filter.job) == ("p-bearing", "position", "grease")


def test_files__that_cannot_be_written__say_why(history):
    """A stick pulled too early ends in a sentence on the same screen."""
    history.reports.refusal = RecordError("The USB stick is not plugged in any more.")
    history.screen.press_file("pdf")
    assert "not plugged in" in history.message.text and history.state.exported == ""


def test_record_opens_from_the_parts_page(yard):
    """A touch on a last record opens it in the history."""
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_record("wash-1")
    assert yard.state.opened.record_id == "wash-1"
