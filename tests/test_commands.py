"""The command line on the demo yard: answers, JSON, exit codes, and refusals in a sentence on stderr."""

from __future__ import annotations

import csv
import json
import sqlite3
from pathlib import Path

import pypdf
import pytest

from kiosk.__main__ import COMMANDS, main


@pytest.fixture
def call(yard: Path, capsys: pytest.CaptureFixture[str]):
    """Return a function that calls `kiosk` on the yard and gives (exit code, stdout, stderr)."""

    def run(*words: str) -> tuple[int, str, str]:
        code = main([words[0], "--shop", str(yard), *words[1:]])
        out = capsys.readouterr()
        return code, out.out, out.err

    return run


def number_of(yard: Path, sheet: str) -> str:
    """Return the label of the first part with this sheet."""
    with (yard / "labels.csv").open(newline="", encoding="utf-8") as book:
        return next(row["number"] for row in csv.DictReader(book) if row["sheet"] == sheet)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`--help` on each prints its options and exits 0."""
    with pytest.raises(SystemExit) as stop:
        main([command, "--help"])
    assert stop.value.code == 0
    assert "usage: kiosk" in capsys.readouterr().out


def test_unknown_command_is_usage() -> None:
    """A command that does not exist exits 2."""
    with pytest.raises(SystemExit) as stop:
        main(["brew"])
    assert stop.value.code == 2


def test_no_command_prints_help_and_exits_two(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a command the list of commands is printed."""
    assert main([]) == 2
    assert "verify" in capsys.readouterr().out


def test_folder_without_a_shop_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 1 and a sentence on stderr."""
    assert main(["due", "--shop", str(tmp_path)]) == 1
    assert "There is no shop at" in capsys.readouterr().err


def test_verify_walks_the_chain(call, yard: Path) -> None:
    """A whole chain exits 0 with its head; one byte changed behind the kiosk's back exits 1 and names the entry."""
    code, out, _ = call("verify", "--json")
    assert code == 0 and json.loads(out)["first_bad"] is None
    connection = sqlite3.connect(yard / "kiosk.db")
    for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        connection.execute(f'DROP TRIGGER "{name}"')
    connection.execute("UPDATE journal SET at = '2001-01-01T00:00:00.000000Z' WHERE arrival = 700")
    connection.commit()
    connection.close()
    code, out, _ = call("verify")
    assert code == 1 and "not as it was saved" in out


def test_due_lists_overdue_first(call) -> None:
    """The yard's due list begins with what is overdue; JSON carries the same items."""
    code, out, _ = call("due", "--json", "--within-days", "30")
    items = json.loads(out)
    assert code == 0 and items
    overdue = [item["overdue"] for item in items]
    assert overdue == sorted(overdue, reverse=True)
    code, out, _ = call("due", "--unit", "Unit 99")
    assert code == 1


def test_history_on_screen_paper_and_file(call, yard: Path, tmp_path: Path) -> None:
    """A part's history as text, JSON, PDF and CSV, and its position's."""
    number = number_of(yard, "shaft-bearing")
    code, out, _ = call("history", number, "--json", "--limit", "5")
    records = json.loads(out)
    assert code == 0 and len(records) == 5 and records[0]["at"] >= records[-1]["at"]
    assert call("history", number, "--pdf", str(tmp_path / "h.pdf"), "--csv", str(tmp_path / "h.csv"))[0] == 0
    assert "strokes" in "".join(page.extract_text() for page in pypdf.PdfReader(tmp_path / "h.pdf").pages)
    with (tmp_path / "h.csv").open(newline="", encoding="utf-8-sig") as file:
        assert len(list(csv.DictReader(file))) >= 5
    assert call("history", number, "--position", "--pdf", str(tmp_path / "p.pdf"))[0] == 0


def test_history_of_a_mistyped_label_is_refused(call, yard: Path) -> None:
    """A label that was never issued exits 1 with a sentence."""
    code, _, err = call("history", "no-such-part")
    assert code == 1 and err.startswith("kiosk history: ")


def test_rebuild_leaves_everything_as_it_was(call, yard: Path) -> None:
    """All tables made anew from the journal answer the same."""
    before = call("due", "--json")[1]
    code, out, _ = call("rebuild", "--json")
    assert code == 0 and json.loads(out)["entries"] > 1000
    assert call("due", "--json")[1] == before


