"""Where a scan leads from any screen, and the sentence for each number that is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.entities import LabelKind, ScanSource
from kiosk.presenters.states import CautionsState, ComponentState, FormState, IdleState, UnitState
from labels.number import Kind, compose


def position_label(yard, position_id):
    return next(label.number for label in yard.records.labels.values()
                if label.kind is LabelKind.POSITION and label.subject_id == position_id)


def test_component_label_opens_its_part(yard):
    """The label on a part opens that very part."""
    assert yard.scan(yard.label_of("c-bearing")).component_id == "c-bearing"
    assert yard.sounds == ["read"]


def test_unit_label_opens_the_unit(yard):
    """The label on a unit opens its drawing."""
    assert isinstance(yard.scan(yard.records.unit("u4").label), UnitState)


def test_position_label_opens_the_part_that_sits_there(yard):
    """A position's label opens what sits there now."""
    assert yard.scan(position_label(yard, "p-bearing")).component_id == "c-bearing"


def test_position_without_a_part_is_refused_with_a_sentence(yard):
    """An empty position says so."""
    yard.scan(position_label(yard, "p-empty"))
    assert "No part is on record at scraper" in yard.message.text


def test_grouped_number_is_read_like_the_plain_one(yard):
    """Spaces as printed do not matter."""
    number = yard.label_of("c-bearing")
    assert yard.scan(f"{number[0]} {number[1:5]} {number[5:9]} {number[9]}").component_id == "c-bearing"


def wrong_digits(number):
    return [number[:place] + other + number[place + 1:]
            for place in range(10) for other in "0123456789" if other != number[place]]


def swapped(number):
    return [number[:place] + number[place + 1] + number[place] + number[place + 2:]
            for place in range(9) if number[place] != number[place + 1]]


def test_each_single_wrong_digit_is_refused_and_the_screen_stays(yard):
    """Every one of the 90 single slips is caught, and the part shown stays."""
    number = yard.label_of("c-bearing")
    yard.scan(number)
    for slip in wrong_digits(number):
        yard.scan(slip)
        assert yard.message.kind == "refused", slip
        assert yard.state.component_id == "c-bearing"


def test_each_swapped_pair_of_neighbours_opens_no_other_part(yard):
    """Swapped neighbours are refused: by the check digit, or because that number was never issued."""
    number = yard.label_of("c-bearing")
    for slip in swapped(number):
        yard.scan(slip)
        assert yard.message.kind == "refused", slip
        assert isinstance(yard.state, IdleState)


@pytest.mark.parametrize("text", ["123", "", "ABC-1234567", "4006381333931", "١٢٣٤٥٦٧٨٩٠", "x" * 500])
def test_scan_of_another_form_is_foreign(yard, text):
    """A scanned code that is not ten digits is nobody's label here."""
    yard.scan(text)
    assert "is no label of this yard" in yard.message.text
    assert len(yard.message.text) < 120


@pytest.mark.parametrize(("text", "words"), [("123", "ten digits"), ("", "no label number")])
def test_typed_number_that_is_none_is_refused_with_its_sentence(yard, text, words):
    """Too short and empty on the pad each have their sentence."""
    yard.scan(text, ScanSource.KEYPAD)
    assert words in yard.message.text
    assert yard.sounds[-1] == "refused"


def test_number_never_issued_is_refused(yard):
    """A well-formed number that was never issued is named and refused."""
    number = compose(Kind.COMPONENT, 3, 999)
    yard.scan(number.digits)
    assert number.grouped in yard.message.text
    assert "never issued" in yard.message.text


def test_number_printed_but_not_bound_is_refused(yard):
    """A label that was printed for an unfinished replacement belongs to no part."""
    issued = yard.labels.issue(LabelKind.COMPONENT, ("new",))
    yard.scan(issued.number)
    assert "belongs to no part yet" in yard.message.text


def test_foreign_text_is_refused_with_what_was_read(yard):
    """Another maker's code is shown and refused."""
    yard.desk.foreign_text("https://example.org/part/77", ScanSource.CAMERA)
    assert "'https://example.org/part/77' is no label of this yard" in yard.message.text


