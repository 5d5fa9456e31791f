"""`kiosk pin`: set without showing, unlock, list; the PIN is asked for, never an argument."""

from __future__ import annotations

import io
import json

import pytest
from pin_kiosk import Kiosk

from kiosk.__main__ import main
from kiosk.events import PersonUnlocked, PinSet
from kiosk.pins import METHOD, TRIES


@pytest.fixture
def call(kiosk: Kiosk, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):  # type: ignore[no-untyped-def]
    """Return a function that calls `kiosk pin` with lines on its input and gives (exit code, stdout, stderr)."""

    def run(*words: str, lines: str = "") -> tuple[int, str, str]:
        monkeypatch.setattr("sys.stdin", io.StringIO(lines))
        code = main(["pin", "--shop", str(kiosk.shop.folder), *words])
        out = capsys.readouterr()
        return code, out.out, out.err

    return run


def test_set__same_twice__is_kept_and_on_record(kiosk: Kiosk, call) -> None:  # type: ignore[no-untyped-def]
    """The journal says that it was set, by the set-up; the PIN itself is shown nowhere."""
    code, out, err = call("set", "Bo Lindqvist", lines="92837\n92837\n")
    assert (code, err) == (0, "") and "92837" not in out
    assert kiosk.payloads(PinSet) == [PinSet("lead", METHOD)]
    assert kiosk.vault.check("lead", "92837").right


@pytest.mark.parametrize(("name", "lines", "says"), [
    ("bo lindqvist", "92837\n92838\n", "not the same"), ("bo lindqvist", "1234\n1234\n", "first that anybody"),
    ("bo lindqvist", "", "4 to 12 digits"), ("Nobody", "92837\n92837\n", "There is nobody"),
])
def test_set__what_cannot_be__exits_1_with_a_sentence(kiosk: Kiosk, call, name: str, lines: str, says: str) -> None:  # type: ignore[no-untyped-def]
    """Nothing is kept and nothing is on record."""
    code, _, err = call("set", name, lines=lines)
    assert code == 1 and says in err and "92837" not in err
    assert kiosk.payloads(PinSet) == []


def test_unlock__locked_person__is_let_in_and_on_record(kiosk: Kiosk, call) -> None:  # type: ignore[no-untyped-def]
    """The lock ends, and the journal says who ended it."""
    kiosk.vault.set("lead", "92837")
    for _ in range(TRIES):
        kiosk.wait(seconds=kiosk.vault.wait_s("lead"))
        kiosk.vault.check("lead", "11112")
    assert call("unlock", "lead")[1] == "Bo Lindqvist may try again.\n"
    assert kiosk.payloads(PersonUnlocked) == [PersonUnlocked("lead", "unlocked at the desk")]
    assert kiosk.vault.wait_s("lead") == 0


def test_list__as_json__says_who_has_a_pin(kiosk: Kiosk, call) -> None:  # type: ignore[no-untyped-def]
    """One row a person; no row has more than that."""
    kiosk.vault.set("lead", "92837")
    rows = json.loads(call("list", "--json")[1])
    assert [(row["person"], row["pin"]) for row in rows] == [
        ("Ada Okoro", False), ("Bo Lindqvist", True), ("Cy Marek", False)]
