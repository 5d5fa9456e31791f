"""No PIN, hash, salt or pepper anywhere but in its own file: database, log, export, backup, states, error texts."""

from __future__ import annotations

import json
import logging
from datetime import timedelta
from pathlib import Path

import pytest
from pin_kiosk import Kiosk

from kiosk.__main__ import main
from kiosk.pins import TRIES

PIN, WRONG = "73519482", "73519483"


def live_through_everything(kiosk: Kiosk) -> None:
    """Choose a PIN, be wrong until locked, wait, sign in, sign out."""
    kiosk.badge("lead")
    kiosk.pin(PIN)
    kiosk.pin(PIN)
    kiosk.desk.sign_out()
    for _ in range(TRIES + 1):
        kiosk.badge("lead")
        kiosk.pin(WRONG)
        kiosk.now += timedelta(seconds=kiosk.vault.wait_s("lead"))
    kiosk.badge("lead")
    kiosk.pin(PIN)
    kiosk.desk.sign_out()


def secrets_of(folder: Path) -> list[bytes]:
    """Return what nobody else may see, as text and as bytes."""
    kept = json.loads((folder / "pins.json").read_text())["pins"]["lead"]
    pepper = (folder / "pin.pepper").read_bytes()
    texts = [PIN, WRONG, kept["hash"], kept["salt"], pepper.hex()]
    return [*(text.encode() for text in texts), bytes.fromhex(kept["hash"]), bytes.fromhex(kept["salt"]), pepper]


def found_in(content: bytes, secrets: list[bytes]) -> list[bytes]:
    return [secret for secret in secrets if secret in content]


def test_secrets__after_every_step__are_in_their_own_files_only(
    kiosk: Kiosk, tmp_path: Path, caplog: pytest.LogCaptureFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    """Database with its log, backup, export, program log, terminal and every state shown are searched for them."""
    caplog.set_level(logging.DEBUG)
    live_through_everything(kiosk)
    folder = kiosk.shop.folder
    secrets = secrets_of(folder)
    assert main(["export", "--shop", str(folder), str(tmp_path / "journal.jsonl")]) == 0
    assert main(["backup", "--shop", str(folder), str(tmp_path / "copy.db")]) == 0
    own = {"pins.json", "pin.pepper"}
    leaks = {str(path): found_in(path.read_bytes(), secrets) for path in tmp_path.rglob("*")
             if path.is_file() and path.name not in own}
    assert {path: found for path, found in leaks.items() if found} == {}
    assert {"journal.jsonl", "copy.db", "kiosk.db"} <= {Path(path).name for path in leaks}
    assert found_in(caplog.text.encode(), secrets) == []
    assert found_in("".join(capsys.readouterr()).encode(), secrets) == []
    assert found_in(repr(kiosk.shown).encode(), secrets) == []


def test_secrets__file_of_hashes__has_no_pin_and_no_pepper(kiosk: Kiosk) -> None:
    """Each of the two files alone is worth nothing."""
    live_through_everything(kiosk)
    folder = kiosk.shop.folder
    kept, pepper = (folder / "pins.json").read_bytes(), (folder / "pin.pepper").read_bytes()
    assert PIN.encode() not in kept and pepper not in kept and pepper.hex().encode() not in kept
    assert PIN.encode() not in pepper


@pytest.mark.parametrize("damage", ["chmod", "damaged", "gone"])
def test_secrets__errors__quote_none(kiosk: Kiosk, damage: str) -> None:
    """What is said of a file that cannot be used has nothing of it."""
    live_through_everything(kiosk)
    folder = kiosk.shop.folder
    secrets = secrets_of(folder)
    path = folder / "pins.json"
    if damage == "chmod":
        path.chmod(0o644)
    elif damage == "damaged":
        path.write_bytes(path.read_bytes()[:-20])
    else:
        (folder / "pin.pepper").unlink()
    kiosk.badge("lead")
    if kiosk.frame.pin_pad:
        kiosk.pin(PIN)
    shown = repr(kiosk.shown[-1]).encode()
    assert found_in(shown, secrets) == []
    said = kiosk.frame.pin_pad.hint if kiosk.frame.pin_pad else kiosk.frame.message.text
    assert said.endswith(".") and kiosk.frame.header.person == ""


def test_secrets__vault_and_answers__show_none_when_printed(kiosk: Kiosk) -> None:
    """A repr that gets into a log says nothing."""
    live_through_everything(kiosk)
    secrets = secrets_of(kiosk.shop.folder)
    shown = repr(kiosk.vault._read()) + repr(kiosk.vault) + repr(kiosk.desk._gate)
    assert found_in(shown.encode(), secrets) == []