def retire(yard):
    """Replace the bearing behind the presenters' back and return the old label."""
    old = yard.records.components["c-bearing"]
    number = yard.labels.issue(LabelKind.COMPONENT, ("new",)).number
    new = replace(old, id="c-new", label=number, description="Insert bearing UC210")
    yard.records.components["c-new"] = new
    yard.records.labels[number] = replace(yard.records.labels[number], subject_id="c-new")
    yard.records.components["c-bearing"] = replace(old, retired_at=yard.clock(), retired_hours=1240.0,
                                                   retired_reason="worn", replaced_by="c-new")
    yard.records.labels[old.label] = replace(yard.records.labels[old.label], retired_at=yard.clock(),
                                             retired_reason="worn")
    return old.label


def test_retired_label_asks_whether_to_open_the_part_here_now(yard):
    """A retired label says when the part was replaced and by what, and offers the new one."""
    yard.scan(retire(yard))
    assert yard.message.text.startswith("This shaft bearing was replaced on Mon 2 Mar 2026; the part here now is")
    assert "Insert bearing UC210" in yard.message.text
    assert yard.message.what_now == "Open it?"
    yard.screen.answer("open")
    assert yard.state.component_id == "c-new"


def test_retired_part_opens_read_only(yard):
    """The old part's page can be looked at, and nothing can be saved on it."""
    yard.sign_in()
    yard.scan(retire(yard))
    yard.screen.answer("old")
    assert yard.state.retired.startswith("Taken off")
    assert not yard.state.can_work
    yard.screen.save_quick()
    assert "off the machine" in yard.message.text


def test_relabelled_part_offers_itself(yard):
    """A label that was replaced by another on the same part leads to the part."""
    number = yard.label_of("c-bearing")
    yard.records.labels[number] = replace(yard.records.labels[number], retired_at=yard.clock(), retired_reason="torn")
    yard.scan(number)
    assert "torn" in yard.message.text
    yard.screen.answer("open")
    assert yard.state.component_id == "c-bearing"


def test_retired_badge_does_not_sign_in(yard):
    """A badge that does not count any more is refused."""
    badge = yard.records.person("ana").badge
    yard.records.labels[badge] = replace(yard.records.labels[badge], retired_at=yard.clock(), retired_reason="lost")
    yard.scan(badge)
    assert "lost" in yard.message.text
    assert not yard.state.frame.header.is_signed_in


def test_matched_label_asks_first(yard):
    """A damaged label that was matched opens nothing before a person says yes."""
    state = yard.scan(yard.label_of("c-bearing"), ScanSource.CAMERA, how="matched")
    assert isinstance(state, IdleState)
    assert "Insert bearing UC208, Unit 4 · upper shaft bearing, left" in yard.message.text
    yard.screen.answer("yes")
    assert yard.state.component_id == "c-bearing"


def test_matched_badge_asks_first(yard):
    """A damaged badge signs nobody in before a person says yes."""
    yard.scan(yard.records.person("ana").badge, ScanSource.CAMERA, how="matched")
    assert not yard.state.frame.header.is_signed_in
    yard.screen.answer("yes")
    assert yard.state.frame.header.person == "Ana"


def test_matched_label_answered_no_changes_nothing(yard):
    """'No' leaves the screen as it was."""
    yard.scan(yard.label_of("c-bearing"), ScanSource.CAMERA, how="matched")
    yard.screen.answer("no")
    assert isinstance(yard.state, IdleState)
    assert yard.message is None


def test_part_is_read_only_while_nobody_is_signed_in(yard):
    """Without a badge the page opens and the work waits for one."""
    state = yard.scan(yard.label_of("c-bearing"))
    assert not state.can_work
    assert state.quick.reason == "Scan your badge to work."
    yard.screen.open_job("inspect")
    assert "Scan your badge" in yard.message.text


def test_badge_on_a_part_signs_in_and_stays_there(yard):
    """The badge scanned on a part's page leaves the page open and makes it work."""
    yard.scan(yard.label_of("c-bearing"))
    yard.sign_in()
    assert yard.state.can_work
    assert yard.state.component_id == "c-bearing"


def test_scan_over_an_unsaved_form_asks_and_keeps_what_was_typed(yard):
    """Another label does not throw a form away: it asks, and the draft comes back with the part."""
    yard.open_job("c-chain", "sag")
    yard.type("3.5")
    yard.scan(yard.label_of("c-bearing"))
    assert isinstance(yard.state, FormState)
    assert yard.message.kind == "question"
    yard.screen.answer("go")
    assert yard.state.component_id == "c-bearing"
    yard.scan(yard.label_of("c-chain"))
    yard.screen.open_job("sag")
    assert yard.state.rows[0].typed == "3.5"


