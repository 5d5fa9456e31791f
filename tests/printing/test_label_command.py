"""`kiosk label` on the demo yard: what is printed, what becomes of labels, the queue, with and without a printer."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
import zxingcpp
from label_checks import by_poppler, picture_of_raster
from printer_programs import NEEDED, LabelPrinterProgram, free_port, missing
from pyzbar.pyzbar import ZBarSymbol, decode

from kiosk.__main__ import main
from kiosk.records import YardRecords


@pytest.fixture
def call(yard: Path, capsys: pytest.CaptureFixture[str]):
    """Return a function that calls `kiosk label` on the yard and gives (exit code, stdout, stderr)."""

    def run(*words: str) -> tuple[int, str, str]:
        code = main(["label", "--shop", str(yard), *words])
        out = capsys.readouterr()
        return code, out.out, out.err

    return run


@pytest.fixture
def numbers(yard: Path) -> list[str]:
    """Return the labels of the yard's bearings."""
    with (yard / "labels.csv").open(newline="", encoding="utf-8") as book:
        return [row["number"] for row in csv.DictReader(book) if row["sheet"] == "shaft-bearing"]


@pytest.fixture
def badge(yard: Path) -> str:
    """Return somebody's badge."""
    with (yard / "labels.csv").open(newline="", encoding="utf-8") as book:
        return next(row["number"] for row in csv.DictReader(book) if row["kind"] == "badge")


def journal(yard: Path) -> YardRecords:
    """Open the yard's records."""
    return YardRecords.open(yard / "kiosk.db", 1)


def test_list_of_parts_is_printed(call, yard: Path, numbers: list[str], tmp_path: Path) -> None:
    """One number a line, remarks and empty lines left out."""
    (tmp_path / "list.txt").write_text(f"# the left ones\n{numbers[0]}\n\n{numbers[1]}\n")
    code, out, _ = call("--list", str(tmp_path / "list.txt"), "--json")
    assert code == 0 and [label["number"] for label in json.loads(out)] == numbers[:2]


def test_unit_on_sheets_for_a_laser_printer(call, yard: Path) -> None:
    """All of a unit's labels on one PDF with cut marks; every one reads."""
    records = journal(yard)
    unit = records.units()[0].name
    records.close()
    code, out, _ = call("--unit", unit, "--sheet", "Letter", "--json")
    labels = json.loads(out)
    assert code == 0 and len({label["file"] for label in labels}) == 1
    page = by_poppler(Path(labels[0]["file"]), 600)
    read = {found.text for found in zxingcpp.read_barcodes(page)}
    assert len(read) == min(27, len(labels)) and read <= {label["number"] for label in labels}


def test_blank_numbers_are_issued_ahead_and_printed(call, yard: Path) -> None:
    """For a busy week: each reads, none belongs to anything."""
    code, out, _ = call("--blank", "3", "--json")
    labels = json.loads(out)
    assert code == 0 and len(labels) == 3
    for label in labels:
        picture = by_poppler(Path(label["file"]), 406)
        assert [found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128])] == [label["number"]]
    records = journal(yard)
    assert all(records.label(label["number"]).subject_id is None for label in labels)
    records.close()


def test_dry_run_issues_and_writes_nothing(call, yard: Path, numbers: list[str]) -> None:
    """The journal does not grow, whatever is asked for."""
    records = journal(yard)
    before = sum(1 for _ in records.entries())
    for words in (["--blank", "5"], [numbers[0]], ["--replace", numbers[0], "--reason", "torn"],
                  ["--retire", numbers[0], "--reason", "torn"], ["--found", numbers[0], "floor"],
                  ["--swap", numbers[0], numbers[1], "--reason", "mixed up"]):
        code, out, _ = call(*words, "--dry-run")
        assert code == 0 and out
    assert sum(1 for _ in records.entries()) == before
    records.close()


def test_replaced_number_is_read_before_it_is_bound(call, yard: Path, numbers: list[str]) -> None:
    """A new number, printed as a page, read, and only then on the part; the old one is retired with the reason."""
    code, out, _ = call("--replace", numbers[0], "--reason", "torn off", "--json")
    new = json.loads(out)[0]["number"]
    records = journal(yard)
    assert code == 0 and records.label(numbers[0]).retired_reason == "torn off"
    assert records.component(records.label(new).subject_id).label == new
    records.close()


def test_swapped_labels_change_places(call, yard: Path, numbers: list[str]) -> None:
    """Two bearings had each other's label."""
    records = journal(yard)
    before = [records.label(number).subject_id for number in numbers[:2]]
    assert call("--swap", *numbers[:2], "--reason", "mixed up")[0] == 0
    assert [records.label(number).subject_id for number in numbers[:2]] == before[::-1]
    records.close()


def test_found_label_says_whose_it_is(call, numbers: list[str], badge: str) -> None:
    """'belongs to …, which is on …'; a badge says that it is one."""
    code, out, _ = call("--found", numbers[0], "wash bay")
    assert code == 0 and "belongs to" in out and "shaft bearing" in out
    assert "label of a badge" in call("--found", badge, "canteen")[1]


