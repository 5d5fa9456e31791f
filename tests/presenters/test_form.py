"""The form of a job: readings judged with every key, as found and as left, findings, saving."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.entities import Finding, JobType, Verdict
from kiosk.errors import StoreUnavailable
from kiosk.events import JobDone
from kiosk.presenters.states import ComponentState, FormState, SavedState
from kiosk.service_sheet import JobSpec


@pytest.fixture
def sag(yard):
    """Return the yard with the sag form open: 3 to 4 in, left and right, tape of 1/16 in."""
    yard.open_job("c-chain", "sag")
    return yard


def enter(yard, *texts):
    """Type one text a row, going on with 'next'."""
    for place, text in enumerate(texts):
        if place:
            yard.screen.key("next")
        yard.type(text)


def saved(yard):
    return yard.records.payloads(JobDone)[-1]


@pytest.mark.parametrize(("text", "verdict"), [
    ("3 1/2", "within"), ("3.5", "within"), ("3 1/8", "within"), ("3", "too close to call"),
    ("4", "too close to call"), ("2 3/4", "outside"), ("5", "outside"),
])
def test_verdict_sag__common_practice_no_source__3_to_4_in(sag, text, verdict):
    """3 to 4 in with a tape of 1/16 in: on the limit it is too close to call."""
    enter(sag, text)
    assert sag.state.rows[0].verdict.word == verdict


# --- measuring again ---


def test_too_close_to_call_names_what_to_improve(sag):
    """A single reading knows only the step of its instrument; measuring again is offered beside it."""
    enter(sag, "3")
    row = sag.state.rows[0]
    assert "step of the tape, 1/16 in is all the doubt" in row.message
    assert row.again.label == "Measure again, keep 3"


def test_a_clear_verdict_offers_no_second_reading(sag):
    """In the middle of the limits nothing is asked."""
    enter(sag, "3 1/2")
    assert (sag.state.rows[0].message, sag.state.rows[0].again) == ("", None)


def test_repeat_readings__jcgm_100__mean_is_judged_with_its_own_uncertainty(sag):
    """3, 3 1/4 and 3 1/2 in: mean 3 1/4 in; s = 1/4 in, so u² = (6.35²)/3 + 1.5875²/12 and u is 3.694 mm."""
    enter(sag, "3")
    sag.screen.measure_again()
    assert sag.state.rows[0].typed == ""
    assert sag.state.rows[0].verdict.word == "too close to call"
    enter(sag, "3 1/4")
    sag.screen.measure_again()
    enter(sag, "3 1/2")
    row = sag.state.rows[0]
    assert row.shown == "3 1/4 in (82.6 mm)"
    assert row.why.startswith("Mean of 3 readings. ")
    enter(sag, "", "3 1/2")
    sag.screen.save()
    kept = saved(sag).record.readings[0]
    assert kept.value == pytest.approx(82.55)
    assert kept.standard_uncertainty == pytest.approx(3.694, abs=0.001)
    assert kept.typed == "3 (in); 3 1/4 (in); 3 1/2 (in)"


def test_readings_that_differ_are_told_as_the_doubt(sag):
    """Scatter far beyond the tape's step: measure more often, at the same spot."""
    enter(sag, "2 3/4")
    sag.screen.focus(sag.state.rows[0].key)
    sag.screen.key("clear")
    enter(sag, "3")
    sag.screen.measure_again()
    enter(sag, "3 1/4")
    message = sag.state.rows[0].message
    assert "of the doubt is that the readings differ" in message
    assert "Measure more often" in message


def test_deleting_in_an_empty_field_takes_the_reading_before_back(sag):
    """What was kept by mistake comes back as it was typed."""
    enter(sag, "3")
    sag.screen.measure_again()
    sag.screen.key("back")
    assert sag.state.rows[0].typed == "3"
    assert sag.state.rows[0].again.label == "Measure again, keep 3"


def test_nothing_typed_is_not_kept_as_a_reading(sag):
    """The key does nothing on an empty or unreadable field."""
    sag.screen.measure_again()
    enter(sag, "3//4")
    sag.screen.measure_again()
    assert sag.state.rows[0].typed == "3//4"


def test_each_key_is_judged(sag):
    """'3', '3 ', '3 1', '3 1/', '3 1/2': the row follows every key."""
    seen = []
    for key in ("3", " ", "1", "/", "2"):
        sag.screen.key(key)
        row = sag.state.rows[0]
        seen.append(row.verdict.word if row.verdict else bool(row.message))
    assert seen == ["too close to call", "too close to call", True, True, "within"]


