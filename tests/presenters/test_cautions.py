"""Cautions and the hour meter come before any work, once per unit, person and shift."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.events import CautionsConfirmed, HoursRead, JobDone
from kiosk.presenters.states import CautionsState, ComponentState, FormState, SavedState
from kiosk.service_sheet import CautionSpec


@pytest.fixture
def cards(yard):
    """Return the yard with the cautions of a greasing open for Ana."""
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.save_quick()
    return yard


def confirm_all(yard):
    for card in yard.state.cards:
        yard.screen.confirm(card.key)


def test_first_job_of_a_shift_shows_cautions_and_saves_nothing(cards):
    """A touch on 'save' leads to the cards, not to a record."""
    assert isinstance(cards.state, CautionsState)
    assert [card.signal for card in cards.state.cards] == ["DANGER", "DANGER", "NOTICE"]
    assert cards.records.payloads(JobDone) == []


def test_going_on_is_refused_until_every_card_is_confirmed(cards):
    """Two of three cards are not enough."""
    cards.screen.confirm("locked-out")
    cards.screen.confirm("raised-hopper")
    cards.screen.confirm_hours()
    cards.screen.go_on()
    assert isinstance(cards.state, CautionsState)
    assert "1 of 3 cautions" in cards.message.text
    assert cards.records.payloads(CautionsConfirmed) == []


def test_going_on_is_refused_until_the_hour_meter_is_read(cards):
    """All cards are not enough without the meter."""
    confirm_all(cards)
    cards.screen.go_on()
    assert "hour meter" in cards.message.text


def test_confirmation_names_unit_shift_and_cards(cards):
    """The journal says who confirmed what for which unit and shift."""
    confirm_all(cards)
    cards.screen.confirm_hours()
    cards.screen.go_on()
    payload = cards.records.payloads(CautionsConfirmed)[0]
    assert payload == CautionsConfirmed("u4", "2026-03-02 early", ("locked-out", "raised-hopper", "too-much-grease"))
    assert isinstance(cards.state, ComponentState)


def test_second_touch_takes_a_confirmation_back(cards):
    """A card touched by mistake can be undone."""
    cards.screen.confirm("locked-out")
    cards.screen.confirm("locked-out")
    assert not cards.state.cards[0].confirmed


def test_greasing_after_the_cautions_is_one_scan_and_one_touch(cards):
    """A round asks once; then each bearing is one scan and one touch."""
    confirm_all(cards)
    cards.screen.confirm_hours()
    cards.screen.go_on()
    cards.scan(cards.label_of("c-bearing"))
    cards.screen.save_quick()
    assert isinstance(cards.state, SavedState)
    assert cards.records.payloads(JobDone)[0].record.strokes == 2


def test_confirmation_holds_for_another_job_of_the_same_unit(cards):
    """Cards confirmed once are not asked again this shift; a job's own further cards are."""
    confirm_all(cards)
    cards.screen.confirm_hours()
    cards.screen.go_on()
    cards.screen.open_job("inspect")
    assert isinstance(cards.state, FormState)


def test_confirmation_ends_with_the_shift(yard):
    """The next shift confirms again."""
    yard.sign_in()
    yard.clear("c-bearing", "inspect")
    yard.clock.move(hours=8)
    yard.desk.touched()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_job("inspect")
    assert isinstance(yard.state, CautionsState)


def test_confirmation_of_one_person_is_not_anothers(yard):
    """Each person confirms for themselves; the meter is read once for all."""
    yard.clear("c-bearing", "inspect", "bo")
    yard.sign_in("ana")
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_job("inspect")
    assert isinstance(yard.state, CautionsState)
    assert yard.state.hours is None


def test_form_left_open_over_the_change_of_shift_asks_again_and_keeps_its_text(yard):
    """Saving in a new shift leads through the cards and back to the form as it was."""
    yard.open_job("c-bearing", "inspect")
    yard.type("120")
    yard.clock.move(hours=8)
    yard.screen.save()
    assert isinstance(yard.state, CautionsState)
    yard.screen.confirm("locked-out")
    yard.screen.confirm_hours()
    yard.screen.go_on()
    assert isinstance(yard.state, FormState)
    assert yard.state.rows[0].typed == "120"
    yard.screen.save()
    assert isinstance(yard.state, SavedState)


