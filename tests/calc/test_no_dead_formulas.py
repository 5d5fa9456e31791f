"""No dead formulas: every public function of kiosk.calc reaches a screen or a report, a sheet names every computation.

Reads the source: what is called from the presenters, the reports and the study of lives that the reports print, and
from there inside `kiosk/calc`.
"""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.calc.computations import COMPUTATIONS, FIGURES

ROOT = Path(__file__).parents[2]
CALC = ROOT / "kiosk" / "calc"
SCREENS = (ROOT / "kiosk" / "presenters", ROOT / "kiosk" / "reports", ROOT / "kiosk" / "life_study.py")
SHEETS = ROOT / "demo_shop" / "sheets"

Name = tuple[str, str]

# Public functions that no presenter or report reaches, each with the reason.
NOT_SHOWN: dict[str, str] = {
    "legibility.relative_luminance": "holds the screens themselves to account, in the tests of their colours",
    "legibility.contrast_ratio": "holds the screens themselves to account, in the tests of their colours",
    "legibility.pixels_per_inch": "the panel's density is a setting; the desk works it out",
    "legibility.target_size": "holds the screens' touch targets to account",
    "legibility.visual_angle_arcmin": "holds the screens' letters to account",
    "legibility.character_height_mm": "holds the screens' letters to account",
    "meter.total_hours": "a meter is changed once in years, at the desk: kiosk reckon meter-replaced",
    "tolerance.judge_with_factor": "a yard with a guard factor of its own asks at the desk: sheets name a rule",
}


def _imports(tree: ast.Module) -> tuple[dict[str, str], dict[str, Name]]:
    """Return what a file calls modules of kiosk.calc and functions out of them: {alias: module}, {alias: function}."""
    modules: dict[str, str] = {}
    functions: dict[str, Name] = {}
    for node in ast.walk(tree):
        if not isinstance(node, ast.ImportFrom) or node.module is None:
            continue
        for one in node.names:
            if node.module == "kiosk.calc":
                modules[one.asname or one.name] = one.name
            elif node.module.startswith("kiosk.calc."):
                functions[one.asname or one.name] = (node.module.removeprefix("kiosk.calc."), one.name)
    return modules, functions


def _used(node: ast.AST, modules: dict[str, str], functions: dict[str, Name], own: str = "") -> Iterator[Name]:
    """Yield the functions and classes of kiosk.calc that a piece of source names; `own` is the module it stands in."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Attribute) and isinstance(inner.value, ast.Name) and inner.value.id in modules:
            yield modules[inner.value.id], inner.attr
        elif isinstance(inner, ast.Name):
            yield functions.get(inner.id, (own, inner.id))


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def _definitions(path: Path) -> Iterator[tuple[Name, ast.stmt]]:
    for node in _tree(path).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield (path.stem, node.name), node
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            yield from (((path.stem, target.id), node) for target in targets if isinstance(target, ast.Name))


def _graph() -> dict[Name, set[Name]]:
    """Return what each function, class and constant of kiosk.calc uses of the others."""
    return {name: set(_used(node, *_imports(_tree(path)), own=path.stem))
            for path in CALC.glob("*.py") for name, node in _definitions(path)}


def _reached() -> set[Name]:
    graph = _graph()
    files = [path for place in SCREENS for path in (place.rglob("*.py") if place.is_dir() else (place,))]
    waiting = {name for path in files for name in _used(_tree(path), *_imports(_tree(path)))} & graph.keys()
    reached: set[Name] = set()
    while waiting:
        reached |= waiting
        waiting = {name for one in waiting for name in graph[one]} & graph.keys() - reached
    return reached


def _public() -> list[str]:
    skipped = {"guards", "computations", "terms"}
    return sorted(f"{path.stem}.{node.name}" for path in CALC.glob("*.py") if path.stem not in skipped
                  for node in _tree(path).body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"))


def test_every_public_function_reaches_a_screen_or_a_report_or_says_why_not() -> None:
    """A formula that nobody can meet is dead weight that somebody would trust one day."""
    reached = {f"{module}.{name}" for module, name in _reached()}
    dead = [name for name in _public() if name not in reached and name not in NOT_SHOWN]
    assert not dead, f"no presenter or report reaches: {', '.join(dead)}"


def test_the_table_of_exceptions_is_short_and_true() -> None:
    """An exception that is reached by now, or gone, leaves the table."""
    reached = {f"{module}.{name}" for module, name in _reached()}
    assert not [name for name in NOT_SHOWN if name in reached or name not in _public()]
    assert len(NOT_SHOWN) <= 8


def _sheets() -> list[dict[str, object]]:
    return [tomllib.loads(path.read_text("utf-8")) for path in sorted(SHEETS.glob("*.toml"))]


@pytest.mark.parametrize("name", sorted(COMPUTATIONS))
def test_every_computation_is_named_by_a_job_of_the_demo_yard(name: str) -> None:
    """What a sheet may name, a sheet of the demo yard names."""
    jobs = [job for sheet in _sheets() for job in sheet.get("job", [])]  # type: ignore[attr-defined]
    assert name in {job["computation"]["name"] for job in jobs if "computation" in job}


@pytest.mark.parametrize("name", sorted(FIGURES))
def test_every_figure_is_named_by_a_sheet_of_the_demo_yard(name: str) -> None:
    """What a part's page may show, a sheet of the demo yard asks for."""
    assert name in {figure["name"] for sheet in _sheets()
                    for figure in sheet.get("figure", [])}  # type: ignore[attr-defined]