def test_bad_text_stays_with_its_sentence(sag):
    """Nothing typed is thrown away or corrected."""
    enter(sag, "3//4")
    row = sag.state.rows[0]
    assert row.typed == "3//4"
    assert "two slashes" in row.message
    assert row.verdict is None


def test_value_is_shown_in_both_units(sag):
    """A mechanic in inches sees mm beside them."""
    enter(sag, "3 1/2")
    assert sag.state.rows[0].shown == "3 1/2 in (88.9 mm)"


def test_limits_are_shown_in_both_units(sag):
    """So are the limits."""
    assert sag.state.rows[0].limits == "between 3 in (76.2 mm) and 4 in (101.6 mm)"


def test_unit_switch_reads_the_active_row_in_the_other_unit(sag):
    """41 typed as inches and switched is 41 mm, and the text is untouched."""
    enter(sag, "89")
    sag.screen.toggle_unit()
    row = sag.state.rows[0]
    assert (row.typed, row.verdict.word, sag.state.unit) == ("89", "within", "mm")


def test_unit_switch_leaves_the_other_rows_alone(sag):
    """A row typed in inches stays in inches."""
    enter(sag, "3.5", "90")
    sag.screen.key("unit")
    assert [row.verdict.word for row in sag.state.rows] == ["within", "within"]


def test_reading_25_times_too_large_asks_did_you_mean_mm(sag):
    """89 on a form in inches: did you mean 89 mm? One touch takes it."""
    enter(sag, "89")
    row = sag.state.rows[0]
    assert "Did you mean 89 mm?" in row.message
    sag.screen.take_suggestion()
    assert sag.state.rows[0].typed == "89 mm"
    assert sag.state.rows[0].verdict.word == "within"


def test_reading_a_hundred_times_too_large_asks(sag):
    """350 in is 3.5 in with a slipped point."""
    enter(sag, "350")
    assert "100 times too large" in sag.state.rows[0].message
    assert sag.state.rows[0].suggestion.label == "Yes, 3.5 in"


def test_saving_a_slip_asks_and_stays(sag):
    """A reading that looks like a slip is not saved without an answer."""
    enter(sag, "89", "3.5")
    sag.screen.save()
    assert sag.message.kind == "question"
    assert isinstance(sag.state, FormState)
    sag.screen.answer("meant")
    sag.screen.save()
    assert saved(sag).record.readings[0].value == pytest.approx(89.0)


def test_slip_may_be_saved_as_typed(sag):
    """The mechanic has the last word; it is outside and opens a finding."""
    enter(sag, "89", "3.5")
    sag.screen.save()
    sag.screen.answer("stands")
    assert saved(sag).record.verdict is Verdict.OUTSIDE
    assert len(saved(sag).findings_opened) == 2


def test_next_goes_from_found_to_left(sag):
    """After the last row as found comes the first as left."""
    enter(sag, "5", "5", "3 1/2")
    assert sag.state.phase == "as left"
    assert sag.state.rows[0].typed == "3 1/2"


def test_advice_says_which_way_and_how_far(sag):
    """Five inches hang too deep: both take-ups out, in turns and flats."""
    enter(sag, "5", "5")
    first = sag.state.advice[0]
    assert first.weight == "do"
    assert first.text.startswith("Turn both take-ups out by")


def test_sides_apart_are_said_at_once(sag):
    """More than half an inch between the sides is called out."""
    enter(sag, "3", "3 3/4")
    assert any(line.weight == "stop" and "the sides differ by 3/4 in" in line.text for line in sag.state.differences)


def test_left_outside_says_before_saving_that_a_finding_opens(sag):
    """The form says what saving will open, and the button counts it."""
    enter(sag, "5", "3 1/2")
    assert "Upper strand sag, left side, was left at 5 in" in sag.state.will_open[0]
    assert sag.state.save.text == "Save and open 2 findings"


def test_left_outside_opens_a_finding(sag):
    """The record and its findings are one event."""
    enter(sag, "5", "5")
    sag.screen.save()
    done = saved(sag)
    assert [finding.record_id for finding in done.findings_opened] == [done.record.id] * 2
    assert isinstance(sag.state, SavedState)
    assert len(sag.state.findings) == 2


def test_found_outside_and_left_within_opens_nothing(sag):
    """What counts is how it was left."""
    enter(sag, "5", "5", "3 1/2", "3 1/2")
    assert sag.state.will_open == ()
    sag.screen.save()
    done = saved(sag)
    assert done.findings_opened == ()
    assert done.record.verdict is Verdict.WITHIN
    assert [reading.phase for reading in done.record.readings] == ["as found"] * 2 + ["as left"] * 2


