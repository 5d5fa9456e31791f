"""A supervisor lets somebody in again at the kiosk, and everybody changes their own PIN on the pad."""

from __future__ import annotations

from datetime import timedelta

from pin_kiosk import Kiosk

from kiosk.events import PersonUnlocked, PinSet, SignedIn
from kiosk.pins import METHOD, TRIES
from kiosk.presenters.crew_page import CrewPage

PIN, NEW, WRONG = "73519482", "40962815", "73519483"


def sign_in(kiosk: Kiosk, person: str, pin: str = PIN) -> None:
    """Sign in by badge and PIN; the first time the PIN is chosen."""
    kiosk.badge(person)
    kiosk.pin(pin)
    if kiosk.frame.pin_pad is not None:
        kiosk.pin(pin)


def lock(kiosk: Kiosk, person: str) -> None:
    """Type a wrong PIN until it locks."""
    sign_in(kiosk, person)
    kiosk.desk.sign_out()
    for _ in range(TRIES):
        kiosk.badge(person)
        kiosk.now += timedelta(seconds=kiosk.vault.wait_s(person))
        kiosk.pin(WRONG)
    assert kiosk.vault.locks()[person] is not None


def open_crew(kiosk: Kiosk) -> CrewPage:
    """Open the page as the start screen does."""
    kiosk.desk.current.open_supervisor()
    kiosk.desk.current.press("crew")
    page = kiosk.desk.current
    assert isinstance(page, CrewPage)
    return page


def test_unlock__by_a_supervisor__is_on_record_and_lets_them_in(kiosk: Kiosk) -> None:
    """One touch on who is locked; the journal says in whose name."""
    lock(kiosk, "lead")
    sign_in(kiosk, "boss")
    page = open_crew(kiosk)
    assert [row.key for row in page.state.rows if row.mark.word == "locked"] == ["lead"]
    page.press("lead")
    assert page.state.note == "Bo Lindqvist may try again."
    entry = [entry for entry in kiosk.shop.records.entries() if isinstance(entry.event.payload, PersonUnlocked)][-1]
    assert (entry.event.person_id, entry.event.payload.person_id) == ("boss", "lead")
    kiosk.desk.sign_out()
    sign_in(kiosk, "lead")
    assert kiosk.frame.header.person == "Bo Lindqvist"


def test_unlock__by_a_lead__is_refused_by_the_journal_and_stays_locked(kiosk: Kiosk) -> None:
    """A lead sees who is locked; letting in takes a supervisor."""
    lock(kiosk, "boss")
    sign_in(kiosk, "lead")
    open_crew(kiosk).press("boss")
    assert "takes a supervisor" in kiosk.frame.message.text
    assert kiosk.vault.locks()["boss"] is not None and kiosk.payloads(PersonUnlocked) == []


def test_crew_page__a_mechanic__does_not_get_in(kiosk: Kiosk) -> None:
    """The page is a supervisor's page like the others."""
    kiosk.badge("mechanic")
    kiosk.desk.current.open_supervisor()
    assert "takes a lead or a supervisor" in kiosk.frame.message.text


def test_change_pin__old_one_right__the_new_one_signs_in(kiosk: Kiosk) -> None:
    """Old PIN, new PIN twice; afterwards only the new one is taken, and the journal says that it was set."""
    sign_in(kiosk, "lead")
    kiosk.desk.sign_out()
    kiosk.badge("lead")
    for key in PIN:
        kiosk.desk.current.pin_key(key)
    kiosk.desk.current.change_pin()
    assert kiosk.frame.pin_pad.hint == "Bo Lindqvist: choose the new PIN, 4 to 12 digits"
    assert kiosk.frame.header.person == "" and not kiosk.frame.pin_pad.can_change
    kiosk.pin(NEW)
    kiosk.pin(NEW)
    assert kiosk.frame.header.person == "Bo Lindqvist"
    assert kiosk.payloads(PinSet, SignedIn)[-2:] == [PinSet("lead", METHOD), SignedIn("2026-03-30 early",
                                                                                     "badge and PIN")]
    assert kiosk.vault.check("lead", NEW).right
    assert not kiosk.vault.check("lead", PIN).right


def test_change_pin__old_one_wrong__counts_as_a_wrong_try_and_changes_nothing(kiosk: Kiosk) -> None:
    """Nobody gets at another's PIN by changing it; the next right one signs in as usual."""
    sign_in(kiosk, "lead")
    kiosk.desk.sign_out()
    kiosk.badge("lead")
    for key in WRONG:
        kiosk.desk.current.pin_key(key)
    kiosk.desk.current.change_pin()
    assert "That is not the PIN" in kiosk.frame.pin_pad.hint
    kiosk.now += timedelta(seconds=2)
    kiosk.pin(PIN)
    assert kiosk.frame.header.person == "Bo Lindqvist" and kiosk.frame.pin_pad is None


def test_change_pin__too_short_to_be_one__is_no_try(kiosk: Kiosk) -> None:
    """A slip of the finger on an empty pad costs no try, and the next PIN only signs in."""
    sign_in(kiosk, "lead")
    kiosk.desk.sign_out()
    kiosk.badge("lead")
    kiosk.desk.current.change_pin()
    assert "A PIN has 4 to 12 digits." in kiosk.frame.pin_pad.hint
    kiosk.pin(PIN)
    assert kiosk.frame.header.person == "Bo Lindqvist" and kiosk.frame.pin_pad is None


def test_change_pin__pad_closed_before_the_new_one__keeps_the_old_one(kiosk: Kiosk) -> None:
    """Who turns away half-way has the PIN they had, and is not signed in."""
    sign_in(kiosk, "lead")
    kiosk.desk.sign_out()
    kiosk.badge("lead")
    for key in PIN:
        kiosk.desk.current.pin_key(key)
    kiosk.desk.current.change_pin()
    kiosk.desk.current.close_pin_pad()
    assert kiosk.frame.header.person == ""
    assert kiosk.vault.check("lead", PIN).right
