"""The shelf of a folder: all sheets, or all that is wrong with them."""

from pathlib import Path

import pytest

from kiosk.errors import NotFound, SheetError
from kiosk.sheets import SheetErrors, SheetShelf

SHEET = 'key = "{key}"\ntitle = "{title}"\nrevision = 1\nsource = "yard"\n[[job]]\nkey = "look"\ntitle = "Look"\n' \
        'type = "inspect"\n'


def write(folder: Path, name: str, key: str, title: str = "T", more: str = "") -> None:
    (folder / name).write_text(SHEET.format(key=key, title=title) + more)


def test_every_sheet_of_the_folder_is_there_by_key_and_in_order_of_title(tmp_path: Path) -> None:
    """Other files in the folder are left alone."""
    write(tmp_path, "1.toml", "b", "Beam")
    write(tmp_path, "2.toml", "a", "Axle")
    (tmp_path / "notes.txt").write_text("not a sheet")
    shelf = SheetShelf.load(tmp_path)
    assert [sheet.key for sheet in shelf.sheets()] == ["a", "b"]
    assert shelf.sheet("b").title == "Beam"
    assert shelf.text("b") == SHEET.format(key="b", title="Beam")


def test_every_refused_sheet_of_the_folder_is_named(tmp_path: Path) -> None:
    """One start of the kiosk tells everything that must be mended."""
    write(tmp_path, "1.toml", "a", more="odd = 1\n")
    write(tmp_path, "2.toml", "b")
    (tmp_path / "3.toml").write_text("key =\n")
    with pytest.raises(SheetErrors) as caught:
        SheetShelf.load(tmp_path)
    assert [(error.file, error.line) for error in caught.value.errors] == [("1.toml", 9), ("3.toml", 1)]
    assert "1.toml, line 9" in str(caught.value) and "3.toml, line 1" in caught.value.operator_message


def test_two_files_with_one_key_are_refused(tmp_path: Path) -> None:
    """It would be chance which of them served."""
    write(tmp_path, "1.toml", "a")
    write(tmp_path, "2.toml", "a")
    with pytest.raises(SheetError, match=r"2\.toml, line 1: the sheet 'a' is in another file"):
        SheetShelf.load(tmp_path)


@pytest.mark.parametrize("folder", ["", "absent"])
def test_no_sheets_is_refused(tmp_path: Path, folder: str) -> None:
    """An empty folder, or none."""
    with pytest.raises(SheetError, match="line 1"):
        SheetShelf.load(tmp_path / folder)


def test_unreadable_sheet_is_refused(tmp_path: Path) -> None:
    """A folder that is called like a sheet cannot be read."""
    (tmp_path / "1.toml").mkdir()
    with pytest.raises(SheetError, match="cannot be read"):
        SheetShelf.load(tmp_path)


def test_unknown_sheet_says_so(tmp_path: Path) -> None:
    """A position may name a sheet that was taken off the shelf."""
    write(tmp_path, "1.toml", "a")
    with pytest.raises(NotFound, match="no service sheet 'z'"):
        SheetShelf.load(tmp_path).sheet("z")