def test_one_side_left_as_found_counts_as_found(sag):
    """Only the left side was set: the right one is judged as found."""
    enter(sag, "5", "3 1/2", "3 1/2")
    sag.screen.save()
    assert saved(sag).record.verdict is Verdict.WITHIN


def test_record_keeps_typed_text_limits_rule_and_source(sag):
    """A reading can be explained for ever."""
    enter(sag, "3 1/2", "3.5")
    sag.screen.save()
    reading = saved(sag).record.readings[0]
    assert (reading.typed, reading.value, reading.unit) == ("3 1/2 (in)", pytest.approx(88.9), "mm")
    assert (reading.lower, reading.upper) == (pytest.approx(76.2), pytest.approx(101.6))
    assert (reading.rule, reading.limit_source) == ("guarded 95 %", "common practice, no source")


def test_record_keeps_the_advice_and_its_numbers(sag):
    """What the screen advised on what was found is in the record."""
    enter(sag, "5", "5", "3 1/2", "3 1/2")
    sag.screen.save()
    record = saved(sag).record
    assert record.advice[0].startswith("Turn both take-ups out")
    assert record.details["advice"]["movement_mm"]["left"] > 0


def test_missing_reading_is_named_and_not_saved(sag):
    """A row left empty stops saving with its name."""
    enter(sag, "3 1/2")
    assert sag.state.save.missing == "Still to measure: Upper strand sag, right, as found."
    sag.screen.save()
    assert isinstance(sag.state, FormState)
    assert "right, as found" in sag.message.text


def test_unreadable_row_is_named_and_not_saved(sag):
    """A text that is no length stops saving."""
    enter(sag, "3 1/2", "x1")
    sag.screen.key("/")
    sag.screen.save()
    assert "Cannot be read: Upper strand sag, right" in sag.message.text


def test_refused_by_the_records_keeps_every_text(sag):
    """A full disk: its sentence, and all that was typed still on the form."""
    enter(sag, "3 1/2", "3.5")
    sag.records.refusal = StoreUnavailable("The disk is full. Nothing was saved.")
    sag.screen.save()
    assert "disk is full" in sag.message.text
    assert [row.typed for row in sag.state.rows] == ["3 1/2", "3.5"]
    sag.records.refusal = None
    sag.screen.save()
    assert isinstance(sag.state, SavedState)


def test_saving_drops_the_draft(sag):
    """The next form of this job begins empty."""
    enter(sag, "3 1/2", "3.5")
    sag.screen.save()
    sag.screen.answer("part")
    sag.screen.open_job("sag")
    assert [row.typed for row in sag.state.rows] == ["", ""]


def test_start_over_empties_the_form(sag):
    """What was typed can be thrown away on purpose."""
    enter(sag, "3 1/2")
    sag.screen.start_over()
    assert sag.state.rows[0].typed == ""


def test_back_from_a_saved_job_does_not_lead_to_its_form(sag):
    """After saving, back leads past the form."""
    enter(sag, "3 1/2", "3.5")
    sag.screen.save()
    sag.screen.back()
    assert not isinstance(sag.state, FormState)


def finding(yard, record_id=None):
    one = Finding("f1", "u4", "p-chain", "c-chain", "Sag left outside.", yard.clock(), "bo", record_id)
    yard.records.findings["f1"] = one
    return one


def test_finding_can_be_closed_only_when_all_is_within(yard):
    """An open finding shows on the form and closes with a record that leaves all within."""
    finding(yard)
    yard.open_job("c-chain", "sag")
    assert not yard.state.findings[0].can_resolve
    enter(yard, "3 1/2", "3.5")
    yard.screen.toggle_finding("f1")
    assert yard.state.findings[0].resolves
    yard.screen.save()
    assert saved(yard).findings_closed == ("f1",)


def test_finding_of_the_same_job_closes_by_itself(yard):
    """A finding that this job opened is closed by doing it again within limits, unless unticked."""
    yard.open_job("c-chain", "sag")
    enter(yard, "5", "5")
    yard.screen.save()
    yard.screen.answer("part")
    yard.screen.open_job("sag")
    enter(yard, "3 1/2", "3.5")
    yard.screen.save()
    assert len(saved(yard).findings_closed) == 2


def test_finding_stays_open_when_left_outside(yard):
    """A record that leaves the sag outside closes nothing."""
    finding(yard)
    yard.open_job("c-chain", "sag")
    enter(yard, "5", "5")
    yard.screen.toggle_finding("f1")
    yard.screen.save()
    assert saved(yard).findings_closed == ()


