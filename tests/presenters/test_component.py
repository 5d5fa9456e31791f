"""A part's page: what it is, since when, what is due, findings, trend."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.entities import SeriesPoint, Severity
from kiosk.errors import StoreUnavailable
from kiosk.events import FindingOpened
from kiosk.presenters.drafts import FormDraft
from kiosk.presenters.states import HistoryState, UnitState
from kiosk.service_sheet import ComputationSpec


def points(yard, values, phase="as found", start=1000.0, step=40.0, side="left"):
    return [SeriesPoint(yard.clock(), start + place * step, value, phase, side) for place, value in enumerate(values)]


def open_chain(yard, series):
    yard.records.series_points["c-chain", "strand-sag"] = series
    return yard.scan(yard.label_of("c-chain"))


def test_page_says_what_where_and_since_when(yard):
    """Description, place, grouped label, date, hours and run."""
    state = yard.scan(yard.label_of("c-bearing"))
    assert (state.title, state.place) == ("Insert bearing UC208", "Unit 4 · upper shaft bearing, left")
    assert state.since == "here since Tue 6 May 2025, at 40.0 h, 1,196.5 h run"
    assert state.facts == ("Bearing: UC208",)


def test_properties_are_shown_in_the_persons_units(yard):
    """A belt's length in inches and mm."""
    assert "6000 mm" in yard.scan(yard.label_of("c-belt")).facts[0]


def test_last_records_are_on_the_page(yard):
    """The last work on it, newest first."""
    assert [row.job for row in yard.scan(yard.label_of("c-bearing")).records] == ["Wash out"]


def test_first_due_one_touch_job_is_offered(yard):
    """Greasing is due, washing was done yesterday."""
    assert yard.scan(yard.label_of("c-bearing")).quick.job == "grease"


def test_choosing_a_one_touch_job_among_the_jobs_shows_its_panel(yard):
    """Opening 'wash' puts it on the panel, as it has no form."""
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_job("wash")
    assert yard.state.quick.job == "wash"


def test_part_without_one_touch_job_has_no_panel(yard):
    """Chains have none."""
    assert yard.scan(yard.label_of("c-chain")).quick is None
    yard.screen.save_quick()
    assert "no job that one touch saves" in yard.message.text


def test_finding_can_be_written_down(yard):
    """Something seen wrong is opened in the person's name and shown at once."""
    yard.sign_in()
    yard.scan(yard.label_of("c-chain"))
    yard.screen.report_finding("link cracked")
    assert yard.message.actions[0].label == "Repair before it goes out"
    yard.screen.answer("NEXT_SERVICE")
    finding = yard.records.payloads(FindingOpened)[0].finding
    assert (finding.text, finding.opened_by, finding.component_id) == ("link cracked", "ana", "c-chain")
    assert finding.severity is Severity.NEXT_SERVICE
    assert yard.state.findings[0].text == "link cracked"
    assert yard.message is None


@pytest.mark.parametrize("text", ["", "  ", "x"])
def test_empty_finding_is_refused(yard, text):
    """A finding says what is wrong."""
    yard.sign_in()
    yard.scan(yard.label_of("c-chain"))
    yard.screen.report_finding(text)
    assert "what is wrong" in yard.message.text


def test_page_leads_to_unit_and_history(yard):
    """One touch each."""
    yard.scan(yard.label_of("c-chain"))
    yard.screen.open_history()
    assert isinstance(yard.state, HistoryState)
    yard.screen.back()
    yard.screen.open_unit()
    assert isinstance(yard.state, UnitState)


def test_records_gone_on_a_part_page_says_so_on_the_page_as_it_was(yard, monkeypatch):
    """A page that cannot be made anew keeps what it showed, with the sentence above."""
    yard.scan(yard.label_of("c-bearing"))

    def gone(*_, **__):
        raise StoreUnavailable("The records cannot be read. Call the supervisor.")

    for query in ("component", "component_history", "last_done", "yard_name"):
        monkeypatch.setattr(yard.records, query, gone)
    yard.screen.more_strokes()
    assert "cannot be read" in yard.message.text
    assert yard.state.component_id == "c-bearing"


