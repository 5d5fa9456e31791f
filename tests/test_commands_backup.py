"""Backups, restores, heads and the one window, by command on the demo yard."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pypdf
import pytest

from kiosk.__main__ import main
from kiosk.errors import StoreUnavailable
from kiosk.one_window import only_window
from kiosk.shop import Shop

Call = Callable[..., tuple[int, str, str]]


@pytest.fixture
def call(yard: Path, capsys: pytest.CaptureFixture[str]) -> Call:
    """Return a function that calls `kiosk` on the yard and gives (exit code, stdout, stderr)."""

    def run(*words: str) -> tuple[int, str, str]:
        code = main([words[0], "--shop", str(yard), *words[1:]])
        out = capsys.readouterr()
        return code, out.out, out.err

    return run


def _name_unit_again(yard: Path) -> None:
    """Save one entry more."""
    from kiosk.events import Event, YardNamed
    from kiosk.records.ids import new_id
    from kiosk.shop import utc_now

    with Shop.open(yard) as shop:
        shop.records.append(Event(new_id(), utc_now(), None, YardNamed("Quay Yard")))


def _without_guards(yard: Path, *statements: str) -> None:
    with closing(sqlite3.connect(yard / "kiosk.db")) as connection, connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f'DROP TRIGGER "{name}"')
        for statement in statements:
            connection.execute(statement)


# Backups and restores


def test_backup__without_a_file__goes_into_the_shops_folder(call: Call, yard: Path) -> None:
    """The keeper names it; a second one in the same second gets a name of its own."""
    first = json.loads(call("backup", "--json")[1])
    second = json.loads(call("backup", "--json")[1])
    assert Path(first["path"]).parent == yard / "backups"
    assert first["path"] != second["path"]


def test_backup__second_disk__gets_its_own_or_exit_1(call: Call, yard: Path, tmp_path: Path) -> None:
    """kiosk.toml names a stick: it gets the copy; pulled out, the command says so and exits 1."""
    stick = tmp_path / "stick"
    stick.mkdir()
    toml = yard / "kiosk.toml"
    toml.write_text(f'backup_second = "{stick}"\n' + toml.read_text())
    code, out, _ = call("backup")
    assert code == 0 and "read back and the same" in out and len(list(stick.glob("*.db"))) == 1
    shutil.rmtree(stick)
    code, _, err = call("backup")
    assert code == 1 and "second disk is not there" in err


def test_restore__newest_of_the_folder__with_what_is_newer(call: Call, yard: Path) -> None:
    """Rehearsed first: nothing changes; then the records are whole again although the file was damaged."""
    call("backup")
    _name_unit_again(yard)
    entries = json.loads(call("verify", "--json")[1])["entries"]
    with (yard / "kiosk.db").open("r+b") as file:
        file.write(os.urandom(100))
    assert call("verify")[0] == 1
    code, out, _ = call("restore", "--rehearse")
    assert code == 0 and "1 newer entries would be carried over" in out and "Nothing was changed." in out
    assert call("verify")[0] == 1
    code, out, _ = call("restore")
    assert code == 0 and "1 newer entries are carried over" in out and "No entry that is known of" in out
    # that the records were restored is an entry too
    assert json.loads(call("verify", "--json")[1])["entries"] == entries + 1


def test_restore__no_backup__says_so(call: Call) -> None:
    """Exit 1 and what to do."""
    code, _, err = call("restore")
    assert code == 1 and "Name the file" in err


def test_restore__window_is_open__is_refused(call: Call, yard: Path) -> None:
    """Records are not swapped under a kiosk that has them open."""
    call("backup")
    with only_window(yard):
        code, _, err = call("restore")
        assert code == 1 and "another kiosk window" in err
    assert call("restore")[0] == 0


# One window


def test_window__second_process__is_refused_until_the_first_is_gone(yard: Path) -> None:
    """The lock goes with its process, even a killed one."""
    program = ("import sys, time; sys.path[:0] = sys.argv[2:]\n"
               "from pathlib import Path\nfrom kiosk.one_window import only_window\n"
               "with only_window(Path(sys.argv[1])): print('open', flush=True); time.sleep(60)")
    other = subprocess.Popen([sys.executable, "-c", program, str(yard), *sys.path], stdout=subprocess.PIPE, text=True)
    assert other.stdout is not None and other.stdout.readline() == "open\n"
    with pytest.raises(StoreUnavailable) as error, only_window(yard):
        pass
    assert error.value.kind == "locked"
    other.kill()
    other.wait()
    other.stdout.close()
    with only_window(yard):
        pass


def test_window__no_shop_there__leaves_no_file(tmp_path: Path) -> None:
    """A wrong folder is not littered."""
    with only_window(tmp_path):
        assert list(tmp_path.iterdir()) == []


# Heads written down elsewhere


def test_heads__written_and_held_against__whole(call: Call, yard: Path, tmp_path: Path) -> None:
    """Heads written down yesterday still stand when more was saved since."""
    heads = tmp_path / "heads.json"
    assert call("verify", "--write-heads", str(heads))[0] == 0
    _name_unit_again(yard)
    code, out, _ = call("verify", "--against", str(heads))
    assert code == 0 and "hold" in out


@pytest.mark.parametrize(("statement", "says"), [
    pytest.param("DELETE FROM journal WHERE seq > (SELECT max(seq) - 3 FROM journal)", "were cut off", id="tail-cut"),
    pytest.param("UPDATE journal SET hash = 'f' || substr(hash, 2), previous_hash = previous_hash "
                 "WHERE seq = (SELECT max(seq) FROM journal)", "changed", id="last-changed"),
])
def test_heads__tampered_since__shown(call: Call, yard: Path, tmp_path: Path, statement: str, says: str) -> None:
    """What the chain alone may not show, heads kept elsewhere do."""
    heads = tmp_path / "heads.json"
    call("verify", "--write-heads", str(heads))
    for note in yard.glob("kiosk.db-head-*"):
        note.unlink()
    _without_guards(yard, statement)
    code, out, _ = call("verify", "--against", str(heads))
    assert code == 1 and says in out


def test_heads__whole_chain_written_anew__shown(call: Call, yard: Path, tmp_path: Path) -> None:
    """Somebody who has the file and the program can write a chain that is whole, but not the one on the receipt."""
    from kiosk.records import chain

    heads = tmp_path / "heads.json"
    call("verify", "--write-heads", str(heads))
    for note in yard.glob("kiosk.db-head-*"):
        note.unlink()
    _without_guards(yard)
    with closing(sqlite3.connect(yard / "kiosk.db")) as connection, connection:
        previous = chain.GENESIS
        for row in connection.execute("SELECT kiosk, seq, id, at, kind, person_id, body FROM journal ORDER BY seq"
                                      ).fetchall():
            body = row[6].replace("lithium", "calcium")
            own = chain.link(previous, chain.envelope(kiosk=row[0], seq=row[1], event_id=row[2], at=row[3],
                                                      kind=row[4], person_id=row[5], body=body))
            connection.execute("UPDATE journal SET body = ?, previous_hash = ?, hash = ? WHERE seq = ?",
                               (body, previous, own, row[1]))
            previous = own
    assert json.loads(call("verify", "--json")[1])["first_bad"] is None
    code, out, _ = call("verify", "--against", str(heads))
    assert code == 1 and "not the one that was written down" in out


def test_guards_removed__nothing_else_changed__is_told(call: Call, yard: Path) -> None:
    """Triggers that are gone show that somebody opened the file with another program."""
    _without_guards(yard)
    code, out, _ = call("verify")
    assert code == 1 and "guards" in out


def test_heads__file__is_never_overwritten_and_rubbish_is_refused(call: Call, tmp_path: Path) -> None:
    """A list of heads that was kept is kept; a file that is none is refused in a sentence."""
    file = tmp_path / "heads.json"
    file.write_text("precious")
    code, _, err = call("verify", "--write-heads", str(file))
    assert code == 1 and "there already" in err and file.read_text() == "precious"
    code, _, err = call("verify", "--against", str(file))
    assert code == 1 and "no list of heads" in err
    code, _, err = call("verify", "--against", str(tmp_path / "nowhere.json"))
    assert code == 1 and "cannot be read" in err


def test_receipt__is_a_label_with_the_whole_head(call: Call, yard: Path, tmp_path: Path) -> None:
    """One page of the label's size that says kiosk, last entry, time and all 64 digits, with room to sign."""
    receipt = tmp_path / "receipt.pdf"
    assert call("verify", "--receipt", str(receipt))[0] == 0
    [page] = pypdf.PdfReader(receipt).pages
    width_mm, height_mm = (float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height))
    assert (round(width_mm), round(height_mm)) == (51, 25)
    text = "".join(page.extract_text().split())
    [(kiosk, head)] = json.loads(call("verify", "--json")[1])["heads"].items()
    assert head["hash"] in text
    assert f"entry{head['seq']}" in text and f"kiosk{kiosk}" in text and "signed" in text


