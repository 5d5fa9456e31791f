"""Greasing by one touch: what the bearing may take now, the stop, and the override with its reason."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.errors import StoreUnavailable
from kiosk.events import JobDone
from kiosk.presenters.states import ComponentState, SavedState


@pytest.fixture
def bearing(yard):
    """Return the yard with the bearing's page open for Ana, cautions and hours done."""
    yard.sign_in()
    yard.clear("c-bearing", "grease")
    yard.scan(yard.label_of("c-bearing"))
    return yard


def grease(yard):
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.save_quick()


def records(yard):
    return [done.record for done in yard.records.payloads(JobDone)]


def test_one_touch_saves_the_sheets_strokes(bearing):
    """Two strokes of the sheet's grease, with cautions, hours, shift's meter and how the label was scanned."""
    bearing.screen.save_quick()
    record = records(bearing)[0]
    assert (record.strokes, record.grease, record.hours) == (2, "EP 2", 1240.5)
    assert record.cautions == ("locked-out", "raised-hopper", "too-much-grease")
    assert (record.person_id, record.scan_source, record.sheet_revision) == ("ana", "scanner", 3)
    assert isinstance(bearing.state, SavedState)
    assert bearing.sounds[-1] == "saved"


def test_record_bears_the_id_of_its_event(bearing):
    """A record's id is the id of the event that brings it."""
    bearing.screen.save_quick()
    event = next(event for event in bearing.records.events if isinstance(event.payload, JobDone))
    assert event.id == event.payload.record.id


def test_page_says_when_and_by_whom_it_was_last_greased(bearing):
    """After a greasing the page names time and person."""
    bearing.screen.save_quick()
    bearing.clock.move(minutes=30)
    bearing.scan(bearing.label_of("c-bearing"))
    assert bearing.state.quick.lines[0] == "Last greased today 06:30 by Ana."


def test_page_names_grease_gun_and_dose(bearing):
    """Grease, thickener, hand gun and its output stand beside the strokes."""
    assert "EP 2 (lithium), hand gun only; 1.28 g a stroke" in bearing.state.quick.lines[1]


def test_second_greasing_the_same_day_is_stopped_with_its_reason(bearing):
    """The interval of a day has not passed: nothing is saved, the reason is shown."""
    grease(bearing)
    bearing.clock.move(hours=5)
    bearing.scan(bearing.label_of("c-bearing"))
    panel = bearing.state.quick
    assert not panel.enabled
    assert "already" in panel.stop.text
    assert "lifts the seal" in panel.stop.text
    bearing.screen.save_quick()
    assert len(records(bearing)) == 1
    assert "choose or type a reason" in bearing.message.text


def test_greased_late_yesterday_may_be_greased_early_today(yard):
    """Working days count, not 24 hours: late shift yesterday, early shift today."""
    yard.sign_in()
    yard.clock.move(hours=8)
    yard.clear("c-bearing", "grease")
    grease(yard)
    yard.clock.move(hours=16, minutes=-30)
    yard.clear("c-bearing", "grease")
    grease(yard)
    assert [record.override_reason for record in records(yard)] == ["", ""]


def test_greased_just_before_the_new_day_is_stopped(yard):
    """05:50 and 06:10 are two working days, and still too soon after each other."""
    yard.sign_in()
    yard.clock.move(hours=23, minutes=20)
    yard.clear("c-bearing", "grease")
    grease(yard)
    yard.clock.move(minutes=20)
    yard.clear("c-bearing", "grease")
    yard.scan(yard.label_of("c-bearing"))
    assert "less than 4 hours ago" in yard.state.quick.stop.text


def test_more_strokes_than_a_day_allows_are_stopped(bearing):
    """Four a day by the sheet: the fifth is stopped, and one fewer goes again."""
    for _ in range(3):
        bearing.screen.more_strokes()
    assert bearing.state.quick.strokes == 5
    assert bearing.state.quick.stop.text.startswith("5 strokes is more than the 4")
    bearing.screen.fewer_strokes()
    assert bearing.state.quick.stop is None
    assert bearing.state.quick.button == "Save 4 strokes"


def test_override_needs_a_reason_that_goes_into_the_record(bearing):
    """A reason from the list frees the button and is kept."""
    grease(bearing)
    bearing.clock.move(hours=5)
    bearing.scan(bearing.label_of("c-bearing"))
    bearing.screen.choose_reason("water")
    assert bearing.state.quick.enabled
    bearing.screen.save_quick()
    assert records(bearing)[1].override_reason == "Washed down or stood in water since"


