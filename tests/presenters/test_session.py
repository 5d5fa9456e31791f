"""Signing in and out, idle log-out, the clock on screen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk import language
from kiosk.errors import StoreUnavailable
from kiosk.events import SignedIn, SignedOut
from kiosk.presenters.states import ComponentState, FormState, IdleState


def test_badge_signs_in_with_the_shift(yard):
    """A badge goes into the journal with the shift it was scanned in."""
    yard.sign_in()
    assert yard.records.payloads(SignedIn) == [SignedIn("2026-03-02 early")]
    assert yard.state.frame.header.person == "Ana"


def test_second_badge_signs_the_first_person_out(yard):
    """One person is at the kiosk at a time."""
    yard.sign_in("ana")
    yard.sign_in("bo")
    assert [event.person_id for event in yard.records.events] == ["ana", "ana", "bo"]
    assert yard.records.payloads(SignedOut) == [SignedOut("another badge")]


def test_same_badge_again_changes_nothing(yard):
    """Scanning one's badge twice is one sign-in."""
    yard.sign_in()
    yard.sign_in()
    assert len(yard.records.payloads(SignedIn)) == 1


def test_units_follow_the_badge(yard):
    """A person who works in mm sees mm first."""
    yard.sign_in("bo")
    assert yard.desk.session.units == "mm"


def test_idle_person_is_signed_out(yard):
    """After the yard's idle time the next tick signs out and goes home."""
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.clock.move(seconds=599)
    yard.desk.tick()
    assert isinstance(yard.state, ComponentState)
    yard.clock.move(seconds=1)
    yard.desk.tick()
    assert isinstance(yard.state, IdleState)
    assert yard.records.payloads(SignedOut) == [SignedOut("idle")]


def test_touch_keeps_a_person_signed_in(yard):
    """Working is not idling."""
    yard.sign_in()
    yard.clock.move(seconds=500)
    yard.desk.touched()
    yard.clock.move(seconds=500)
    yard.desk.tick()
    assert yard.desk.session.person is not None


def test_idle_log_out_keeps_the_draft(yard):
    """What was typed outlives the log-out; the next person hears who has it in hand, and a lead may take it over."""
    yard.open_job("c-chain", "sag")
    yard.type("3.5")
    yard.clock.move(minutes=11)
    yard.desk.tick()
    yard.sign_in("bo")
    yard.clear("c-chain", "sag", "bo")
    yard.scan(yard.label_of("c-chain"))
    yard.screen.open_job("sag")
    assert "in the hands of Ana since today 06:30" in yard.message.text
    yard.screen.answer("absent")
    assert isinstance(yard.state, FormState)
    assert yard.state.rows[0].typed == "3.5"
    assert "Begun by Ana, today 06:30" in yard.message.text
    assert yard.state.rows[0].unit == "in"
    yard.screen.answer("over")
    assert yard.state.rows[0].typed == ""


def test_clock_moves_on_screen_without_new_queries(yard):
    """A new minute re-frames the same state."""
    before = yard.scan(yard.label_of("c-bearing"))
    yard.clock.move(minutes=1)
    yard.desk.tick()
    assert yard.state.frame.header.clock.endswith("06:31")
    assert yard.state.records is before.records


def test_tick_within_a_minute_shows_nothing_new(yard):
    """Ticks do not redraw for nothing."""
    shown = len(yard.states)
    yard.clock.move(seconds=20)
    yard.desk.tick()
    assert len(yard.states) == shown


def test_sign_out_goes_home(yard):
    """Signing out ends at the idle screen."""
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.sign_out()
    assert isinstance(yard.state, IdleState)
    assert not yard.state.frame.header.is_signed_in


def test_full_disk_does_not_keep_anybody_signed_in(yard):
    """The person leaves even when the journal does not take it; the error goes on to who logs it."""
    yard.sign_in()
    yard.records.refusal = StoreUnavailable("The disk is full.")
    with pytest.raises(StoreUnavailable):
        yard.screen.sign_out()
    assert isinstance(yard.state, IdleState)
    assert not yard.state.frame.header.is_signed_in


def test_language_follows_the_badge(yard):
    """The kiosk speaks the person's language, and the yard's again when they are gone."""
    yard.records.person_list = [replace(person, language="es") for person in yard.records.person_list]
    yard.sign_in("ana")
    spoken = language.current()
    yard.desk.sign_out()
    assert (spoken, language.current()) == ("es", "en")
