"""The built demo shop: a folder the kiosk opens, alive today, with a book of its labels."""

from datetime import datetime, timedelta
from pathlib import Path

from demo_shop.book import read_book
from demo_shop.build import build, build_small
from demo_shop.machine_life import LEFT_FOR_TODAY
from demo_shop.yard import CREW, MACHINES
from kiosk.presenters.due_list import due_of_unit
from kiosk.records import YardRecords
from kiosk.shop import Shop


def head_of(folder: Path) -> str:
    records = YardRecords.open(folder / "kiosk.db", 1)
    try:
        return records.head()
    finally:
        records.close()


def test_same_seed_gives_the_same_journal_to_the_last_hash(tmp_path: Path, now: datetime) -> None:
    """And another seed another one."""
    one, two, other = (build_small(tmp_path / name, now, days=3, seed=seed)
                       for name, seed in (("one", 1), ("two", 1), ("other", 2)))
    assert head_of(one) == head_of(two) != head_of(other)


def test_shop_opens_with_its_machines_crew_and_parts(small_shop: Shop) -> None:
    """Everything the idle screen and the units need."""
    records = small_shop.records
    assert {unit.id for unit in records.units()} == {machine.id for machine in MACHINES}
    assert len(records.people()) == len(CREW)
    for unit in records.units():
        assert len(records.components_of_unit(unit.id)) == len(records.positions(unit.id))


def test_journal_is_sound(small_shop: Shop) -> None:
    """The chain holds from the first entry to the last."""
    assert small_shop.records.verify().first_bad is None


def test_today_shows_work_that_is_due_overdue_and_still_to_come(small_shop: Shop, now: datetime) -> None:
    """A demo without anything to do shows nothing."""
    today = now.date()
    items = [item for unit in small_shop.records.units()
             for item in due_of_unit(small_shop.records, small_shop.sheets, unit.id, today)]
    overdue = [item for item in items if item.overdue]
    due = [item for item in items if not item.overdue and item.due <= today]
    assert 3 <= len(overdue) <= 40
    assert len(due) >= 10
    assert len(items) > len(overdue) + len(due)


def test_first_machines_of_their_kind_are_left_to_be_greased(small_shop: Shop, now: datetime) -> None:
    """Whoever tries the kiosk finds a bearing that may take its strokes now."""
    for unit_id in LEFT_FOR_TODAY:
        last = small_shop.records.last_done(unit_id)
        greased = [done.at for (_, job), done in last.items() if job == "grease"]
        assert greased and max(greased) < now - timedelta(hours=20)


def test_findings_stand_open(small_shop: Shop) -> None:
    """Those told by hand at the least."""
    assert len(small_shop.records.open_findings()) >= 4


def test_book_names_every_label_that_counts(small_shop: Shop, small_folder: Path) -> None:
    """A person, or a test, finds the number to scan."""
    rows = read_book(small_folder)
    kinds = [row["kind"] for row in rows]
    assert (kinds.count("badge"), kinds.count("unit")) == (len(CREW), len(MACHINES))
    for row in rows:
        label = small_shop.records.label(row["number"])
        assert label is not None and label.kind == row["kind"] and label.retired_at is None
    issued = (small_folder / "issued.txt").read_text().split()
    assert set(issued) == set(small_shop.records.issued_numbers()) >= {row["number"] for row in rows}


def test_building_again_takes_the_old_shops_place(tmp_path: Path, now: datetime) -> None:
    """Nothing of the old one is left, and no half-built folder either."""
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "old.txt").write_text("old")
    build(folder, now, days=1)
    assert not (folder / "old.txt").exists()
    assert [path.name for path in tmp_path.iterdir()] == ["shop"]
