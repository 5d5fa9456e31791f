"""Signing in with badge and PIN through the desk, on real records: who is asked, what is recorded, what is shown."""

from __future__ import annotations

from datetime import timedelta

import pytest
from pin_kiosk import BADGES, Kiosk

from kiosk.entities import Scan, ScanSource
from kiosk.events import PersonLocked, PersonUnlocked, PinSet, PinsPaused, SignedIn, SignedOut
from kiosk.pins import KIOSK_TRIES, LOCKED_S, METHOD, TRIES

PIN, WRONG = "73519482", "73519483"


def who(kiosk: Kiosk) -> str:
    """Return the name on top of the screen."""
    return kiosk.frame.header.person


def choose(kiosk: Kiosk, person: str = "lead") -> None:
    """Sign in for the first time, choosing a PIN."""
    kiosk.badge(person)
    kiosk.pin(PIN)
    kiosk.pin(PIN)


def test_mechanic__badge_alone__is_signed_in(kiosk: Kiosk) -> None:
    """The round stays at one scan and one touch."""
    kiosk.badge("mechanic")
    assert who(kiosk) == "Ada Okoro" and kiosk.frame.pin_pad is None
    assert kiosk.payloads(SignedIn)[-1].proof == "badge"


@pytest.mark.parametrize("person", ["lead", "boss"])
def test_lead_and_supervisor__first_sign_in__choose_a_pin(kiosk: Kiosk, person: str) -> None:
    """No default PIN: whoever has none chooses one, twice, before anything else."""
    kiosk.badge(person)
    assert who(kiosk) == "" and "choose a PIN" in kiosk.frame.pin_pad.hint
    kiosk.pin(PIN)
    assert who(kiosk) == "" and "once more" in kiosk.frame.pin_pad.hint
    kiosk.pin(PIN)
    assert who(kiosk) and kiosk.frame.pin_pad is None
    assert kiosk.payloads(PinSet, SignedIn)[-2:] == [PinSet(person, METHOD), SignedIn("2026-03-30 early",
                                                                                        "badge and PIN")]


def test_first_sign_in__two_different_pins__asks_again(kiosk: Kiosk) -> None:
    """A slip while choosing sets nothing."""
    kiosk.badge("lead")
    kiosk.pin(PIN)
    kiosk.pin(WRONG)
    assert "not the same" in kiosk.frame.pin_pad.hint and not kiosk.vault.is_set("lead")


def test_first_sign_in__weak_pin__is_refused_on_the_pad(kiosk: Kiosk) -> None:
    """The sentence stands on the pad, nobody is signed in."""
    kiosk.badge("lead")
    kiosk.pin("1234")
    kiosk.pin("1234")
    assert "first that anybody tries" in kiosk.frame.pin_pad.hint and who(kiosk) == ""


def test_lead__right_pin__is_signed_in_with_the_proof_on_record(kiosk: Kiosk) -> None:
    """The journal says that badge and PIN were shown."""
    choose(kiosk)
    kiosk.desk.sign_out()
    kiosk.badge("lead")
    assert who(kiosk) == ""
    kiosk.pin(PIN)
    assert who(kiosk) == "Bo Lindqvist"
    assert kiosk.payloads(SignedIn)[-1].proof == "badge and PIN"


def test_wrong_pin__nobody_is_signed_in_and_the_pad_says_how_many_are_left(kiosk: Kiosk) -> None:
    """A wrong PIN says that it is wrong, how long to wait and how many tries are left."""
    choose(kiosk)
    kiosk.desk.sign_out()
    kiosk.badge("lead")
    kiosk.pin(WRONG)
    assert kiosk.frame.pin_pad.hint == "That is not the PIN. Wait 1 second; 4 more tries before it locks."
    assert who(kiosk) == "" and kiosk.frame.pin_pad.typed == ""


def test_five_wrong_pins__lock_is_on_record__and_so_is_its_end(kiosk: Kiosk) -> None:
    """Lock and unlock are events of the kiosk itself."""
    choose(kiosk)
    kiosk.desk.sign_out()
    for _ in range(TRIES):
        kiosk.badge("lead")
        kiosk.now += timedelta(seconds=kiosk.vault.wait_s("lead"))
        kiosk.pin(WRONG)
    assert "locked for 15 minutes" in kiosk.frame.pin_pad.hint
    assert kiosk.payloads(PersonLocked) == [PersonLocked("lead", kiosk.now + timedelta(seconds=LOCKED_S), TRIES)]
    kiosk.wait(seconds=LOCKED_S)
    kiosk.badge("lead")
    kiosk.pin(PIN)
    assert who(kiosk) == "Bo Lindqvist"
    assert kiosk.payloads(PersonUnlocked) == [PersonUnlocked("lead", "the time ran out")]


