"""The service sheets in force: every sheet of the shop's folder, checked before the kiosk opens."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from kiosk.errors import NotFound, SheetError
from kiosk.service_sheet import ServiceSheet
from kiosk.sheets.lines import KeyLines
from kiosk.sheets.load import SheetErrors, parse_sheet, read_file


class SheetShelf:
    """The sheets of a folder; answers `presenters.ports.Sheets`.

    Args:
        sheets: By key.
        texts: Each sheet's whole TOML text, by key. `files`: the name of its file.
    """

    def __init__(self, sheets: Mapping[str, ServiceSheet], texts: Mapping[str, str],
                 files: Mapping[str, str] | None = None) -> None:
        self._sheets, self._texts, self._files = dict(sheets), dict(texts), dict(files or {})

    @classmethod
    def load(cls, folder: Path) -> SheetShelf:
        """Return the sheets of all *.toml files in a folder.

        Raises:
            SheetError: the folder has no sheets, or a sheet is refused. `SheetErrors` tells all that is refused.
        """
        sheets: dict[str, ServiceSheet] = {}
        texts: dict[str, str] = {}
        files: dict[str, str] = {}
        errors: list[SheetError] = []
        for path in _files(folder):
            try:
                content = read_file(path)
                sheet = parse_sheet(content, path.name)
                text = content.decode("utf-8-sig")
                if sheet.key in sheets:
                    reason = f"the sheet '{sheet.key}' is in another file of this folder already"
                    raise SheetError(path.name, KeyLines(text).of(("key",)), reason)
                sheets[sheet.key], texts[sheet.key], files[sheet.key] = sheet, text, path.name
            except SheetErrors as several:
                errors += several.errors
            except SheetError as error:
                errors.append(error)
        if errors:
            raise errors[0] if len(errors) == 1 else SheetErrors(errors)
        return cls(sheets, texts, files)

    def sheet(self, key: str) -> ServiceSheet:
        """Return a sheet.

        Raises:
            NotFound: the shop has no such sheet.
        """
        if key not in self._sheets:
            raise NotFound(f"There is no service sheet '{key}' in the shop's folder. Ask the supervisor for it.")
        return self._sheets[key]

    def sheets(self) -> tuple[ServiceSheet, ...]:
        """Return every sheet, by title."""
        return tuple(sorted(self._sheets.values(), key=lambda sheet: sheet.title))

    def text(self, key: str) -> str:
        """Return a sheet's whole TOML text, as it is kept when its revision is adopted.

        Raises:
            NotFound: the shop has no such sheet.
        """
        self.sheet(key)
        return self._texts[key]

    def file_of(self, key: str) -> str:
        """Return the name of a sheet's file, '' for a sheet that has none yet."""
        return self._files.get(key, "")

    def put(self, text: str, file: str) -> ServiceSheet:
        """Put a sheet's new text into force and return what it says.

        Raises:
            SheetError: it is refused; nothing is changed.
        """
        sheet = parse_sheet(text, file)
        self._sheets[sheet.key], self._texts[sheet.key], self._files[sheet.key] = sheet, text, file
        return sheet


def _files(folder: Path) -> list[Path]:
    try:
        files = sorted(path for path in folder.iterdir() if path.suffix == ".toml")
    except OSError as error:
        raise SheetError(str(folder), 1, f"the folder of sheets cannot be read: {error.strerror}") from error
    if not files:
        raise SheetError(str(folder), 1, "there is no service sheet (*.toml) in this folder")
    return files
