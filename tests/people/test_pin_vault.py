"""PINs as they are kept: what a try costs, waits and locks, the files' modes, and what a thief of a file has."""

from __future__ import annotations

import json
import os
import stat
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from kiosk.errors import ConfigError, NotAllowed
from kiosk.pins import KIOSK_TRIES, LOCKED_S, TRIES, PinVault

START = datetime(2026, 3, 2, 5, 0, tzinfo=UTC)
PIN, WRONG = "7302", "7303"


class Clock:
    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def vault(tmp_path: Path, clock: Clock) -> PinVault:
    return PinVault(tmp_path / "pins.json", tmp_path / "pin.pepper", clock)


def wrong(vault: PinVault, clock: Clock, times: int, person: str = "bo") -> Any:
    """Try a wrong PIN so many times, each as early as it is taken."""
    answer = None
    for _ in range(times):
        clock.now += timedelta(seconds=vault.wait_s(person))
        answer = vault.check(person, WRONG)
    return answer


def test_new_kiosk__has_no_pin_at_all(vault: PinVault) -> None:
    """Nobody has a default PIN, and no PIN is right for somebody who has none."""
    assert not vault.is_set("bo")
    assert not vault.check("bo", "0000").right


def test_check__right_and_wrong__tells_them_apart(vault: PinVault, clock: Clock) -> None:
    """Only the PIN that was set is right, and only for its owner."""
    vault.set("bo", PIN)
    vault.set("cy", "9182736450")
    assert vault.check("bo", PIN).right
    assert not vault.check("bo", "9182736450").right
    assert vault.check("cy", "9182736450").right


@pytest.mark.parametrize("pin", ["", "123", "1234567890123", "12a4", "١٢٣٤", "0000", "1234", "8765", "7890"])
def test_set__not_4_to_12_digits_or_tried_first__is_refused(vault: PinVault, pin: str) -> None:
    """Common practice, no source: runs and repeats are what anybody tries first."""
    with pytest.raises(NotAllowed):
        vault.set("bo", pin)
    assert not vault.is_set("bo")


def test_set__leading_zeros_count(vault: PinVault) -> None:
    """A PIN is digits, not a number."""
    vault.set("bo", "0073")
    assert not vault.check("bo", "73").right


def test_wrong_tries__wait_longer_each_and_lock(vault: PinVault, clock: Clock) -> None:
    """1, 2, 5, 10 s, then a quarter of an hour; the right PIN is not taken meanwhile."""
    vault.set("bo", PIN)
    assert [wrong(vault, clock, 1).wait_s for _ in range(TRIES)] == [1.0, 2.0, 5.0, 10.0, LOCKED_S]
    locked = vault.check("bo", PIN)
    assert not locked.right and not locked.looked_at


def test_wrong_tries__right_one_in_time__starts_anew(vault: PinVault, clock: Clock) -> None:
    """Four slips and then the right PIN leave nothing behind."""
    vault.set("bo", PIN)
    wrong(vault, clock, TRIES - 1)
    clock.now += timedelta(seconds=10)
    assert vault.check("bo", PIN).right
    assert wrong(vault, clock, 1).wait_s == 1.0


def test_lock__time_ran_out__opens_and_says_so(vault: PinVault, clock: Clock) -> None:
    """After the quarter of an hour the right PIN is taken, and the answer tells that there was a lock."""
    vault.set("bo", PIN)
    assert wrong(vault, clock, TRIES).locked_until == clock.now + timedelta(seconds=LOCKED_S)
    clock.now += timedelta(seconds=LOCKED_S)
    answer = vault.check("bo", PIN)
    assert answer.right and answer.was_locked


def test_lock__kiosk_started_again__still_holds(vault: PinVault, clock: Clock, tmp_path: Path) -> None:
    """Tries are in the file before the PIN is looked at: pulling the plug wins nothing."""
    vault.set("bo", PIN)
    wrong(vault, clock, TRIES)
    again = PinVault(tmp_path / "pins.json", tmp_path / "pin.pepper", clock)
    assert again.wait_s("bo") == LOCKED_S


def test_try__plug_pulled_while_hashing__is_counted(vault: PinVault, clock: Clock, monkeypatch: pytest.MonkeyPatch
                                                    ) -> None:
    """A try that never got its answer counts as wrong."""
    vault.set("bo", PIN)

    def pulled(*_: object) -> bool:
        raise KeyboardInterrupt

    monkeypatch.setattr("kiosk.pins._is_right", pulled)
    with pytest.raises(KeyboardInterrupt):
        vault.check("bo", WRONG)
    assert vault.people()["bo"].wrong == 1