def test_many_wrong_pins__pause_of_the_kiosk__is_on_record(kiosk: Kiosk) -> None:
    """Wrong PINs of several people together stop all PINs for a while; mechanics still work by badge."""
    for person in ("lead", "boss"):
        choose(kiosk, person)
    kiosk.desk.sign_out()
    for number in range(KIOSK_TRIES):
        person = ("lead", "boss")[number % 2]
        kiosk.badge(person)
        kiosk.now += timedelta(seconds=min(kiosk.vault.wait_s(person), 60))
        kiosk.pin(WRONG)
    assert len(kiosk.payloads(PinsPaused)) == 1
    kiosk.badge("mechanic")
    assert who(kiosk) == "Ada Okoro"


def test_mechanic_at_the_kiosk__stays_signed_in_until_the_pin_is_right(kiosk: Kiosk) -> None:
    """A lead's badge held under the scanner does not throw anybody out."""
    choose(kiosk)
    kiosk.badge("mechanic")
    kiosk.badge("lead")
    assert who(kiosk) == "Ada Okoro"
    kiosk.desk.current.close_pin_pad()
    assert who(kiosk) == "Ada Okoro" and kiosk.frame.pin_pad is None


def test_pad__nobody_types__closes(kiosk: Kiosk) -> None:
    """What was typed does not wait for the next one who comes by."""
    kiosk.badge("lead")
    kiosk.desk.current.pin_key("7")
    kiosk.wait(seconds=61)
    assert kiosk.frame.pin_pad is None


def test_pad__part_scanned_meanwhile__closes_and_opens_the_part(kiosk: Kiosk) -> None:
    """A scan is never swallowed by the pad."""
    kiosk.badge("lead")
    kiosk.badge("mechanic")
    assert kiosk.frame.pin_pad is None and who(kiosk) == "Ada Okoro"


def test_pad__badge_still_before_the_camera__keeps_what_was_typed(kiosk: Kiosk) -> None:
    """The camera reads the same badge again and again."""
    kiosk.badge("lead")
    kiosk.desk.current.pin_key("7")
    kiosk.desk.scan(Scan(BADGES["lead"], ScanSource.CAMERA, kiosk.now))
    assert kiosk.frame.pin_pad.typed == "●"


@pytest.mark.parametrize("text", ["73519482", "7351948273", "735194"])
def test_pad__pin_arrives_as_a_scan__is_not_quoted(kiosk: Kiosk, text: str) -> None:
    """A PIN typed so fast that it looks like a scanner, or printed as bars, is not shown in the message."""
    kiosk.badge("lead")
    kiosk.desk.scan(Scan(text, ScanSource.SCANNER, kiosk.now))
    assert text not in repr(kiosk.shown[-1]) and "typed on the pad" in kiosk.frame.message.text


def test_real_keyboard__types_on_the_pad(kiosk: Kiosk) -> None:
    """Keys of a keyboard go to the pad while it is open."""
    kiosk.badge("lead")
    for key in ("7", "3", "backspace", "5"):
        kiosk.desk.typed(key)
    assert kiosk.frame.pin_pad.typed == "●●"


def test_answer_that_comes_late__signs_nobody_in(shop) -> None:  # type: ignore[no-untyped-def]
    """The pad was closed while the hash was worked out."""
    waiting = []
    kiosk = Kiosk(shop, run_slow=lambda work, done, failed, text="": waiting.append((work, done)))
    kiosk.vault.set("lead", PIN)
    kiosk.badge("lead")
    kiosk.pin(PIN)
    assert kiosk.frame.pin_pad.busy
    kiosk.desk.current.close_pin_pad()
    for work, done in waiting:
        done(work())
    assert who(kiosk) == ""


def test_pin_on_record_but_not_kept_any_more__is_refused(kiosk: Kiosk) -> None:
    """Deleting the file does not let a finder of a badge choose a new PIN."""
    choose(kiosk)
    kiosk.desk.sign_out()
    (kiosk.shop.folder / "pins.json").unlink()
    kiosk.badge("lead")
    assert kiosk.frame.pin_pad is None and who(kiosk) == ""
    assert "not kept at this kiosk any more" in kiosk.frame.message.text


def test_lead__idle__is_signed_out(kiosk: Kiosk) -> None:
    """After the yard's idle time nobody works in a lead's name."""
    choose(kiosk)
    kiosk.wait(seconds=601)
    assert who(kiosk) == "" and kiosk.payloads(SignedOut)[-1] == SignedOut("idle")