def test_export_gives_every_entry_once(call, tmp_path: Path) -> None:
    """JSON Lines, one entry a line, in order; an existing file is not overwritten."""
    file = tmp_path / "journal.jsonl"
    assert call("export", str(file))[0] == 0
    entries = [json.loads(line) for line in file.open(encoding="utf-8")]
    assert [entry["seq"] for entry in entries] == list(range(1, len(entries) + 1))
    code, _, err = call("export", str(file))
    assert code == 1 and "is there already" in err


def test_backup_then_restore(call, yard: Path, tmp_path: Path) -> None:
    """A copy is taken, the records are lost, the copy takes their place; a damaged copy changes nothing."""
    copy = tmp_path / "copy.db"
    assert call("backup", str(copy))[0] == 0
    entries = json.loads(call("verify", "--json")[1])["entries"]
    (yard / "kiosk.db").write_bytes(b"gone")
    code, out, _ = call("restore", str(copy), "--json")
    assert code == 0 and Path(json.loads(out)["old_records"]).read_bytes() == b"gone"
    entries += 1  # that the records were restored is an entry too
    assert json.loads(call("verify", "--json")[1])["entries"] == entries
    copy.write_bytes(copy.read_bytes()[:50_000])
    assert call("restore", str(copy))[0] == 1
    assert json.loads(call("verify", "--json")[1])["entries"] == entries


def test_label_prints_a_page_again(call, yard: Path) -> None:
    """A part's label is printed as PDF; a dry run prints nothing."""
    number = number_of(yard, "shaft-bearing")
    code, out, _ = call("label", number, "--dry-run", "--json")
    assert code == 0 and json.loads(out)[0]["file"] == ""
    code, out, _ = call("label", number, "--json")
    assert code == 0 and Path(json.loads(out)[0]["file"]).read_bytes().startswith(b"%PDF")


def test_selfcheck_tries_everything(call, yard: Path) -> None:
    """All parts work on the demo yard; a broken sheet is named and the exit code says so."""
    code, out, _ = call("selfcheck", "--json")
    assert code == 0 and all(check["works"] for check in json.loads(out))
    next((yard / "sheets").glob("*.toml")).write_text("revision = = 1")
    code, out, _ = call("selfcheck")
    assert code == 1 and "FAILS  service sheets" in out


def test_report_writes_files_and_answers_in_json(call, tmp_path: Path) -> None:
    """A shift report as PDF and CSV; the figures as JSON; a kind without its name is refused with a sentence."""
    pdf, table = tmp_path / "s.pdf", tmp_path / "s.csv"
    code, out, _ = call("report", "shift", "--pdf", str(pdf), "--csv", str(table), "--json")
    answer = json.loads(out)
    assert code == 0 and answer["jobs"] >= 0 and answer["written"] == [str(pdf), str(table)]
    assert pypdf.PdfReader(pdf).pages and table.read_bytes().startswith(b"\xef\xbb\xbfrecord,")
    code, _, err = call("report", "unit")
    assert code == 1 and "Say which" in err


def test_life_tells_failed_and_running_parts(call) -> None:
    """Left and right are groups of their own; an unknown kind is refused."""
    code, out, _ = call("life", "shaft-bearing", "--json")
    (study,) = json.loads(out)
    assert code == 0 and {group["name"] for group in study["groups"]} >= {"all", "left", "right"}
    assert study["groups"][0]["running"] > 0
    code, _, err = call("life", "flux-capacitor")
    assert code == 1 and "no kind of part" in err


def test_command_card_is_issued_once_and_printed(call) -> None:
    """The first call issues a number for each command, the next prints the same; a dry run issues none."""
    from kiosk.presenters.command_card import COMMANDS as CARD

    tried = json.loads(call("label", "--command-cards", "--dry-run", "--json")[1])
    assert len(tried) == len(CARD) and not any(label["number"] or label["file"] for label in tried)
    first = json.loads(call("label", "--command-cards", "--json")[1])
    again = json.loads(call("label", "--command-cards", "--json")[1])
    assert len(first) == len(CARD) and all(Path(label["file"]).is_file() for label in first)
    assert [label["number"] for label in again] == [label["number"] for label in first]