# --- trend ---


def trend_of(yard, series):
    """Return the trend of the chain after a touch on 'Trend', None where none is offered."""
    if not open_chain(yard, series).has_trend:
        return None
    yard.screen.show_trend()
    return yard.state.trend


def test_no_trend_without_two_readings(yard):
    """One reading is no trend."""
    assert trend_of(yard, points(yard, [80.0])) is None


def test_trend__is_worked_out_only_when_it_is_looked_at(yard):
    """The page itself does no fit; a touch brings the trend, another takes it away."""
    assert open_chain(yard, points(yard, [80.0, 82.1, 83.9])).trend is None
    yard.screen.show_trend()
    assert yard.state.trend.drawing.points == tuple(points(yard, [80.0, 82.1, 83.9]))
    yard.screen.hide_trend()
    assert yard.state.trend is None


def test_trend_forecasts_where_the_readings_bear_it__hand(yard):
    """By hand: 80 mm growing 2 mm in 40 h meets 101.6 mm 432 h after the first reading, at 1,432 h."""
    trend = trend_of(yard, points(yard, [80.0, 82.1, 83.9, 86.0, 88.1, 89.9]))
    assert "meets its limit at about 1,43" in trend.sentence


def test_trend_starts_anew_at_an_adjustment(yard):
    """Readings before the last 'as left' do not count; two after it are not enough."""
    before = points(yard, [80.0, 84.0, 88.0, 92.0])
    left = points(yard, [80.0], "as left", 1120.0)
    trend = trend_of(yard, before + left + points(yard, [82.0], start=1160.0))
    assert "Not enough readings" in trend.sentence


def test_trend_without_slope_says_so(yard):
    """Readings that only scatter give no forecast."""
    assert "not established" in trend_of(yard, points(yard, [88.0, 90.0, 87.5, 89.5, 88.5])).sentence



def test_figures_are_worked_out_only_when_asked_for(yard):
    """A scan must not wait for fits of lives; the page says that there is something to show."""
    sheet = yard.sheets.known["bearing"]
    figures = (ComputationSpec("how sure a reading is"), ComputationSpec("hours of the unit"))
    yard.sheets.known["bearing"] = replace(sheet, figures=figures)
    yard.scan(yard.label_of("c-bearing"))
    assert [group.label for group in yard.state.figure_groups] == ["How sure a reading is", "Hours of the unit"]
    assert yard.state.figures == ()
    yard.screen.show_figures("hours of the unit")
    assert [row.title for row in yard.state.figures] == ["Hours a day of the unit"]
    yard.screen.show_figures("")
    assert yard.state.figures == ()


def test_part_without_figures_on_its_sheet_offers_none(yard):
    """The chain's sheet of this yard names no figures."""
    yard.scan(yard.label_of("c-chain"))
    assert not yard.state.figure_groups


# --- retired parts, begun jobs ---


def test_retired_part__one_touch_to_the_part_here_now(yard):
    """The old part's page says that it is off, and leads to the one that is on."""
    old = replace(yard.records.components["c-chain"], id="c-old", retired_at=yard.clock(), retired_reason="worn")
    yard.records.components["c-old"] = old
    yard.desk.open_component("c-old")
    assert yard.state.retired and yard.state.now_id == "c-chain"
    yard.screen.open_now()
    assert yard.state.component_id == "c-chain" and yard.state.now_id == ""


def test_begun_job__is_marked_on_the_parts_page(yard):
    """Who comes after sees that a job was begun, by whom, and not saved."""
    yard.sign_in()
    yard.desk.drafts.keep("c-chain", "sag", FormDraft("Ana", yard.clock()))
    yard.scan(yard.label_of("c-chain"))
    assert yard.state.begun == ("Set the sag: begun by Ana, today 06:30, not saved",)
    yard.desk.drafts.drop("c-chain", "sag")
    yard.scan(yard.label_of("c-chain"))
    assert yard.state.begun == ()