def test_staying_on_an_unsaved_form_changes_nothing(yard):
    """'Stay here' leaves the form with its text."""
    yard.open_job("c-chain", "sag")
    yard.type("3.5")
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.answer("stay")
    assert yard.state.rows[0].typed == "3.5"


def test_refused_scan_leaves_the_typed_form(yard):
    """A bad number on a form shows its sentence above what was typed."""
    yard.open_job("c-chain", "sag")
    yard.type("3.5")
    yard.scan("1234567890")
    assert isinstance(yard.state, FormState)
    assert yard.message.kind == "refused"
    assert yard.state.rows[0].typed == "3.5"


def test_typed_number_goes_through_the_label_pad(yard):
    """Ten digits and enter on the pad are a scan by keypad."""
    yard.screen.open_label_pad()
    for digit in yard.label_of("c-bearing"):
        yard.screen.label_key(digit)
    assert yard.state.frame.label_pad.hint == "ready"
    yard.screen.label_key("enter")
    assert isinstance(yard.state, ComponentState)
    assert yard.state.frame.label_pad is None
    assert yard.desk.session.scan_source is ScanSource.KEYPAD


def test_mistyped_number_stays_on_the_pad(yard):
    """A wrong check digit is refused and the digits stay to be corrected."""
    yard.screen.open_label_pad()
    for digit in "1234567890":
        yard.screen.label_key(digit)
    yard.screen.label_key("enter")
    assert yard.state.frame.label_pad.typed == "1 2345 6789 0"
    assert "check digit" in yard.message.text
    yard.screen.label_key("back")
    assert yard.state.frame.label_pad.typed == "1 2345 6789"


def test_digits_from_a_real_keyboard_open_the_pad(yard):
    """A keyboard's digits go to the pad, its Enter sends."""
    for key in (*yard.label_of("c-bearing"), "enter"):
        yard.desk.typed(key)
    assert yard.state.component_id == "c-bearing"


def test_letters_from_a_real_keyboard_do_nothing_on_the_idle_screen(yard):
    """No pad opens for a letter."""
    yard.desk.typed("x")
    assert yard.state.frame.label_pad is None


def test_keys_from_a_real_keyboard_go_to_the_active_row(yard):
    """On a form a keyboard types into the row, and Enter goes on."""
    yard.open_job("c-chain", "sag")
    for key in ("3", ".", "5", "enter", "4", "backspace", "3"):
        yard.desk.typed(key)
    assert [row.typed for row in yard.state.rows] == ["3.5", "3"]


def test_keys_from_a_real_keyboard_go_to_the_hour_meter(yard):
    """On the cautions they go to the meter, and Enter confirms."""
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.save_quick()
    for key in ("1", "2", "4", "1", "enter"):
        yard.desk.typed(key)
    assert yard.records.hours("u4").hours == 1241.0


def test_lost_camera_says_so_on_the_idle_screen_and_comes_back(yard):
    """The hint line tells what is wrong until the camera is back."""
    yard.desk.device_changed("camera", "The camera was pulled out. Plug it in; it comes back by itself.")
    assert yard.state.hint.startswith("The camera was pulled out")
    yard.desk.device_changed("camera", "")
    assert "scanner or the camera" in yard.state.hint


def test_lost_camera_does_not_wipe_a_question(yard):
    """A question keeps waiting for its answer."""
    yard.scan(yard.label_of("c-bearing"))
    yard.scan(yard.label_of("c-chain"), ScanSource.CAMERA, how="matched")
    yard.desk.device_changed("camera", "The camera was pulled out.")
    assert yard.message.kind == "question"


def test_label_pad_groups_digits_and_counts_the_missing(yard):
    """The pad shows the number as it will be printed."""
    yard.screen.open_label_pad()
    for digit in "12345":
        yard.screen.label_key(digit)
    assert yard.state.frame.label_pad.typed == "1 2345"
    assert yard.state.frame.label_pad.hint == "5 digits to go"
    yard.screen.close_label_pad()
    assert yard.state.frame.label_pad is None


def test_another_badge_on_the_cautions_goes_back_to_the_part(yard):
    """Cards opened for one person are not confirmed by another."""
    yard.sign_in("ana")
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.save_quick()
    assert isinstance(yard.state, CautionsState)
    yard.sign_in("bo")
    assert isinstance(yard.state, ComponentState)
    assert yard.state.frame.header.person == "Bo"
