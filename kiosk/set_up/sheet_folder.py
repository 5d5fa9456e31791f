"""The shop's folder of sheets, written so that file and journal say the same even after a power cut.

A new text is written beside the old one and synced; it takes the old one's place only after its revision is in the
journal. `settle` puts right on the next start what was cut off in between, and puts on record what was edited by hand.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol

from kiosk.errors import KioskError
from kiosk.events import Event, JournalEntry, SheetAdopted
from kiosk.language import tr
from kiosk.set_up.pen import Pen
from kiosk.sheets import SheetShelf


class SheetRecords(Protocol):
    """What the journal knows of sheets."""

    def append(self, event: Event) -> JournalEntry: ...
    def adopted_sheets(self) -> dict[str, int]:
        """Return {service sheet: its newest revision that was ever in force}."""
        ...

    def sheet_text(self, sheet: str, revision: int) -> str:
        """Return a sheet's text of one revision."""
        ...


class SheetNotWritten(KioskError):
    """A sheet's file could not be written."""


class SheetFolder:
    """Writes sheets and puts them into force.

    Args:
        folder: The shop's folder of sheets. `shelf`: what the kiosk goes by now.
    """

    def __init__(self, folder: Path, shelf: SheetShelf) -> None:
        self._folder, self._shelf = folder, shelf

    @contextmanager
    def prepared(self, texts: Mapping[str, str]) -> Iterator[None]:
        """Write texts beside their files; they come into force when the `with` block went well, else they are gone.

        Args:
            texts: By key of the sheet; each one was parsed before.

        Raises:
            SheetNotWritten: the folder cannot be written to.
        """
        written: list[tuple[str, Path, Path]] = []
        try:
            for key, text in texts.items():
                path = self._path(key)
                beside = path.with_suffix(".toml.new")
                written.append((key, path, beside))
                _write(beside, text)
            yield
        except OSError as error:
            _remove(written)
            raise SheetNotWritten(tr("The sheet could not be written to {folder}: {why}.").format(
                folder=self._folder, why=error.strerror or error)) from error
        except BaseException:
            _remove(written)
            raise
        for key, path, beside in written:
            self._shelf.put(texts[key], path.name)
            _take_place(beside, path)

    def _path(self, key: str) -> Path:
        name = self._shelf.file_of(key)
        return self._folder / (name or f"{key}.toml")


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        file.write(text.encode("utf-8"))
        file.flush()
        os.fsync(file.fileno())


def _take_place(beside: Path, path: Path) -> None:
    """Put a text in its file's place; where that fails the journal has it, and the next start writes it."""
    try:
        beside.replace(path)
    except OSError:
        return


def _remove(written: list[tuple[str, Path, Path]]) -> None:
    for _, _, beside in written:
        beside.unlink(missing_ok=True)


def settle(shelf: SheetShelf, folder: Path, records: SheetRecords, pen: Pen) -> list[str]:
    """Make folder and journal say the same about the sheets; return what cannot be settled, in sentences.

    A revision that the journal has and the folder has not is written; one that was edited by hand is put on record.

    Raises:
        KioskError: a sheet cannot be written, or the journal does not take it.
    """
    said: list[str] = []
    adopted = records.adopted_sheets()
    have = {sheet.key: sheet.revision for sheet in shelf.sheets()}
    for key, revision in adopted.items():
        if revision > have.get(key, 0):
            with SheetFolder(folder, shelf).prepared({key: records.sheet_text(key, revision)}):
                pass
        elif revision == have[key] and records.sheet_text(key, revision) != shelf.text(key):
            said.append(f"The file of the sheet '{key}' was changed and still says revision {revision}. "
                        "Give it the next revision.")
    for key, revision in have.items():
        if revision > adopted.get(key, 0):
            records.append(pen.event(SheetAdopted(key, revision, shelf.text(key))))
    return said