def test_label_found_a_second_time_tells_of_the_first(call, numbers: list[str]) -> None:
    """A label that keeps coming off has a reason."""
    call("--found", numbers[0], "wash bay")
    assert "Found before" in call("--found", numbers[0], "floor")[1]


def test_retired_label_says_so_when_it_is_found(call, numbers: list[str]) -> None:
    """Retiring and finding are both on record."""
    assert call("--retire", numbers[0], "--reason", "burnt")[0] == 0
    assert "The label was retired: burnt." in call("--found", numbers[0], "floor")[1]


@pytest.mark.parametrize(("words", "sentence"), [
    (["--replace", "{number}"], "Say why"),
    (["--swap", "{number}", "{number}", "--reason", "x"], "Two different parts"),
    (["--retire", "1234567890", "--reason", "x"], "check digit"),
    (["--queue"], "No label printer is set"),
    (["--again", "{number}", "--by", "Nobody At All"], "Nobody of the crew"),
    (["--again", "{number}"], "Say who looked"),
    (["--cancel", "{number}"], "was not sent to a printer"),
    (["--list", "/nowhere/list.txt"], "cannot be read"),
])
def test_refusals_are_a_sentence_and_exit_code_1(call, numbers: list[str], words: list[str], sentence: str) -> None:
    """Nothing is done by halves."""
    code, _, err = call(*[word.format(number=numbers[0]) for word in words])
    assert code == 1 and sentence in err


@pytest.mark.parametrize("count", ["0", "-1", "201", "many"])
def test_impossible_count_of_blanks_is_usage(call, count: str) -> None:
    """Exit 2."""
    with pytest.raises(SystemExit) as stopped:
        call("--blank", count)
    assert stopped.value.code == 2


# --- with a printer ---


def set_printer(yard: Path, address: str) -> None:
    """Set the shop's printer."""
    with (yard / "kiosk.toml").open("a") as settings:
        settings.write(f'\nprinter = "{address}"\n')


def test_printer_that_is_off_is_told_and_the_label_waits(call, yard: Path, numbers: list[str]) -> None:
    """The command ends at once with the printer's trouble; the queue keeps the label, and it can be cancelled."""
    set_printer(yard, f"ipp://localhost:{free_port()}/ipp/print")
    code, out, _ = call(numbers[0], "--reason", "worn")
    assert code == 0 and "does not answer" in out
    code, out, _ = call(numbers[0])
    assert code == 0 and "not printed" in out and "It waits for the printer." in out
    code, out, _ = call("--queue")
    assert out.count(numbers[0]) == 1
    assert numbers[0] in out and "worn" in out and "It waits for the printer." in out
    assert "was cancelled" in call("--cancel", numbers[0], "--reason", "not needed")[1]
    code, out, _ = call("--queue", "--json")
    assert json.loads(out) == []


@pytest.mark.slow
@pytest.mark.skipif(bool(missing(NEEDED)), reason=f"not installed: {missing(NEEDED)}")
def test_labels_of_the_command_come_out_of_the_printer(call, yard: Path, numbers: list[str], tmp_path: Path) -> None:
    """Two labels, one after the other; a new number is not bound before it was scanned."""
    program = LabelPrinterProgram(tmp_path / "printer")
    program.start()
    try:
        set_printer(yard, program.address)
        code, out, _ = call(*numbers[:2])
        assert code == 0 and out.count("It should be out. Scan it") == 2
        assert len(program.came_out()) == 2
        code, out, _ = call("--replace", numbers[0], "--reason", "torn", "--json")
    finally:
        program.stop()
    assert code == 0 and "it is bound then" in json.loads(out)[0]["state"]
    records = journal(yard)
    assert records.label(numbers[0]).retired_at is None
    records.close()


def test_selfcheck_tells_of_a_printer_that_does_not_answer(yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The printer is one of the things that are tried."""
    set_printer(yard, f"ipp://localhost:{free_port()}/ipp/print")
    assert main(["selfcheck", "--shop", str(yard)]) == 1
    assert "FAILS  printer: The printer at localhost does not answer." in capsys.readouterr().out


@pytest.mark.slow
@pytest.mark.skipif(bool(missing(NEEDED)), reason=f"not installed: {missing(NEEDED)}")
def test_selfcheck_prints_a_test_label_that_reads(yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
                                                  ) -> None:
    """The label that came out reads as the number that the check names; without the option nothing is printed."""
    program = LabelPrinterProgram(tmp_path / "printer")
    program.start()
    try:
        set_printer(yard, program.address)
        main(["selfcheck", "--shop", str(yard)])
        assert program.came_out() == [] and "works  printer: it is ready" in capsys.readouterr().out
        main(["selfcheck", "--shop", str(yard), "--print-label"])
    finally:
        program.stop()
    (came_out,) = program.came_out()
    (read,) = decode(picture_of_raster(came_out), symbols=[ZBarSymbol.CODE128])
    said = capsys.readouterr().out
    assert read.data.decode() in said.replace(" ", "") and "works  printer" in said