def test_temperature_is_typed_in_the_persons_unit(yard):
    """104 °F is 40 °C: within at most 65 °C."""
    yard.open_job("c-bearing", "inspect")
    yard.type("104")
    row = yard.state.rows[0]
    assert row.shown == "104 °F (40 °C)"
    assert row.verdict.word == "within"
    assert not yard.state.length_keys


def test_one_sided_limit_has_one_mark_on_the_gauge(yard):
    """At most 65 °C: no lower mark."""
    yard.open_job("c-bearing", "inspect")
    yard.type("104")
    gauge = yard.state.rows[0].gauge
    assert gauge.lower is None
    assert 0 < gauge.value < gauge.upper < 1


def test_steps_are_ticked_and_kept(yard):
    """Ticked steps go into the record."""
    yard.open_job("c-bearing", "inspect")
    yard.type("104")
    yard.screen.toggle_step(2)
    yard.screen.toggle_step(1)
    yard.screen.toggle_step(1)
    assert [step.done for step in yard.state.steps] == [False, True]
    yard.screen.save()
    assert saved(yard).record.details["steps_done"] == [2]


def test_note_goes_into_the_record(yard):
    """A note is kept with the job."""
    yard.open_job("c-bearing", "inspect")
    yard.type("104")
    yard.screen.set_note("grates a little")
    yard.screen.save()
    assert saved(yard).record.note == "grates a little"


def test_job_without_readings_saves_at_once(yard):
    """Cleaning has steps and no readings."""
    sheet = yard.sheets.known["bearing"]
    jobs = tuple(replace(job, quick=False) if job.key == "wash" else job for job in sheet.jobs)
    yard.sheets.known["bearing"] = replace(sheet, jobs=jobs)
    yard.open_job("c-bearing", "wash")
    assert yard.state.save.enabled
    yard.screen.save()
    assert saved(yard).record.verdict is None


def test_form_needs_a_badge(yard):
    """No form opens while nobody is signed in."""
    yard.scan(yard.label_of("c-chain"))
    yard.screen.open_job("sag")
    assert isinstance(yard.state, ComponentState)
    assert "Scan your badge" in yard.message.text


def test_tracking_form_asks_for_the_turns_really_made(yard):
    """Empty means as advised; typed flats go into the record for the adviser to learn from."""
    yard.open_job("c-belt", "track")
    yard.screen.toggle_unit()
    enter(yard, "1", "5")
    yard.screen.show_phase("as left")
    assert len(yard.state.rows) == 4
    enter(yard, "6", "8", "2", "0")
    yard.screen.save()
    details = saved(yard).record.details
    assert details["turns_made_flats"] == {"left": 2, "right": 0}
    assert details["turns_as_advised"] is False


def test_tracking_form_takes_advised_turns_when_none_are_typed(yard):
    """Left as advised: the record says what was advised, and that it was."""
    yard.open_job("c-belt", "track")
    yard.screen.toggle_unit()
    enter(yard, "1", "1", "6", "8")
    yard.screen.save()
    details = saved(yard).record.details
    assert details["turns_as_advised"] is True
    assert details["turns_made_flats"]["left"] == details["advice"]["flats"]


def test_note_needs_its_text(yard):
    """A note job has one thing to save: the note."""
    sheet = yard.sheets.known["bearing"]
    yard.sheets.known["bearing"] = replace(sheet, jobs=(*sheet.jobs, JobSpec("note", "Write a note", JobType.NOTE)))
    yard.open_job("c-bearing", "note")
    yard.screen.save()
    assert "Write the note first" in yard.message.text
    yard.screen.set_note("bearing cap painted over")
    yard.screen.save()
    assert saved(yard).record.note == "bearing cap painted over"


def test_records_gone_while_the_form_is_open_says_so_and_keeps_every_text(sag, monkeypatch):
    """Nothing can be read any more: the sentence comes up on the form as it was."""
    enter(sag, "3 1/2", "3.5")

    def gone(*_, **__):
        raise StoreUnavailable("The records cannot be read. Call the supervisor.")

    for query in ("hours", "yard_name", "cautions_confirmed", "append", "person"):
        monkeypatch.setattr(sag.records, query, gone)
    sag.screen.save()
    assert "cannot be read" in sag.message.text
    assert [row.typed for row in sag.state.rows] == ["3 1/2", "3.5"]
    assert sag.state.frame.header.yard == "Harbour yard"
