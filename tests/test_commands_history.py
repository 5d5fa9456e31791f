"""The supervisor's side by command line: histories of everything, findings, corrections, photos; with --json."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pandas
import pytest

from kiosk.__main__ import main
from kiosk.entities import PhotoOf
from kiosk.events import Event, PhotoAdded
from kiosk.records.ids import new_id
from kiosk.shop import Shop, utc_now

SAMPLE = Path(__file__).parent / "data" / "photo_sample.jpg"


@pytest.fixture
def call(yard: Path, capsys: pytest.CaptureFixture[str]):
    """Return a function that calls `kiosk` on the yard and gives (exit code, stdout, stderr)."""

    def run(*words: str) -> tuple[int, str, str]:
        capsys.readouterr()
        code = main([words[0], "--shop", str(yard), *words[1:]])
        out = capsys.readouterr()
        return code, out.out, out.err

    return run


@pytest.fixture
def ask(call):
    """Return a function that calls with --json and gives the answer."""

    def run(*words: str) -> Any:
        code, out, err = call(*words, "--json")
        assert code == 0, err
        return json.loads(out)

    return run


def _names(yard: Path) -> tuple[str, str, str]:
    """Return a unit's name, a part's id on it, and a supervisor's name."""
    with Shop.open(yard) as shop:
        unit = shop.records.units()[0]
        boss = next(person.name for person in shop.records.people() if person.role == "supervisor")
        return unit.name, shop.records.components_of_unit(unit.id)[0].id, boss


def test_history__of_unit_and_person__holds_only_theirs(ask, yard: Path) -> None:
    """Everything on a unit, and everything one of the crew did, newest first."""
    unit, _, _ = _names(yard)
    records = ask("history", unit, "--unit", "--limit", "40")
    assert len({record["unit_id"] for record in records}) == 1 and len({each["component_id"] for each in records}) > 1
    assert [each["at"] for each in records] == sorted((each["at"] for each in records), reverse=True)
    person = records[0]["person_id"]
    assert {each["person_id"] for each in ask("history", person, "--person")} == {person}


