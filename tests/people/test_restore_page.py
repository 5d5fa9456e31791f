"""A backup put in the place of the records at the kiosk: what a damaged file leaves, who may, what is lost and kept."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from pin_kiosk import BADGES, MORNING, Kiosk
from small_yard import done, record

from kiosk.entities import Label, LabelKind
from kiosk.errors import StoreUnavailable
from kiosk.events import Event, LabelIssued, RecordsRestored
from kiosk.presenters.restore_page import RehearsedPage, RestorePage
from kiosk.records import YardRecords
from kiosk.records.ids import new_id
from kiosk.restoring import NOTE_LAG, RestoreDesk
from kiosk.shop import Shop
from labels.number import Kind, compose

PIN = "73519482"


@pytest.fixture
def folder(shop: Shop) -> Path:
    """Return a shop with a backup and two saves after it, its supervisor and lead with a PIN, nobody at the kiosk."""
    shop.records.append(done(record(1)))
    shop.keeper.take()
    shop.records.append(done(record(2)))
    number = compose(Kind.COMPONENT, 7, 40).digits
    shop.records.append(Event(new_id(), MORNING, None, LabelIssued(Label(number, LabelKind.COMPONENT, None, MORNING),
                                                                   40)))
    for person in ("boss", "lead"):
        shop.pins.set(person, PIN)
    shop.records.close()
    return shop.folder


@contextmanager
def at_the_kiosk(folder: Path, **how: bool) -> Iterator[tuple[Kiosk, list[bool]]]:
    """Open the kiosk as its window does; the list gets a word when it wants to be opened again."""
    again: list[bool] = []
    with Shop.open(folder, at_window=True, **how) as shop:
        restores = RestoreDesk(shop.records, folder / "kiosk.db", 7, shop.backup_folders, lambda: MORNING,
                               again.append, lambda share: None)
        yield Kiosk(shop, restores=restores), again


def spoil(folder: Path) -> None:
    """Fill the whole file with random bytes, and its log."""
    for path in folder.glob("kiosk.db*"):
        if "head" not in path.name:
            path.write_bytes(os.urandom(path.stat().st_size))


def spoil_header(folder: Path) -> None:
    """Spoil the first page: the rest can be read."""
    with (folder / "kiosk.db").open("r+b") as file:
        file.write(os.urandom(100))


def remove(folder: Path) -> None:
    """Take the file away, the note of how far it came stays."""
    for path in folder.glob("kiosk.db*"):
        if "head" not in path.name:
            path.unlink()


def sign_in(kiosk: Kiosk, person: str) -> None:
    """Come with badge and PIN."""
    kiosk.badge(person)
    if kiosk.frame.pin_pad is not None:
        kiosk.pin(PIN)
    assert kiosk.frame.header.person, kiosk.frame.message


def rehearsed(kiosk: Kiosk) -> RehearsedPage:
    """Come as the supervisor, take the offer and try the newest backup."""
    sign_in(kiosk, "boss")
    assert "Restore them from a backup?" in kiosk.frame.message.text
    kiosk.desk.current.answer("restore")
    page: Any = kiosk.desk.current
    assert isinstance(page, RestorePage)
    page.press(page.state.rows[0].key)
    tried = kiosk.desk.current
    assert isinstance(tried, RehearsedPage), kiosk.frame.message
    return tried


def said(page: RehearsedPage) -> dict[str, str]:
    """Return the titles of the page's rows."""
    assert page.state is not None
    return {row.key: row.title for row in page.state.rows}  # type: ignore[union-attr]


