"""The demo yard's set-up taken out and brought into a new, empty shop gives the same tables; nothing is half done."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from kiosk.commands.setup import desk_of
from kiosk.entities import LabelKind
from kiosk.errors import KioskError
from kiosk.events import HoursRead
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.intake import Change
from kiosk.shop import Shop

# What was done is not part of a set-up: parts and labels that are gone stay with their records.
QUERIES = (
    "SELECT * FROM yard ORDER BY 1",
    "SELECT * FROM unit ORDER BY id",
    "SELECT * FROM assembly ORDER BY id",
    "SELECT * FROM position ORDER BY id",
    "SELECT * FROM person ORDER BY id",
    "SELECT id, sheet, position_id, unit_id, description, label, installed_at, installed_hours, properties "
    "FROM component WHERE retired_at IS NULL ORDER BY id",
    "SELECT number, kind, subject_id, serial, issued_at FROM label WHERE retired_at IS NULL ORDER BY number",
    "SELECT sheet, revision, text FROM sheet_text ORDER BY sheet",
)


def tables(shop: Path) -> list[list[tuple[Any, ...]]]:
    """Return the rows of every table of a set-up."""
    connection = sqlite3.connect(shop / "kiosk.db")
    rows = [connection.execute(query).fetchall() for query in QUERIES]
    connection.close()
    return rows


@pytest.fixture
def taken_out(yard: Path, tmp_path: Path) -> Path:
    """Return the folder of the demo yard's set-up."""
    with Shop.open(yard) as shop:
        desk_of(shop).take_out(tmp_path / "out")
    return tmp_path / "out"


def empty_shop(folder: Path) -> Path:
    """Make a shop of the demo's number without records; its one sheet comes from elsewhere."""
    (folder / "sheets").mkdir(parents=True)
    (folder / "kiosk.toml").write_text('kiosk = 1\ntime_zone = "America/New_York"\n', encoding="utf-8")
    (folder / "sheets" / "bolt.toml").write_text(
        'key = "bolt"\ntitle = "Bolt"\nrevision = 1\nsource = "common practice"\n'
        '[[job]]\nkey = "look"\ntitle = "Look"\ntype = "inspect"\n', encoding="utf-8")
    return folder


def test_demo_yard__out_and_in__same_tables(yard: Path, taken_out: Path, tmp_path: Path) -> None:
    """Twelve units with every position, part, label, badge and sheet come through to the last value."""
    new = empty_shop(tmp_path / "new")
    with Shop.open(new) as shop:
        intake = desk_of(shop).look_through(taken_out)
        desk_of(shop).bring_in(intake)
        assert shop.records.verify().first_bad is None and shop.records.tables_unlike_journal() == []
        assert {sheet.key for sheet in shop.sheets.sheets()} > {"shaft-bearing", "cleated-belt"}
    assert tables(new) == tables(yard)


def test_in_again__nothing_changes(yard: Path, taken_out: Path) -> None:
    """Brought into the yard it came from, every line says what is on record already."""
    with Shop.open(yard) as shop:
        before = shop.records.head()
        intake = desk_of(shop).look_through(taken_out)
        desk_of(shop).bring_in(intake)
        assert intake.changes == [] and intake.unchanged > 400
        assert shop.records.head() == before


def test_out_again__same_files(yard: Path, taken_out: Path, tmp_path: Path) -> None:
    """What was brought in is taken out again byte for byte."""
    with Shop.open(empty_shop(tmp_path / "new")) as shop:
        desk_of(shop).bring_in(desk_of(shop).look_through(taken_out))
        desk_of(shop).take_out(tmp_path / "again")
    for path in sorted(taken_out.rglob("*.*")):
        assert (tmp_path / "again" / path.relative_to(taken_out)).read_bytes() == path.read_bytes(), path.name


def test_new_numbers_afterwards__none_twice(taken_out: Path, tmp_path: Path) -> None:
    """A kiosk that took a set-up in goes on behind its own numbers."""
    with Shop.open(empty_shop(tmp_path / "new")) as shop:
        desk_of(shop).bring_in(desk_of(shop).look_through(taken_out))
        taken = set(shop.records.issued_numbers())
        assert not taken & set(shop.press.issue_ahead(LabelKind.COMPONENT, 5))




def test_journal_refuses_one__nothing_is_there(taken_out: Path, tmp_path: Path) -> None:
    """When the last entry is refused, neither table nor sheet file has changed."""
    new = empty_shop(tmp_path / "new")
    with Shop.open(new) as shop:
        desk, head = desk_of(shop), shop.records.head()
        intake = desk.look_through(taken_out)
        unknown = desk.pen(None).event(HoursRead("no-such-unit", 1.0))
        intake.changes.append(Change("units.csv", 99, "hours of a unit that is not there", (unknown,)))
        with pytest.raises(KioskError, match="Nothing was brought in"):
            desk.bring_in(intake)
        assert shop.records.head() == head and shop.records.units() == ()
        assert [path.name for path in (new / "sheets").iterdir()] == ["bolt.toml"]


def test_pin_and_hash_are_in_no_file(desk: SetUpDesk, tmp_path: Path) -> None:
    """A set-up is carried about on sticks; nothing of a PIN goes with it."""
    desk.take_out(tmp_path / "out")
    assert not any("pin" in path.name for path in (tmp_path / "out").rglob("*"))