def test_history__filtered__is_what_the_whole_says(ask, yard: Path) -> None:
    """Each filter leaves what a plain look through all records leaves."""
    unit, _, _ = _names(yard)
    everything = ask("history", unit, "--unit", "--limit", "100000")
    some = everything[len(everything) // 2]
    for words, wanted in (
        (("--job", some["job"]), lambda each: each["job"] == some["job"]),
        (("--verdict", "outside"), lambda each: each["verdict"] == "outside"),
        (("--by", some["person_id"]), lambda each: each["person_id"] == some["person_id"]),
        (("--hours-from", str(some["hours"]), "--hours-until", str(some["hours"] + 50)),
         lambda each: some["hours"] <= each["hours"] < some["hours"] + 50),
    ):
        found = ask("history", unit, "--unit", "--limit", "100000", *words)
        assert [each["id"] for each in found] == [each["id"] for each in everything if wanted(each)], words
    day = some["at"][:10]
    days = {each["at"][:10] for each in ask("history", unit, "--unit", "--since", day, "--until", day)}
    assert len(days) <= 2 and days  # a local day touches two days of UTC


def test_history__as_files__loads_in_a_data_frame(call, yard: Path, tmp_path: Path) -> None:
    """CSV and JSON Lines of a unit's history hold the same rows, numbers as numbers."""
    unit, _, _ = _names(yard)
    for kind in ("csv", "jsonl", "pdf"):
        assert call("history", unit, "--unit", f"--{kind}", str(tmp_path / f"h.{kind}"), "--page", "A4")[0] == 0
    frame = pandas.read_csv(tmp_path / "h.csv", encoding="utf-8-sig")
    lines = pandas.read_json(tmp_path / "h.jsonl", lines=True)
    assert list(frame.columns) == list(lines.columns) and len(frame) == len(lines) > 50
    assert pandas.api.types.is_float_dtype(frame["unit_hours"])


def test_history__with_chain__every_record_is_as_saved(ask, yard: Path) -> None:
    """Each record with its place in the journal; entry numbers fall as the records get older."""
    _, part, _ = _names(yard)
    records = ask("history", part, "--chain")
    assert all(each["chain"]["trouble"] == "" and len(each["chain"]["hash"]) == 64 for each in records)


def test_history__of_a_label__tells_its_story(ask, call, yard: Path) -> None:
    """A part's label was issued; one that never was is refused."""
    with Shop.open(yard) as shop:
        number = shop.records.components_of_unit(shop.records.units()[0].id)[0].label
    answer = ask("history", number, "--label")
    assert answer["label"]["number"] == number and answer["moments"][-1]["what"] == "issued"
    assert call("history", "1000000001", "--label")[0] == 1


def test_findings__opened_held_closed_released__by_name_and_reason(ask, call, yard: Path) -> None:
    """From the desk: a finding with how soon, a unit held, both ended with a reason; all of it stands on record."""
    unit, part, boss = _names(yard)
    saved = ask("findings", "--open", "link cracked", "--part", part, "--severity", "before-use", "--by", boss)
    finding = saved["saved"]["finding"]["id"]
    found = [each for each in ask("findings", "--unit", unit)["findings"] if each["id"] == finding]
    assert [each["severity"] for each in found] == ["repair before it goes out"]
    assert call("findings", "--close", finding, "--by", boss)[0] == 1  # no reason
    assert call("findings", "--close", finding, "--reason", "new link")[0] == 1  # nobody's name
    ask("findings", "--close", finding, "--reason", "new link", "--by", boss)
    closed = [each for each in ask("findings", "--part", part, "--all")["findings"] if each["id"] == finding]
    assert closed[0]["closed_reason"] == "new link"
    ask("findings", "--hold", unit, "--reason", "brake", "--by", boss)
    assert [hold["reason"] for hold in ask("findings")["held"]] == ["brake"]
    ask("findings", "--release", unit, "--reason", "brake mended", "--by", boss)
    assert ask("findings")["held"] == []


def test_findings__with_a_pin__asks_for_it(call, yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where this kiosk keeps a PIN of that person, a wrong one saves nothing."""
    unit, _, boss = _names(yard)
    with Shop.open(yard) as shop:
        shop.pins.set(next(person.id for person in shop.records.people() if person.name == boss), "246813")
    words = ("findings", "--hold", unit, "--reason", "brake", "--by", boss)
    monkeypatch.setattr("sys.stdin", io.StringIO("999999\n"))
    code, _, err = call(*words)
    assert code == 1 and "not the PIN" in err
    import time

    time.sleep(1.1)  # the wait after a wrong PIN
    monkeypatch.setattr("sys.stdin", io.StringIO("246813\n"))
    assert call(*words)[0] == 0


def test_correct__strokes_then_annul__both_stay(ask, call, yard: Path) -> None:
    """The replacement holds what was put right; annulling it leaves both in sight; a mechanic may not."""
    unit, _, boss = _names(yard)
    old = next(each for each in ask("history", unit, "--unit", "--limit", "500") if each["strokes"])
    with Shop.open(yard) as shop:
        mechanic = next(person.name for person in shop.records.people() if person.role == "mechanic")
    words = ("correct", old["id"], "--strokes", str(old["strokes"] + 1), "--reason", "miscounted")
    assert call(*words, "--by", mechanic)[0] == 1
    new = ask(*words, "--by", boss)["replacement"]
    ask("correct", new, "--annul", "--reason", "not done", "--by", boss)
    both = {each["id"]: each for each in ask("history", old["component_id"], "--limit", "5000")}
    assert both[new]["strokes"] == old["strokes"] + 1 and both[new]["correction"]["replacement_id"] is None
    assert both[old["id"]]["correction"]["reason"] == "miscounted"


def test_photos__listed_copied_backed_up_and_brought_back(ask, call, yard: Path, tmp_path: Path) -> None:
    """A photo on record is copied out; after a backup, one that was lost comes back from there."""
    with Shop.open(yard) as shop:
        record = shop.records.unit_history(shop.records.units()[0].id, limit=1)[0]
        photo = shop.photos.keep(SAMPLE.read_bytes(), 800, 450)
        shop.records.append(Event(new_id(), utc_now(), record.person_id, PhotoAdded(PhotoOf.RECORD, record.id, photo)))
        place = shop.photos.place(photo.sha256)
    assert [each["trouble"] for each in ask("photos")["photos"]] == [""]
    assert ask("photos", "--to", str(tmp_path / "out"))["copied"] == 1
    assert ask("history", record.component_id)[0]["photos"] == [photo.sha256]
    assert call("backup")[0] == 0
    place.unlink()
    assert call("photos")[0] == 1
    assert ask("photos", "--bring-back")["copied"] == 1
    assert place.read_bytes() == SAMPLE.read_bytes()


def test_due__by_span__each_job_once(ask) -> None:
    """Overdue, this shift and this week share no job, and overdue ones are overdue."""
    spans = {span: ask("due", "--span", span) for span in ("overdue", "shift", "week")}
    keys = [(item["component_id"], item["job"]) for items in spans.values() for item in items]
    assert len(keys) == len(set(keys)) and spans["week"]
    assert all(item["overdue"] for item in spans["overdue"])
    assert not any(item["overdue"] for item in (*spans["shift"], *spans["week"]))