def test_more_than_five_cards_come_in_pages(yard):
    """Five cards a page; a confirmed page turns by itself."""
    sheet = yard.sheets.known["bearing"]
    more = tuple(CautionSpec(f"extra-{n}", "WARNING", "Something.", "Mind it.") for n in range(4))
    keys = ("locked-out", "raised-hopper", *[card.key for card in more])
    jobs = tuple(replace(job, cautions=keys) if job.key == "inspect" else job for job in sheet.jobs)
    yard.sheets.known["bearing"] = replace(sheet, cautions=sheet.cautions + more, jobs=jobs)
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_job("inspect")
    assert (len(yard.state.cards), yard.state.page, yard.state.pages) == (5, 1, 2)
    confirm_all(yard)
    assert (len(yard.state.cards), yard.state.page) == (1, 2)
    yard.screen.previous_page()
    assert yard.state.page == 1
    yard.screen.next_page()
    assert yard.state.page == 2


def test_sheet_that_lacks_a_caution_stops_the_work(yard):
    """A job whose caution is missing from the sheet does not open around it."""
    sheet = yard.sheets.known["bearing"]
    jobs = tuple(replace(job, cautions=("gone",)) if job.key == "inspect" else job for job in sheet.jobs)
    yard.sheets.known["bearing"] = replace(sheet, jobs=jobs)
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_job("inspect")
    assert "lacks the caution 'gone'" in yard.message.text


def test_screen_says_that_it_is_not_the_lock(cards):
    """The cards defer to local rules and the maker's manual."""
    assert "not the lock" in cards.state.deference
    assert "maker's manual" in cards.state.deference


# --- the hour meter ---


def test_hour_meter_is_prefilled_with_the_estimate(cards):
    """A day at 4 h a day after 1,236.5 h."""
    assert cards.state.hours.typed == "1240.5"


def test_estimate_is_entered_only_when_confirmed(cards):
    """The estimate alone is no reading."""
    assert cards.records.payloads(HoursRead) == []
    cards.screen.confirm_hours()
    assert cards.records.payloads(HoursRead) == [HoursRead("u4", 1240.5)]
    assert cards.state.hours.confirmed


def test_first_key_replaces_the_estimate(cards):
    """Typing does not append to the estimate."""
    for key in "1241":
        cards.screen.hours_key(key)
    assert cards.state.hours.typed == "1241"


@pytest.mark.parametrize(("typed", "words"), [
    ("1235", "less than the last reading"), ("1290", "more than 24 hours a day"), ("", "like 1234.5"),
])
def test_impossible_reading_is_refused_and_stays_on_the_field(cards, typed, words):
    """Backwards, more than 24 h a day, and nothing: each has its sentence, and the text stays."""
    cards.screen.hours_key("clear")
    for key in typed:
        cards.screen.hours_key(key)
    cards.screen.confirm_hours()
    assert words in cards.state.hours.message
    assert cards.state.hours.typed == typed
    assert cards.records.payloads(HoursRead) == []


def test_slipped_decimal_point_is_offered_right(cards):
    """12405 was meant as 1240.5; one touch takes it."""
    for key in "12405":
        cards.screen.hours_key(key)
    cards.screen.confirm_hours()
    assert [offer.key for offer in cards.state.hours.suggestions] == ["1240.5"]
    cards.screen.take_hours("1240.5")
    assert cards.records.payloads(HoursRead) == [HoursRead("u4", 1240.5)]


def test_meter_gone_round_is_offered_with_its_total(yard):
    """By hand: from 9,995 to 10,000 and on to 3.2 are 8.2 h; one touch takes 10,003.2 h."""
    last = yard.records.hour_readings["u4"]
    yard.records.hour_readings["u4"] = replace(last, hours=9995.0)
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.save_quick()
    yard.screen.hours_key("clear")
    for key in "3.2":
        yard.screen.hours_key(key)
    yard.screen.confirm_hours()
    offers = {offer.key: offer.label for offer in yard.state.hours.suggestions}
    assert offers["10003.2"].endswith("the meter went round")
    yard.screen.take_hours("10003.2")
    assert yard.records.payloads(HoursRead) == [HoursRead("u4", 10003.2)]


def test_unit_never_read_before_asks_for_the_meter(yard):
    """Without a last reading nothing is estimated and any reading is taken."""
    yard.records.hour_readings.clear()
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.save_quick()
    assert yard.state.hours.typed == ""
    for key in "1240.5":
        yard.screen.hours_key(key)
    yard.screen.confirm_hours()
    assert yard.state.hours.confirmed