def test_lock__clock_set_back_years__waits_no_longer_than_a_lock(vault: PinVault, clock: Clock) -> None:
    """A wrong clock does not lock anybody out for years."""
    vault.set("bo", PIN)
    wrong(vault, clock, TRIES)
    clock.now -= timedelta(days=3650)
    assert vault.wait_s("bo") == LOCKED_S


def test_kiosk__wrong_pins_of_many_people__pause_all(vault: PinVault, clock: Clock) -> None:
    """Trying a few PINs on every badge found slows the kiosk as a whole."""
    people = [f"p{number}" for number in range(KIOSK_TRIES)]
    for person in (*people, "last"):
        vault.set(person, PIN)
    answers = [vault.check(person, WRONG) for person in people]
    assert [answer.paused_until is not None for answer in answers] == [False] * (KIOSK_TRIES - 1) + [True]
    assert not vault.check("last", PIN).looked_at


def test_unlock__by_the_desk__takes_the_pin_again(vault: PinVault, clock: Clock) -> None:
    """Somebody with the right to the machine lets a person in at once."""
    vault.set("bo", PIN)
    wrong(vault, clock, TRIES)
    assert vault.unlock("bo")
    assert vault.check("bo", PIN).right


def test_files__are_for_their_owner_only(vault: PinVault, tmp_path: Path) -> None:
    """Hashes and pepper have mode 0600, whatever the umask."""
    old = os.umask(0)
    try:
        vault.set("bo", PIN)
    finally:
        os.umask(old)
    assert {path.name: stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()} == {
        "pins.json": 0o600, "pin.pepper": 0o600}


@pytest.mark.parametrize("name", ["pins.json", "pin.pepper"])
def test_files__readable_by_others__are_refused(vault: PinVault, tmp_path: Path, name: str) -> None:
    """A file that others could have read is not trusted; the sentence says what to do."""
    vault.set("bo", PIN)
    (tmp_path / name).chmod(0o644)
    with pytest.raises(ConfigError, match="chmod 600"):
        vault.check("bo", PIN)


@pytest.mark.parametrize("content", [b"", b"{", b'{"pins": 3}', b"\xff" * 40])
def test_file__damaged__is_refused_without_quoting_it(vault: PinVault, tmp_path: Path, content: bytes) -> None:
    """Nobody is let in by damage."""
    vault.set("bo", PIN)
    (tmp_path / "pins.json").write_bytes(content)
    with pytest.raises(ConfigError, match="damaged"):
        vault.is_set("bo")


def test_pepper__gone_or_another__no_pin_is_right(vault: PinVault, tmp_path: Path, clock: Clock) -> None:
    """The hashes alone are worth nothing: without the pepper even the right PIN does not fit."""
    vault.set("bo", PIN)
    (tmp_path / "pin.pepper").unlink()
    with pytest.raises(ConfigError, match="pepper"):
        vault.check("bo", PIN)
    other = PinVault(tmp_path / "other.json", tmp_path / "pin.pepper", clock)
    other.set("cy", PIN)
    clock.now += timedelta(seconds=20)
    assert not vault.check("bo", PIN).right


def test_same_pin__of_two_people__is_kept_differently(vault: PinVault, tmp_path: Path) -> None:
    """Each has a salt of its own."""
    vault.set("bo", PIN)
    vault.set("cy", PIN)
    kept = json.loads((tmp_path / "pins.json").read_text())["pins"]
    assert kept["bo"]["hash"] != kept["cy"]["hash"]


@pytest.mark.usefixtures("full_cost")
def test_cost__of_one_try__is_tens_of_milliseconds_and_32_mb(vault: PinVault) -> None:
    """Who steals both files tries 10,000 four-digit PINs in a quarter of an hour or more on one core, longer PINs in
    days; printed so that the page on threats can state it."""
    vault.set("bo", PIN)
    began = time.process_time()
    assert vault.check("bo", PIN).right
    cost_s = time.process_time() - began
    print(f"one try {cost_s * 1000:.0f} ms; all of 4 digits {cost_s * 1e4 / 60:.0f} min, 6 digits "
          f"{cost_s * 1e6 / 3600:.0f} h, 8 digits {cost_s * 1e8 / 86400:.0f} days, on one core")
    assert cost_s > 0.03