def test_heads__typed_from_a_receipt__first_16_digits_are_enough(call: Call, yard: Path) -> None:
    """Nobody types 64 digits; a slip shows."""
    [(kiosk, head)] = json.loads(call("verify", "--json")[1])["heads"].items()
    assert call("verify", "--head", f"{kiosk}:{head['seq']}:{head['hash'][:16]}")[0] == 0
    assert call("verify", "--head", f"{kiosk}:{head['seq']}:{'0' * 16}")[0] == 1
    assert call("verify", "--head", f"{kiosk}:{head['seq']}:{head['hash'][:8]}")[0] == 1
    assert "16" in call("verify", "--head", "rubbish")[2]


def test_history__records_damaged__is_read_from_a_copy_and_said_so(call: Call, yard: Path) -> None:
    """A supervisor still gets histories of a damaged file, with the sentence on stderr; nothing is written to it."""
    [note] = yard.glob("kiosk.db-head-*")
    note.write_bytes(b"000000999999 " + b"a" * 64 + b"\n")
    before = (yard / "kiosk.db").read_bytes()
    code, out, err = call("due", "--json")
    assert code == 0 and json.loads(out) and "Read from a copy: The last" in err
    assert call("backup")[0] == 1
    assert (yard / "kiosk.db").read_bytes() == before
