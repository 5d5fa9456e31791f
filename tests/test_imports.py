"""Imports point one way: each folder imports only what its row allows. Read from the source, not `sys.modules`."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
KIVY_SIDE = ("kivy", "kiosk.screens", "kiosk.widgets")

# folder: (what of ours it may import besides itself, third-party packages it may import). Longest prefix wins.
ALLOWED: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "kiosk/calc": (("kiosk.errors",), ("numpy", "scipy")),
    "kiosk/presenters": (
        ("kiosk.calc", "kiosk.entities", "kiosk.guided", "kiosk.work_in_hand", "kiosk.events", "kiosk.service_sheet",
         "kiosk.errors", "kiosk.units", "labels.number", "labels.errors"), ()),
    "kiosk/records": (("kiosk.entities", "kiosk.guided", "kiosk.work_in_hand", "kiosk.events", "kiosk.errors"),
                      ("peewee", "playhouse", "msgspec", "rfc8785", "uuid_utils", "psycopg")),
    # a sheet's names of rules, bearings, thickeners and computations are checked against calc's own tables
    "kiosk/sheets": (("kiosk.entities", "kiosk.errors", "kiosk.service_sheet", "kiosk.calc", "kiosk.units"),
                     ("msgspec",)),
    "kiosk/scan": (("kiosk.entities", "kiosk.errors", "labels"), ("cv2", "numpy")),
    "kiosk/screens": (("kiosk.presenters", "kiosk.entities", "kiosk.widgets"), ("kivy",)),
    "kiosk/widgets": (("kiosk.presenters", "kiosk.entities"), ("kivy",)),
    "labels": ((), ("barcode", "PIL", "cv2", "pyzbar", "numpy", "reportlab", "stdnum", "pypdfium2", "zxingcpp")),
}
# What a folder must never import, where its third-party list is left open.
FORBIDDEN: dict[str, tuple[str, ...]] = {
    "kiosk/reports": (*KIVY_SIDE, "peewee", "kiosk.records", "kiosk.presenters"),
}
# Texts that an operator reads are made in every layer of the kiosk.
EVERYWHERE = "kiosk.language"
STANDARD = sys.stdlib_module_names


def modules(folder: str) -> list[Path]:
    """Return the Python files of a folder."""
    return sorted(path for path in (ROOT / folder).rglob("*.py") if "__pycache__" not in path.parts)


def imported(path: Path) -> Iterator[str]:
    """Yield every module that a file imports, wherever in the file."""
    package = list(path.relative_to(ROOT).with_suffix("").parts[:-1])
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            yield from _targets(module, [alias.name for alias in node.names])


def _targets(module: str, names: list[str]) -> list[str]:
    """Return module.name where that is a module of ours, else the module."""
    folder = ROOT / Path(*module.split("."))
    if not folder.is_dir():
        return [module]
    return [f"{module}.{name}" if (folder / f"{name}.py").exists() or (folder / name).is_dir() else module
            for name in names]


def is_under(module: str, prefixes: tuple[str, ...]) -> bool:
    """Say whether a module is one of the prefixes or inside one."""
    return any(module == prefix or module.startswith(prefix + ".") for prefix in prefixes)


def is_allowed(module: str, folder: str) -> bool:
    """Say whether a folder may import a module."""
    ours, others = ALLOWED[folder]
    if module == EVERYWHERE:
        return folder != "labels"
    top = module.partition(".")[0]
    if top in ("kiosk", "labels", "demo_shop", "tests"):
        return is_under(module, (folder.replace("/", "."), *ours))
    return top in STANDARD or top in others


@pytest.mark.parametrize("folder", sorted(ALLOWED))
def test_folder_imports_only_what_its_row_allows(folder):
    """The table of layers holds."""
    wrong = [f"{path.relative_to(ROOT)}: {module}" for path in modules(folder) for module in imported(path)
             if not is_allowed(module, folder)]
    assert modules(folder)
    assert wrong == []


@pytest.mark.parametrize("folder", sorted(FORBIDDEN))
def test_folder_imports_nothing_forbidden(folder):
    """Reports are made without a window and without a database."""
    wrong = [f"{path.relative_to(ROOT)}: {module}" for path in modules(folder) for module in imported(path)
             if is_under(module, FORBIDDEN[folder])]
    assert wrong == []


@pytest.mark.parametrize("folder", ["kiosk/presenters", "kiosk/calc", "kiosk/records", "labels"])
def test_folder_knows_no_window(folder):
    """Nothing below the screens imports Kivy, even inside a function."""
    wrong = [f"{path.relative_to(ROOT)}: {module}" for path in modules(folder) for module in imported(path)
             if is_under(module, KIVY_SIDE)]
    assert wrong == []


def test_presenters_ask_no_clock():
    """The time comes from the injected clock, never from the system."""
    asking = ("datetime.now(", "time.time(", "date.today(")
    wrong = [path.name for path in modules("kiosk/presenters")
             if any(call in path.read_text(encoding="utf-8") for call in asking)]
    assert wrong == []


def test_calc_reads_no_files_but_its_tables():
    """Numbers in, numbers out; only the tables' own module opens files."""
    wrong = [path.name for path in modules("kiosk/calc") if path.parent.name != "tables"
             and any(call in path.read_text(encoding="utf-8") for call in ("open(", "datetime.now(", "import sqlite3"))]
    assert wrong == []
