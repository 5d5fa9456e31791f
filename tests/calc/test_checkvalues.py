"""Every published or derived check value, put through the public function that answers it.

Each entry of tests/data/checkvalues*.toml finds an adaptor by its `name` in tests/calc/adaptors/topic_NN.py.
An adaptor takes the entry's inputs and gives back its expected fields; it knows names and units, never ids.
"""

from __future__ import annotations

import importlib.util
import math
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from kiosk.errors import KioskError
from labels.errors import LabelError

HERE = Path(__file__).parent
DATA = HERE.parent / "data"

Adaptor = Callable[[dict[str, Any]], dict[str, Any]]

# Entries that no public function answers, each with the reason. Empty is the aim.
UNSERVED: dict[str, str] = {}

# Free text: the meaning counts, not the wording; adaptors bring the meaning into the entry's words.
FREE_TEXT = {"reason", "answer", "error", "interval", "verdict"}


def _documents() -> list[dict[str, Any]]:
    return [tomllib.loads(path.read_text("utf-8")) for path in sorted(DATA.glob("checkvalues*.toml"))]


def _with_dataset(check: dict[str, Any], document: dict[str, Any]) -> dict[str, Any]:
    """Put the columns of a named data set beside the check's other inputs."""
    columns = document.get("data", {}).get(check["inputs"].get("dataset"), {})
    return {**check, "inputs": {**check["inputs"], **columns}}


CHECKS = [_with_dataset(check, document) for document in _documents() for check in document["check"]]


def _load(path: Path) -> dict[str, Adaptor]:
    spec = importlib.util.spec_from_file_location(f"checkvalue_{path.stem}", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return dict(module.ADAPTORS)


def _all_adaptors() -> dict[str, Adaptor]:
    found: dict[str, Adaptor] = {}
    for path in sorted((HERE / "adaptors").glob("topic_*.py")):
        adaptors = _load(path)
        assert not found.keys() & adaptors.keys(), f"{path.name} takes a name that another topic has"
        found |= adaptors
    return found


ADAPTORS = _all_adaptors()


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def _same_number(got: float, wanted: float, tolerance: dict[str, float]) -> bool:
    if not tolerance:
        return got == wanted
    return math.isclose(got, wanted, rel_tol=tolerance.get("rel", 0.0), abs_tol=tolerance.get("abs", 0.0))


def _same(field: str, got: object, wanted: object, tolerance: dict[str, float]) -> bool:
    """Say whether `got` is what the entry expects, within its tolerance."""
    if isinstance(wanted, bool):
        return bool(got) is wanted
    if isinstance(wanted, int | float):
        return isinstance(got, int | float) and _same_number(got, wanted, tolerance)
    if isinstance(wanted, list):
        pairs = list(zip(got, wanted, strict=False)) if isinstance(got, list | tuple) else []
        return len(pairs) == len(wanted) == len(got) and all(  # type: ignore[arg-type]
            _same(field, one, other, tolerance) for one, other in pairs)
    if isinstance(wanted, str) and isinstance(got, str) and field in FREE_TEXT:
        return _folded(got) == _folded(wanted)
    return got == wanted


def _answer(check: dict[str, Any]) -> dict[str, Any]:
    """Ask the adaptor; one of our own refusals is the answer {'error': True}."""
    try:
        return ADAPTORS[check["name"]](check["inputs"])
    except (KioskError, LabelError):
        if "error" not in check["expected"]:
            raise
        return {"error": True}


def _row(check: dict[str, Any]) -> Any:
    return pytest.param(check, id=f"{check['id']}-{check['provenance'].replace(' ', '_')}")


SERVED = [check for check in CHECKS if check["name"] in ADAPTORS and check["id"] not in UNSERVED]


@pytest.mark.parametrize("check", [_row(check) for check in SERVED])
def test_check_value(check: dict[str, Any]) -> None:
    """The public function gives what the entry's source says, within the entry's tolerance."""
    got = _answer(check)
    wrong = {field: (got.get(field, "missing"), wanted) for field, wanted in check["expected"].items()
             if field not in got or not _same(field, got[field], wanted, check["tol"])}
    assert not wrong, f"{check['source']}: got, wanted: {wrong}"


def test_every_check_is_served() -> None:
    """No entry is passed over: it has an adaptor, or stands in UNSERVED with its reason."""
    left = [check["id"] for check in CHECKS if check["name"] not in ADAPTORS and check["id"] not in UNSERVED]
    assert not left, f"{len(left)} of {len(CHECKS)} check values have no adaptor: {', '.join(left)}"


def test_unserved_names_known_ids_and_reasons() -> None:
    """The table of unserved entries holds only ids that exist, each with a reason."""
    known = {check["id"] for check in CHECKS}
    assert all(check_id in known and reason for check_id, reason in UNSERVED.items())


def test_ids_are_unique() -> None:
    """Two entries with one id would hide each other in a report."""
    ids = [check["id"] for check in CHECKS]
    assert len(ids) == len(set(ids))
