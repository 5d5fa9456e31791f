"""Sheets in the folder and in the journal after a cut in between, and after somebody edited a file."""

from __future__ import annotations

from kiosk.events import SheetAdopted
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.sheet_folder import settle


def settled(desk: SetUpDesk) -> list[str]:
    """Settle the shop's sheets."""
    return settle(desk.shop.sheets, desk.shop.folder / "sheets", desk.shop.records, desk.pen(None))


def test_first_start__every_sheet_goes_on_record(desk: SetUpDesk) -> None:
    """So that a record of today can be judged by the text of today for ever."""
    assert settled(desk) == []
    assert len(desk.shop.records.adopted_sheets()) == len(desk.shop.sheets.sheets())
    head = desk.shop.records.head()
    settled(desk)
    assert desk.shop.records.head() == head


def test_power_cut_before_the_file__the_journal_s_text_is_written(desk: SetUpDesk) -> None:
    """A revision in the journal that no file has comes into force on the next start."""
    text = desk.shop.sheets.text("scraper").replace("revision = 1", "revision = 2")
    desk.shop.records.append(desk.pen(None).event(SheetAdopted("scraper", 2, text)))
    settled(desk)
    assert desk.shop.sheets.sheet("scraper").revision == 2
    assert (desk.shop.folder / "sheets" / "scraper.toml").read_text(encoding="utf-8") == text


def test_edited_by_hand_without_a_new_revision__is_told(desk: SetUpDesk) -> None:
    """The file stays as it is; somebody must give it the next revision."""
    settled(desk)
    desk.shop.sheets.put(desk.shop.sheets.text("scraper") + "# a word more\n", "scraper.toml")
    assert "still says revision 1" in settled(desk)[0]
