"""A scanner held for the kiosk alone: on virtual devices of the kernel where it makes any, else the keys alone."""

from __future__ import annotations

import os
import select
import time
from collections.abc import Iterator

import pytest
from virtual_scanner import UINPUT, VirtualScanner

from kiosk.errors import ScannerLost
from kiosk.scan.held_scanner import HeldScanner, ScannerBack, ScannerEvent, ScannerGone, ScannerRead, ScanText
from kiosk.scan.input_device import InputDevice, KeyMove, keyboards

NUMBERS = tuple(f"{number:010d}" for number in range(1_234_567_890, 1_234_568_090))
needs_uinput = pytest.mark.skipif(not os.access(UINPUT, os.W_OK), reason="this kernel makes no virtual input devices")


def strokes(codes: list[int], shift: bool = False) -> list[KeyMove]:
    """Return each key pressed and let go, perhaps under shift."""
    moves = [KeyMove(code, value) for code in codes for value in (1, 0)]
    return [KeyMove(42, 1), *moves, KeyMove(42, 0)] if shift else moves


# --- keys alone ---


def test_digits_and_enter_make_a_text_by_the_kernels_key_codes():
    """KEY_1 is 2, KEY_0 is 11, KEY_ENTER is 28 (linux/input-event-codes.h)."""
    assert ScanText().feed(strokes([2, 11, 10, 28])) == ["109"]


def test_shift_and_number_pad_are_understood():
    """KEY_A 30 under KEY_LEFTSHIFT 42, KEY_KP7 71, KEY_KPENTER 96 (linux/input-event-codes.h)."""
    text = ScanText()
    assert text.feed(strokes([30], shift=True)) == []
    assert text.feed(strokes([30, 71, 96])) == ["Aa7"]


def test_two_scans_in_one_read_stay_two():
    """A fast scanner sends the next before the first was taken."""
    assert ScanText().feed(strokes([2, 28, 3, 28])) == ["1", "2"]


def test_label_without_enter_is_complete_when_nothing_more_comes():
    """A scanner set up without the closing Enter works; half a number is given up."""
    from labels.number import Kind, compose

    number = compose(Kind.COMPONENT, 1, 7).digits
    codes = [11 if digit == "0" else int(digit) + 1 for digit in number]
    text = ScanText()
    text.feed(strokes(codes))
    assert text.quiet() == [number]
    text.feed(strokes(codes[:6]))
    assert text.quiet() == [] and text.feed(strokes([28])) == []


def test_endless_keys_without_enter_fill_no_memory():
    """A key held down by a fallen wrench."""
    text = ScanText()
    text.feed(KeyMove(2, 1) for _ in range(100_000))
    assert len(text.feed(strokes([28]))[0]) < 100


def test_missing_scanner_is_told_once(tmp_path):
    """The operator gets one sentence and not one every two seconds."""
    scanner = HeldScanner("Test scanner", tmp_path)
    scanner.start()
    time.sleep(0.3)
    events = scanner.take_events()
    scanner.stop()
    assert len(events) == 1 and isinstance(events[0], ScannerGone) and "plug" in events[0].message


# --- real devices ---


@pytest.fixture
def plugged() -> Iterator[VirtualScanner]:
    scanner = VirtualScanner()
    yield scanner
    scanner.close()


@pytest.fixture
def held(plugged: VirtualScanner) -> Iterator[HeldScanner]:
    scanner = HeldScanner("Test scanner")
    scanner.start()
    assert wait_for(scanner, 1) == [ScannerBack()]
    yield scanner
    scanner.stop()


def wait_for(scanner: HeldScanner, many: int, seconds: float = 10.0) -> list[ScannerEvent]:
    """Return the next so many events, or those that came in time."""
    events: list[ScannerEvent] = []
    end = time.monotonic() + seconds
    while len(events) < many and time.monotonic() < end:
        events += scanner.take_events()
        time.sleep(0.01)
    return events


@needs_uinput
def test_keyboard_is_found_with_its_name_and_usb_numbers(plugged: VirtualScanner):
    """What the setting names it by."""
    assert ("Test scanner", "1234:5678") in [(name.name, name.usb) for name in keyboards()]


@needs_uinput
def test_two_hundred_scans_arrive_whole_and_nobody_else_hears_them(plugged: VirtualScanner, held: HeldScanner):
    """Every scan is the kiosk's; another reader of the same device gets no key."""
    path = next(name.path for name in keyboards() if name.name == "Test scanner")
    with InputDevice(path) as listener:
        for number in NUMBERS:
            plugged.send(number)
            time.sleep(0.005)
        assert wait_for(held, len(NUMBERS)) == [ScannerRead(number) for number in NUMBERS]
        assert select.select([listener], [], [], 0.2)[0] == []


@needs_uinput
def test_second_hold_is_refused_with_a_sentence(held: HeldScanner):
    """EBUSY of the kernel becomes what to do."""
    path = next(name.path for name in keyboards() if name.name == "Test scanner")
    with InputDevice(path) as second, pytest.raises(ScannerLost, match="Another program"):
        second.hold()


@needs_uinput
def test_scanner_pulled_out_and_put_back_is_held_again():
    """Hot plug: one sentence when it goes, and it works again when it is back."""
    plugged = VirtualScanner()
    scanner = HeldScanner("1234:5678")
    scanner.start()
    assert wait_for(scanner, 1) == [ScannerBack()]
    plugged.close()
    (gone,) = wait_for(scanner, 1)
    assert isinstance(gone, ScannerGone) and "pulled out" in gone.message
    plugged = VirtualScanner()
    assert wait_for(scanner, 1) == [ScannerBack()]
    plugged.send("1234567890")
    assert wait_for(scanner, 1) == [ScannerRead("1234567890")]
    scanner.stop()
    plugged.close()
