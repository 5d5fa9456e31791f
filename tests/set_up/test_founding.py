"""The first run: a folder made, a yard recorded once, one supervisor always there, no PIN by default."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kiosk.__main__ import main
from kiosk.entities import Role
from kiosk.errors import ConfigError, RecordError
from kiosk.presenters.set_up_ports import FirstYard, NewPlace
from kiosk.set_up import founding
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.sheet_folder import settle
from kiosk.set_up.templates import unit_template
from kiosk.shop import Shop

FIRST = FirstYard("Kelp Lane Depot", "Ana Peña", 7, "Europe/Madrid", "mm", "A4", "es")


def test_folder__is_a_shop_that_opens(tmp_path: Path) -> None:
    """kiosk.toml and sheets are there; the choices hold."""
    founding.make_folder(tmp_path / "shop", FIRST)
    with Shop.open(tmp_path / "shop") as shop:
        assert (shop.config.kiosk, shop.config.time_zone, shop.config.page) == (7, "Europe/Madrid", "A4")
        assert len(shop.sheets.sheets()) >= 26


def test_folder_with_something_in_it__is_left_alone(tmp_path: Path) -> None:
    """Nobody's files are mixed with a shop's."""
    (tmp_path / "letter.txt").write_text("Dear yard", encoding="utf-8")
    with pytest.raises(ConfigError, match="not empty"):
        founding.make_folder(tmp_path, FIRST)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_founding__once(desk: SetUpDesk) -> None:
    """The supervisor comes without a PIN of anybody's choosing; a second founding is refused."""
    person = desk.record_founding(FIRST)
    assert person.role is Role.SUPERVISOR and not desk.shop.pins.is_set(person.id)
    assert desk.shop.records.yard_name() == "Kelp Lane Depot"
    with pytest.raises(RecordError, match="yard on record"):
        desk.record_founding(FIRST)
    head = desk.shop.records.head()
    settle(desk.shop.sheets, desk.shop.folder / "sheets", desk.shop.records, desk.pen(None))
    assert desk.shop.records.head() == head


def test_founding__without_a_name__is_refused_whole(desk: SetUpDesk) -> None:
    """Nothing is on record when a name is missing."""
    with pytest.raises(RecordError, match="supervisor's name"):
        desk.record_founding(FirstYard("Kelp Lane Depot", " "))
    assert desk.is_new() and next(iter(desk.shop.records.entries()), None) is None


def test_only_supervisor__stays(desk: SetUpDesk) -> None:
    """Neither retired nor made a mechanic before there is another."""
    boss = desk.record_founding(FIRST)
    with pytest.raises(RecordError, match="only supervisor"):
        desk.retire(boss.id, "left", None)
    other = desk.add_person("Jörg Weiß", Role.SUPERVISOR, boss.id)
    desk.retire(boss.id, "left", other.id)
    label = desk.shop.records.label(boss.badge)
    assert label is not None and label.retired_at is not None


def test_mechanic__may_set_up_nothing(desk: SetUpDesk) -> None:
    """The journal refuses it, whichever page or program asks."""
    desk.record_founding(FIRST)
    hand = desk.add_person("Jörg Weiß", Role.MECHANIC, None).id
    unit = desk.add_unit("empty", "Unit 1", 0.0, None)
    draft = desk.edit_sheet("scraper")
    draft.change(("title",), "Blade")
    for attempt in (lambda: desk.add_unit("flight-elevator", "Unit 2", 0.0, hand),
                    lambda: desk.add_person("Bo Lind", Role.MECHANIC, hand),
                    lambda: desk.add_place(unit, NewPlace("Blade", "scraper"), hand),
                    lambda: desk.new_badge(hand, "lost", hand),
                    lambda: desk.adopt(draft, hand)):
        with pytest.raises(RecordError, match="This takes a"):
            attempt()
    assert desk.shop.sheets.sheet("scraper").revision == 1
    assert sorted(path.suffix for path in (desk.shop.folder / "sheets").iterdir())[-1] == ".toml"


def test_lost_badge__old_number_counts_no_more(desk: SetUpDesk) -> None:
    """The person goes on under another number."""
    boss = desk.record_founding(FIRST)
    new = desk.new_badge(boss.id, "lost", boss.id)
    assert new.badge != boss.badge
    assert desk.shop.records.label(boss.badge).retired_reason == "lost"  # type: ignore[union-attr]
    assert desk.shop.records.person(boss.id).badge == new.badge


def test_position_and_part__by_hand(desk: SetUpDesk) -> None:
    """A unit without a template grows place by place."""
    unit = desk.add_unit("empty", "Unit 1", 12.0, None)
    place = desk.add_place(unit, NewPlace("Blade", "scraper", x=0.2, y=0.8), None)
    desk.put_part(place, "Scraper blade", "width_mm=600", None)
    part = desk.part_at(place)
    assert part is not None and part.properties == {"width_mm": 600} and part.installed_hours == 12.0
    with pytest.raises(RecordError, match="sits at this position already"):
        desk.put_part(place, "Another", "", None)
    with pytest.raises(RecordError, match="Properties are written like"):
        desk.put_part(place, "Another", "wide", None)


def test_command_line__from_nothing_to_labels(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A yard, a unit with its sheet of labels, a person and a changed sheet, each answered as JSON."""
    def ask(*words: str) -> dict[str, object]:
        assert main(["setup", "--shop", str(tmp_path / "shop"), *words, "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    made = ask("new", "--yard", "Kelp Lane", "--supervisor", "Ana Peña", "--kiosk", "4")
    assert made["supervisor"] == "crew-ana-pena"
    made = ask("unit", "Unit 1", "--template", "flight-elevator", "--hours", "120", "--labels")
    assert Path(str(made["labels"])).read_bytes().startswith(b"%PDF")
    assert made["parts"] == len(unit_template("flight-elevator").places)
    assert str(ask("person", "Bo Lind")["badge"]).startswith("3")
    changes = ("--set", "reading/shaft-play/upper_mm=0.5", "--set", "reading/shaft-play/source=our own trial")
    assert ask("sheet", "shaft-bearing", *changes)["revision"] == 2
    assert ask("person", "Bo Lind", "--retire", "left")["retired"] is True
    assert main(["setup", "--shop", str(tmp_path / "shop"), "sheet", "shaft-bearing", "--set", "titel=x"]) == 1
    assert "The sheet has no 'titel'" in capsys.readouterr().err
