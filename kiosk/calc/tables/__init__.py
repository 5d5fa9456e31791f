"""Printed tables as TOML files, one subject a file; the first line of each says source, edition and date.

A row keeps its source's rounding and unit. Files are read when first asked for and kept.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

_FOLDER = Path(__file__).parent


@cache
def load(name: str) -> dict[str, Any]:
    """Return the table file `name`.toml of this folder; the caller must not change what it gets.

    Args:
        name: File name without its ending.
    """
    return tomllib.loads((_FOLDER / f"{name}.toml").read_text("utf-8"))
