"""A set-up prepared at a desk: what it changes said line by line, bad lines refused by file, line and reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.entities import LabelKind, Role
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.tables import SetUpRefused
from labels.number import Kind, compose

UNITS = "name,design,hours\nUnit 21 Tern,flight elevator,12.5\n"
ASSEMBLIES = "id,unit,name,design\ntern-main,Unit 21 Tern,Elevator,flight elevator\n"
POSITIONS = ("unit,assembly,name,sheet,side,x,y\n"
             "Unit 21 Tern,Elevator,\"Upper shaft bearing, left\",shaft-bearing,left,0.7,0.7\n"
             "Unit 21 Tern,Elevator,Floor pan,floor-pan,both,0.5,0.3\n")
PARTS = ("unit,position,description,properties\n"
         "Unit 21 Tern,\"Upper shaft bearing, left\",Insert bearing UC208,bearing=UC208; mass_kg=0.45\n")
PEOPLE = "name,role,language\nAna Peña,supervisor,es\nJörg Weiß,mechanic,de\n"


def prepare(folder: Path, **files: str) -> Path:
    """Write tables into a folder."""
    folder.mkdir(exist_ok=True)
    for name, text in files.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def refusals(desk: SetUpDesk, path: Path) -> list[str]:
    """Return why a set-up is refused."""
    with pytest.raises(SetUpRefused) as refused:
        desk.look_through(path)
    return [str(refusal) for refusal in refused.value.refusals]


def test_prepared_at_a_desk__without_ids_or_numbers__is_completed(desk: SetUpDesk, tmp_path: Path) -> None:
    """Names are enough: ids are made of them, label numbers issued, a position found by its name."""
    folder = prepare(tmp_path / "desk", units=UNITS, assemblies=ASSEMBLIES, positions=POSITIONS, parts=PARTS,
                     people=PEOPLE)
    intake = desk.look_through(folder)
    assert [str(change) for change in intake.changes] == [
        "people.csv, line 2: add Ana Peña, supervisor",
        "people.csv, line 3: add Jörg Weiß, mechanic",
        "units.csv, line 2: add Unit 21 Tern, flight elevator",
        "units.csv, line 2: the hour meter of Unit 21 Tern says 12.5 h",
        "assemblies.csv, line 2: add Elevator to Unit 21 Tern",
        "positions.csv, line 2: add Upper shaft bearing, left to Unit 21 Tern",
        "positions.csv, line 3: add Floor pan to Unit 21 Tern",
        "parts.csv, line 2: put Insert bearing UC208 at Upper shaft bearing, left",
    ]
    assert desk.shop.records.units() == ()
    desk.bring_in(intake)
    (unit,) = desk.shop.records.units()
    (part,) = desk.shop.records.components_of_unit(unit.id)
    assert part.properties == {"bearing": "UC208", "mass_kg": 0.45}
    badge = desk.shop.records.label(desk.shop.records.people()[0].badge)
    assert badge is not None and badge.kind is LabelKind.BADGE and badge.subject_id == "crew-ana-pena"
    assert desk.shop.records.label(part.label).subject_id == part.id


def test_unit_from_a_template__in_one_line(desk: SetUpDesk, tmp_path: Path) -> None:
    """A line that names a template brings every position of it, each with its part and label."""
    folder = prepare(tmp_path / "desk", units="name,design,template\nUnit 22,,belt-conveyor\n")
    desk.bring_in(desk.look_through(folder))
    (unit,) = desk.shop.records.units()
    positions = desk.shop.records.positions(unit.id)
    assert len(positions) == len(desk.shop.records.components_of_unit(unit.id)) > 20
    assert unit.design == "belt conveyor"


def test_change_of_a_person__says_what(desk: SetUpDesk, tmp_path: Path) -> None:
    """A role is changed by bringing the table in again; the badge stays."""
    desk.bring_in(desk.look_through(prepare(tmp_path / "desk", people=PEOPLE)))
    intake = desk.look_through(prepare(tmp_path / "desk", people=PEOPLE.replace("mechanic", "lead")))
    assert [change.text for change in intake.changes] == ["change Jörg Weiß: role mechanic → lead"]
    assert intake.unchanged == 1
    desk.bring_in(intake)
    assert {person.name: person.role for person in desk.shop.records.people()}["Jörg Weiß"] is Role.LEAD


def test_another_badge__retires_the_old_one(desk: SetUpDesk, tmp_path: Path) -> None:
    """A new number in the table takes the place of the lost badge."""
    desk.bring_in(desk.look_through(prepare(tmp_path / "desk", people=PEOPLE)))
    old = {person.name: person.badge for person in desk.shop.records.people()}["Jörg Weiß"]
    new = compose(Kind.CREW_BADGE, 9, 4).digits
    desk.bring_in(desk.look_through(prepare(tmp_path / "desk", people=f"name,role,badge\nJörg Weiß,mechanic,{new}\n")))
    assert desk.shop.records.label(old).retired_at is not None
    assert desk.shop.records.label(new).subject_id == desk.shop.records.label(old).subject_id


@pytest.mark.parametrize(("table", "text", "said"), [
    ("people", PEOPLE + "Bo Lind,boss,en\n", "people.csv, line 4: 'role' is 'boss'"),
    ("people", PEOPLE + "Bo Lind,mechanic\n", "people.csv, line 4: 2 values where the first line names 3"),
    ("people", "name,role,badge\nBo,mechanic,123\n", "people.csv, line 2: "),
    ("people", "name,role,badge\nBo,mechanic," + compose(Kind.UNIT, 9, 4).digits + "\n", "not one for a badge"),
    ("people", "name,rank\nBo,mechanic\n", "people.csv, line 1: the column 'rank' is not known"),
    ("people", "name\nBo\n", "people.csv, line 1: the column 'role' is missing"),
    ("people", "", "people.csv, line 1: the file is empty"),
    ("people", 'name,role\n"Bo,mechanic\n', "people.csv, line 2: this line cannot be read"),
    ("units", "name,design,hours\nUnit 1,other,many\n", "units.csv, line 2: 'hours' is 'many', which is no number"),
    ("units", "name,design,hours\nUnit 1,other,nan\n", "units.csv, line 2: 'hours' must be from 0"),
    ("units", "name,design,template\nUnit 1,,rocket\n", "units.csv, line 2: There is no template 'rocket'"),
    ("positions", POSITIONS, "positions.csv, line 2: there is no unit 'Unit 21 Tern'"),
    ("parts", PARTS, "parts.csv, line 2: there is no unit"),
    ("labels", "number,kind\n4000000000,position\n", "labels.csv, line 2: "),
])
def test_bad_line__is_refused__by_file_line_and_reason(table: str, text: str, said: str, desk: SetUpDesk,
                                                       tmp_path: Path) -> None:
    """Each refusal leads to the line at the desk, and nothing is changed."""
    reasons = refusals(desk, prepare(tmp_path / "desk", **{table: text}))
    assert any(said in reason for reason in reasons), reasons
    assert desk.shop.records.people() == () and desk.shop.records.units() == ()


def test_every_bad_line_is_told_at_once(desk: SetUpDesk, tmp_path: Path) -> None:
    """Whoever prepares a yard mends all of it in one go."""
    folder = prepare(tmp_path / "desk", people=PEOPLE.replace("mechanic", "boss"),
                     positions=POSITIONS, units=UNITS, assemblies=ASSEMBLIES, parts=PARTS.replace("left", "middle"))
    assert [reason.partition(":")[0] for reason in refusals(desk, folder)] == [
        "people.csv, line 3", "parts.csv, line 2"]


def test_one_number_on_two_things__is_refused(desk: SetUpDesk, tmp_path: Path) -> None:
    """The second line says where the number stands already."""
    number = compose(Kind.CREW_BADGE, 9, 4).digits
    people = f"name,role,badge\nAna,mechanic,{number}\nBo,mechanic,{number}\n"
    assert refusals(desk, prepare(tmp_path / "desk", people=people)) == [
        f"people.csv, line 3: the label {number} is in people.csv, line 2 already"]


def test_part_on_record__with_other_words__is_refused(desk: SetUpDesk, tmp_path: Path) -> None:
    """What sits on a machine changes by a job with a record, never by a table."""
    tables = {"units": UNITS, "assemblies": ASSEMBLIES, "positions": POSITIONS}
    desk.bring_in(desk.look_through(prepare(tmp_path / "desk", **tables, parts=PARTS)))
    other = PARTS.replace("UC208,bearing", "UC209,bearing")
    assert "changed by the job 'replace'" in refusals(desk, prepare(tmp_path / "desk", parts=other))[0]


def test_sheet_with_the_same_revision__is_refused(desk: SetUpDesk, tmp_path: Path) -> None:
    """A changed sheet needs the next revision, so that old records keep theirs; its line is named."""
    text = desk.shop.sheets.text("shaft-bearing").replace("upper = 65", "upper = 70")
    path = tmp_path / "shaft-bearing.toml"
    path.write_text(text, encoding="utf-8")
    assert "shaft-bearing.toml, line 4: revision 1" in refusals(desk, path)[0]
    path.write_text(text.replace("revision = 1", "revision = 2"), encoding="utf-8")
    desk.bring_in(desk.look_through(path))
    assert desk.shop.sheets.sheet("shaft-bearing").revision == 2
    assert desk.shop.sheets.sheet("shaft-bearing").reading("housing-temperature").upper == 70
    assert desk.shop.records.adopted_sheets() == {"shaft-bearing": 2}
    assert (desk.shop.folder / "sheets" / "shaft-bearing.toml").read_text(encoding="utf-8").count("upper = 70") == 1


def test_text_that_is_no_utf8__names_its_line(desk: SetUpDesk, tmp_path: Path) -> None:
    """A table saved by a spreadsheet in an old character set is refused, not misread."""
    (tmp_path / "people.csv").write_bytes("name,role\nPeña,mechanic\n".encode("latin-1"))
    assert "people.csv, line 2: this is not text in UTF-8" in refusals(desk, tmp_path / "people.csv")[0]


def test_name_like_a_formula__comes_back_as_typed(desk: SetUpDesk, tmp_path: Path) -> None:
    """A spreadsheet must not run it, and the yard gets it back without the apostrophe."""
    desk.bring_in(desk.look_through(prepare(tmp_path / "desk", people="name,role\n=1+1,mechanic\n")))
    desk.take_out(tmp_path / "out")
    assert "'=1+1" in (tmp_path / "out" / "people.csv").read_text(encoding="utf-8")
    assert desk.look_through(tmp_path / "out").changes == []