@pytest.mark.parametrize(("damage", "carried", "lost"), [(spoil_header, 2, 0), (spoil, 0, 2), (remove, 0, 2)])
def test_restore__damaged_file__by_badge_and_pin__says_what_is_lost_and_keeps_the_old_file(
    folder: Path, damage: Any, carried: int, lost: int
) -> None:
    """The newest backup and what can be read beyond it take the records' place; who did it is on record."""
    damage(folder)
    before = (folder / "kiosk.db").read_bytes() if (folder / "kiosk.db").exists() else None
    with at_the_kiosk(folder) as (kiosk, again):
        page = rehearsed(kiosk)
        assert said(page)["carried"].endswith(f": {carried}")
        assert said(page)["lost"] == (f"Lost: {lost}" if lost else "Nothing that is known of is lost")
        assert (folder / "kiosk.db").exists() == (before is not None), "a trial changes nothing"
        page.press("restore")
        assert kiosk.frame.message.text == "Put this backup in the place of the records?"
        page.answer("yes")
        assert again == [False], kiosk.frame.message
    with Shop.open(folder) as shop:
        entries = list(shop.records.entries())
        assert shop.records.verify().first_bad is None and shop.records.tables_unlike_journal() == []
        restored = entries[-1].event
        assert isinstance(restored.payload, RecordsRestored) and restored.person_id == "boss"
        assert (restored.payload.carried, restored.payload.lost) == (carried, lost)
        assert len(shop.records.component_history("bearing-left-1")) == 1 + bool(carried)
        # The label with serial 40 is on a part, whether the records remember it or not.
        assert shop.records.next_serial() >= (41 if carried else 4 + lost + NOTE_LAG)
    kept = folder / "kiosk.db.before-restore-1"
    assert (kept.read_bytes() if kept.exists() else None) == before


def test_restore__without_a_backup_on_the_disk__takes_the_second_disks(folder: Path, tmp_path: Path) -> None:
    """The stick has the backup that the kiosk's own disk lost."""
    stick = tmp_path / "stick"
    (folder / "backups").rename(stick)
    (folder / "kiosk.toml").write_text(f'kiosk = 7\nbackup_second = "{stick}"\n')
    spoil(folder)
    with at_the_kiosk(folder) as (kiosk, _):
        assert kiosk.shop.records.yard_name() == "Quay Yard"
        assert said(rehearsed(kiosk))["lost"] == "Lost: 2"


def test_nothing_can_be_read__window_opens_blank__and_says_what_to_do(folder: Path) -> None:
    """Neither file nor backup tells who is a supervisor: no badge counts, nothing is touched."""
    spoil(folder)
    for copy in (folder / "backups").iterdir():
        copy.write_bytes(os.urandom(5000))
    before = {path.name: path.read_bytes() for path in folder.glob("kiosk.db*")}
    with at_the_kiosk(folder) as (kiosk, _):
        assert "nobody's badge is known" in kiosk.shop.way_on and "damaged" in kiosk.shop.trouble
        kiosk.badge("boss")
        assert kiosk.frame.header.person == "" and "never issued" in kiosk.frame.message.text
        assert kiosk.shop.records.units() == ()
    assert {path.name: path.read_bytes() for path in folder.glob("kiosk.db*")} == before


def test_lead__may_try_a_backup_but_not_restore(folder: Path) -> None:
    """A lead sees what would be lost; the rest takes a supervisor."""
    spoil(folder)
    with at_the_kiosk(folder) as (kiosk, again):
        sign_in(kiosk, "lead")
        kiosk.desk.open_page(RestorePage(kiosk.desk))
        page: Any = kiosk.desk.current
        page.press(page.state.rows[0].key)
        page = kiosk.desk.current
        page.press("restore")
        assert "takes a supervisor" in kiosk.frame.message.text and again == []
    assert not list(folder.glob("*.before-restore-*"))


def test_supervisor__who_came_by_badge_alone__is_asked_for_the_pin(folder: Path) -> None:
    """Where a yard asks nobody for a PIN at the sign-in, a found badge alone does not swap the records."""
    (folder / "kiosk.toml").write_text('kiosk = 7\npin_for = "nobody"\n')
    spoil(folder)
    with at_the_kiosk(folder) as (kiosk, again):
        page = rehearsed(kiosk)
        page.press("restore")
        assert kiosk.frame.pin_pad is not None and kiosk.frame.message is None
        kiosk.pin("90817263")
        page.answer("yes")
        assert again == []
        kiosk.now = kiosk.now.replace(minute=45)
        kiosk.pin(PIN)
        assert kiosk.frame.message.text == "Put this backup in the place of the records?"
        page.answer("yes")
        assert again == [False]


