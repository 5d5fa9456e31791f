"""The tables of a set-up as CSV files: which there are, their columns, rows that know their file and line.

`yard.toml` holds the yard's name, `sheets/*.toml` the service sheets; all others are CSV in UTF-8 with a line of column
names. A text that a spreadsheet would take for a formula is written with an apostrophe before it, and read without.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from kiosk.errors import KioskError
from kiosk.language import tr

YARD_FILE, SHEET_FOLDER = "yard.toml", "sheets"
TABLES: dict[str, tuple[str, ...]] = {
    "units": ("id", "name", "design", "label", "description", "hours"),
    "assemblies": ("id", "unit", "name", "design"),
    "positions": ("id", "unit", "assembly", "name", "sheet", "side", "x", "y", "walk_order"),
    "parts": ("id", "unit", "position", "sheet", "description", "label", "installed_at", "installed_hours",
              "properties"),
    "people": ("id", "name", "role", "badge", "units", "language"),
    "labels": ("number", "kind", "belongs_to", "issued_at"),
}
# What a person at a desk may leave out; the rest must be there as columns.
_OPTIONAL = {
    "units": ("id", "label", "description", "hours", "template"),
    "assemblies": (),
    "positions": ("id", "side", "walk_order"),
    "parts": ("id", "sheet", "description", "label", "installed_at", "installed_hours", "properties"),
    "people": ("id", "badge", "units", "language"),
    "labels": ("belongs_to", "issued_at"),
}
LARGEST_FILE_BYTES = 50_000_000
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True)
class Refusal:
    """Why a line is refused."""

    file: str
    line: int
    reason: str

    def __str__(self) -> str:
        return tr("{file}, line {line}: {reason}").format(file=self.file, line=self.line, reason=self.reason)


class SetUpRefused(KioskError):
    """Nothing was brought in; every refusal has its file, line and reason."""

    def __init__(self, refusals: Sequence[Refusal]) -> None:
        self.refusals = tuple(refusals)
        super().__init__("\n".join(map(str, refusals)))


@dataclass(frozen=True)
class Row:
    """One line of a table."""

    values: dict[str, str]
    file: str
    line: int

    def refused(self, reason: str) -> SetUpRefused:
        """Return the refusal of this line."""
        return SetUpRefused([Refusal(self.file, self.line, reason)])


@dataclass
class SetUpFiles:
    """What was found: rows by table, the yard's file and the sheets' texts by file name."""

    rows: dict[str, list[Row]] = field(default_factory=lambda: {table: [] for table in TABLES})
    yard: tuple[str, str] | None = None
    sheets: dict[str, str] = field(default_factory=dict)


def read_set_up(path: Path) -> SetUpFiles:
    """Read the set-up in a folder, or one file of it.

    Raises:
        SetUpRefused: it cannot be read, or holds nothing of a set-up; with every refusal.
    """
    found = SetUpFiles()
    refusals: list[Refusal] = []
    for file in _files(path):
        try:
            _read_file(file, found)
        except SetUpRefused as error:
            refusals += error.refusals
    if refusals:
        raise SetUpRefused(refusals)
    return found


def holds_set_up(folder: Path) -> bool:
    """Return whether a folder holds files of a set-up; False where it cannot be read."""
    try:
        return folder.is_dir() and bool(_known_files(folder))
    except OSError:
        return False


def write_table(path: Path, table: str, rows: Iterable[Sequence[object]]) -> None:
    """Write a table's file."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(TABLES[table])
    writer.writerows([_guarded(value) for value in row] for row in rows)
    path.write_text(text.getvalue(), encoding="utf-8")


def _files(path: Path) -> list[Path]:
    if not path.is_dir():
        return [path]
    files = _known_files(path)
    if not files:
        known = ", ".join([YARD_FILE, *(f"{table}.csv" for table in TABLES), f"{SHEET_FOLDER}/*.toml"])
        raise SetUpRefused([Refusal(str(path), 1, tr("there is nothing of a set-up in this folder; known are {known}")
                                    .format(known=known))])
    return files


def _known_files(folder: Path) -> list[Path]:
    tables = [folder / YARD_FILE, *(folder / f"{table}.csv" for table in TABLES)]
    sheets = sorted((folder / SHEET_FOLDER).glob("*.toml")) if (folder / SHEET_FOLDER).is_dir() else []
    return [file for file in (*tables, *sheets) if file.is_file()]


def _read_file(path: Path, found: SetUpFiles) -> None:
    text = _text(path)
    if path.suffix == ".csv":
        _read_rows(path, text, found)
    elif path.name == YARD_FILE:
        found.yard = (text, path.name)
    elif path.suffix == ".toml":
        found.sheets[path.name] = text
    else:
        raise SetUpRefused([Refusal(path.name, 1, tr("this is neither a table (.csv) nor a sheet (.toml)"))])


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE_BYTES + 1)
    except OSError as error:
        reason = tr("it cannot be read: {why}").format(why=error.strerror or error)
        raise SetUpRefused([Refusal(path.name, 1, reason)]) from error
    if len(content) > LARGEST_FILE_BYTES:
        raise SetUpRefused([Refusal(path.name, 1, tr("it is too large to be a table of a yard"))])
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[:error.start].count(b"\n") + 1
        raise SetUpRefused([Refusal(path.name, line, tr("this is not text in UTF-8; save it as UTF-8"))]) from error


def _read_rows(path: Path, text: str, found: SetUpFiles) -> None:
    table = path.stem
    if table not in TABLES:
        known = ", ".join(f"{name}.csv" for name in TABLES)
        raise SetUpRefused([Refusal(path.name, 1, tr("no table has this name; known are {known}").format(known=known))])
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    refusals, line = [], 1
    columns: list[str] | None = None
    try:
        for cells in reader:
            if columns is None:
                columns = _columns(path.name, table, cells)
            elif any(cell.strip() for cell in cells):
                if len(cells) == len(columns):
                    values = {name: _unguarded(cell.strip()) for name, cell in zip(columns, cells, strict=True)}
                    found.rows[table].append(Row(values, path.name, line))
                else:
                    refusals.append(Refusal(path.name, line, tr("{have} values where the first line names {wanted}")
                                            .format(have=len(cells), wanted=len(columns))))
            line = reader.line_num + 1
    except csv.Error as error:
        refusals.append(Refusal(path.name, line, tr("this line cannot be read: {why}").format(why=error)))
    if columns is None:
        refusals.append(Refusal(path.name, 1, tr("the file is empty; its first line names the columns")))
    if refusals:
        raise SetUpRefused(refusals)


def _columns(file: str, table: str, cells: list[str]) -> list[str]:
    names = [cell.strip() for cell in cells]
    known = (*TABLES[table], *(name for name in _OPTIONAL[table] if name not in TABLES[table]))
    unknown = [name for name in names if name not in known]
    missing = [name for name in TABLES[table] if name not in (*names, *_OPTIONAL[table])]
    if unknown or len(set(names)) < len(names):
        wrong = unknown[0] if unknown else next(name for name in names if names.count(name) > 1)
        reason = tr("the column '{name}' is not known here, or there twice; known are {known}")
        raise SetUpRefused([Refusal(file, 1, reason.format(name=wrong, known=", ".join(known)))])
    if missing:
        raise SetUpRefused([Refusal(file, 1, tr("the column '{name}' is missing").format(name=missing[0]))])
    return names


def _guarded(value: object) -> object:
    is_text = isinstance(value, str) and value
    return f"'{value}" if is_text and str(value).startswith((*_FORMULA_SIGNS, "'")) else value


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and cell[1:].startswith((*_FORMULA_SIGNS, "'")) else cell