def test_override_reason_may_be_typed(bearing):
    """A typed reason counts from three letters on."""
    grease(bearing)
    bearing.clock.move(hours=5)
    bearing.scan(bearing.label_of("c-bearing"))
    bearing.screen.type_reason("ok")
    assert not bearing.state.quick.enabled
    bearing.screen.type_reason("seal was changed")
    bearing.screen.save_quick()
    assert records(bearing)[1].override_reason == "seal was changed"


def test_no_reason_is_recorded_when_nothing_was_stopped(bearing):
    """A reason chosen without a stop is not an override."""
    bearing.screen.choose_reason("water")
    bearing.screen.save_quick()
    assert records(bearing)[0].override_reason == ""


def test_greasing_begun_today_may_be_finished(bearing):
    """One of the sheet's two strokes went in: the other may follow, a third may not."""
    bearing.screen.fewer_strokes()
    bearing.screen.save_quick()
    bearing.clock.move(hours=5)
    bearing.scan(bearing.label_of("c-bearing"))
    assert bearing.state.quick.allowed.startswith("May take 1 stroke now")
    assert bearing.state.quick.stop.text.startswith("2 strokes is more than the 1")


def test_month_limit_stops(bearing):
    """Six strokes a month by the sheet: the fourth day of two each is stopped."""
    bearing.sheets.known["bearing"] = with_month_limit(bearing.sheets.sheet("bearing"), 6)
    for _ in range(3):
        grease(bearing)
        bearing.clock.move(days=1)
        bearing.clear("c-bearing", "grease")
    bearing.scan(bearing.label_of("c-bearing"))
    assert len(records(bearing)) == 3
    assert "6 of 6 strokes went in during the last 30 days" in bearing.state.quick.stop.text


def with_month_limit(sheet, strokes):
    jobs = tuple(replace(job, grease=replace(job.grease, most_per_month=strokes)) if job.grease else job
                 for job in sheet.jobs)
    return replace(sheet, jobs=jobs)


def test_full_disk_on_saving_says_so_and_keeps_the_page(bearing):
    """A refusal of the records is a sentence on the same page; nothing is called saved."""
    bearing.records.refusal = StoreUnavailable("The disk is full. Nothing was saved; call the supervisor.")
    bearing.screen.more_strokes()
    bearing.screen.save_quick()
    assert isinstance(bearing.state, ComponentState)
    assert "disk is full" in bearing.message.text
    assert bearing.state.quick.strokes == 3
    assert bearing.sounds[-1] == "refused"


def test_washing_out_is_saved_by_one_touch_too(bearing):
    """Another one-touch job is picked on the page; it has no strokes."""
    bearing.screen.pick_quick("wash")
    assert bearing.state.quick.button == "Save: Wash out"
    bearing.screen.save_quick()
    record = records(bearing)[0]
    assert (record.job, record.strokes, record.grease) == ("wash", None, "")


def test_saved_screen_names_place_strokes_and_next_date(bearing):
    """The confirmation says what was saved and when it is due again."""
    bearing.screen.save_quick()
    lines = " ".join(bearing.state.lines)
    assert "upper shaft bearing, left" in lines
    assert "2 strokes, EP 2" in lines
    assert "Next due in 1 day" in lines


def test_saved_screen_leads_back_to_the_part(bearing):
    """'Back to the part' shows the record that was just saved."""
    bearing.screen.save_quick()
    bearing.screen.answer("part")
    assert isinstance(bearing.state, ComponentState)
    assert bearing.state.records[0].summary == "2 strokes EP 2"


def test_incompatible_grease_in_the_bearing_is_named(yard):
    """A bearing filled with another thickener is called out on its page."""
    yard.records.components["c-bearing"].properties["thickener"] = "polyurea"
    yard.scan(yard.label_of("c-bearing"))
    assert any("In the bearing: polyurea; in the gun: lithium." in line for line in yard.state.quick.lines)


def test_thread_of_a_take_up__greased_already__nothing_is_said_of_a_seal(yard):
    """A thread has no seal to lift: it is told that it is greased, and no more."""
    sheet = yard.sheets.known["bearing"]
    thread = replace(sheet.job("grease"), computation=None)
    yard.sheets.known["bearing"] = replace(
        sheet, jobs=tuple(thread if job.key == "grease" else job for job in sheet.jobs))
    yard.sign_in()
    yard.clear("c-bearing", "grease")
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.save_quick()
    yard.scan(yard.label_of("c-bearing"))
    assert "already" in yard.state.quick.stop.text and "seal" not in yard.state.quick.stop.text