def test_supervisor__whose_pin_is_not_kept_here__is_sent_to_the_desk(folder: Path) -> None:
    """While nothing can be saved nobody chooses a PIN: a found badge must not become a supervisor."""
    (folder / "pins.json").unlink()
    spoil(folder)
    with at_the_kiosk(folder) as (kiosk, _):
        kiosk.badge("boss")
        assert kiosk.frame.header.person == "" and "'kiosk restore'" in kiosk.frame.message.text


def test_wrong_pins__while_nothing_can_be_saved__lock_all_the_same(folder: Path) -> None:
    """The tries are counted beside the records."""
    spoil(folder)
    with at_the_kiosk(folder) as (kiosk, _):
        for _ in range(5):
            kiosk.badge("boss")
            kiosk.wait(seconds=kiosk.vault.wait_s("boss"))
            kiosk.pin("90817263")
        assert kiosk.vault.locks()["boss"] is not None and kiosk.frame.header.person == ""


def test_sound_records__are_closed_first__and_then_restored(folder: Path) -> None:
    """Nobody goes on saving into what is about to be replaced: the kiosk starts again, only reading."""
    with at_the_kiosk(folder) as (kiosk, again):
        sign_in(kiosk, "boss")
        kiosk.desk.open_page(RestorePage(kiosk.desk))
        kiosk.desk.current.press("close")  # type: ignore[attr-defined]
        assert again == [True]
    with at_the_kiosk(folder, to_restore=True) as (kiosk, again):
        with pytest.raises(StoreUnavailable):
            kiosk.shop.records.append(done(record(5)))
        page = rehearsed(kiosk)
        assert said(page)["lost"] == "Nothing that is known of is lost"
        page.press("restore")
        page.answer("yes")
        assert again == [False]
    records = YardRecords.open(folder / "kiosk.db", 7)
    assert len(records.component_history("bearing-left-1")) == 2
    records.close()


def test_restore__that_fails__says_why_and_leaves_everything(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full in the middle: a sentence, the button comes back, the records are as they were."""
    spoil(folder)
    before = (folder / "kiosk.db").read_bytes()
    with at_the_kiosk(folder) as (kiosk, again):
        page = rehearsed(kiosk)

        def full(*_: object, **__: object) -> None:
            raise StoreUnavailable("The disk is full; nothing was saved.", kind="full")

        monkeypatch.setattr("kiosk.restoring.restore", full)
        page.press("restore")
        page.answer("yes")
        assert "disk is full" in kiosk.frame.message.text and again == []
        assert next(row for row in page.state.rows if row.key == "restore").enabled  # type: ignore[union-attr]
    assert (folder / "kiosk.db").read_bytes() == before


def test_badge_of_a_mechanic__nothing_can_be_saved__signs_in_to_look(folder: Path) -> None:
    """Histories are still looked at in person; nothing of it is put on record."""
    spoil_header(folder)
    with at_the_kiosk(folder) as (kiosk, _):
        kiosk.badge("mechanic")
        assert kiosk.frame.header.person == "Ada Okoro"
        kiosk.desk.sign_out()
        assert BADGES["mechanic"] and kiosk.frame.header.person == ""


def test_tables__wrong__are_made_anew_at_the_screen_by_a_supervisor(folder: Path) -> None:
    """The way on that the check's sentence names: a lead is refused, a supervisor's touch mends them."""
    with Shop.open(folder) as shop:
        shop.records._store.sql("UPDATE unit SET name = 'Unit 9'")
    with at_the_kiosk(folder) as (kiosk, _):
        for person in ("lead", "boss"):
            sign_in(kiosk, person)
            kiosk.desk.open_page(RestorePage(kiosk.desk))
            kiosk.desk.current.press("tables")  # type: ignore[attr-defined]
            if person == "lead":
                assert "takes a supervisor" in kiosk.frame.message.text
                assert kiosk.shop.records.tables_unlike_journal() == ["unit"]
        assert kiosk.shown[-1].note.startswith("The tables were made anew from")
        assert kiosk.shop.records.tables_unlike_journal() == []
