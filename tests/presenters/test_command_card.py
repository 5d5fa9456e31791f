"""The command card: what its labels do on each screen, and what they never do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.entities import LabelKind
from kiosk.events import JobDone
from kiosk.presenters.command_card import COMMANDS
from kiosk.presenters.states import CautionsState, ComponentState, FormState, IdleState, SavedState


def command(yard, key):
    """Scan the label of a command."""
    number = next(label.number for label in yard.records.labels.values()
                  if label.kind is LabelKind.COMMAND and label.subject_id == key)
    return yard.scan(number)


def test_bearing_is_greased_by_two_scans_and_no_touch(yard):
    """After badge and cautions, the part's label and 'save' are a greasing."""
    yard.sign_in()
    yard.clear("c-bearing", "grease")
    yard.scan(yard.label_of("c-bearing"))
    assert isinstance(command(yard, "save"), SavedState)
    assert len(yard.records.payloads(JobDone)) == 1


def test_save_scanned_twice_saves_once(yard):
    """A scanner that fires twice does not grease twice."""
    yard.sign_in()
    yard.clear("c-bearing", "grease")
    yard.scan(yard.label_of("c-bearing"))
    command(yard, "save")
    command(yard, "save")
    assert "nothing to save" in yard.message.text
    assert len(yard.records.payloads(JobDone)) == 1


def test_no_command_confirms_a_caution(yard):
    """'Save' on the cautions goes on only when every card was confirmed by touch."""
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.save_quick()
    assert isinstance(yard.state, CautionsState)
    for key in COMMANDS:
        if key not in ("back", "done"):
            assert isinstance(command(yard, key), CautionsState)
    assert not any(card.confirmed for card in yard.state.cards)


def test_reading_is_typed_and_rubbed_out_by_scanner(yard):
    """Digits, point, rub out and next work on a form's fields."""
    yard.open_job("c-chain", "sag")
    for key in ("3", "point", "6", "rub-out", "5", "next", "4"):
        command(yard, key)
    assert [row.typed for row in yard.state.rows] == ["3.5", "4"]


def test_back_and_done_ask_before_they_leave_what_is_not_saved(yard):
    """What was typed is never left by a stray scan."""
    yard.open_job("c-chain", "sag")
    command(yard, "3")
    for key in ("back", "done"):
        assert isinstance(command(yard, key), FormState)
        assert "not saved" in yard.message.text
        yard.screen.answer("stay")
    yard.screen.key("clear")
    assert isinstance(command(yard, "back"), ComponentState)
    assert isinstance(command(yard, "done"), IdleState)


def test_digit_with_no_field_opens_the_label_pad(yard):
    """On the idle screen digits begin a label number, as on a keyboard."""
    command(yard, "7")
    assert yard.state.frame.label_pad is not None


@pytest.mark.parametrize(("key", "words"), [("save", "nothing to save"), ("next", "no next field")])
def test_command_that_does_not_fit_the_screen_says_so(yard, key, words):
    """Each refusal is a sentence."""
    command(yard, key)
    assert words in yard.message.text


def test_saving_without_a_badge_is_refused(yard):
    """A card is no badge."""
    yard.scan(yard.label_of("c-bearing"))
    command(yard, "save")
    assert yard.records.payloads(JobDone) == [] and "badge" in yard.message.text


def test_label_of_an_unknown_command_is_refused(yard):
    """A card of a newer kiosk program does nothing here."""
    number = next(number for number, label in yard.records.labels.items() if label.kind is LabelKind.COMMAND)
    yard.records.labels[number] = replace(yard.records.labels[number], subject_id="sing")
    yard.scan(number)
    assert "does not know" in yard.message.text
