"""What was turned at the take-ups: as a record keeps it, and as the advice said it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

TURNS_MADE = "turns_made_flats"
"""Key of the record's details under which the flats really turned are kept, {'left': …, 'right': …}, up positive."""


def advised_flats(details: Mapping[str, Any]) -> dict[str, int]:
    """Return what an advice said to turn, flats up positive, {'left': …, 'right': …}; {} if it said nothing."""
    side, flats = details.get("side"), details.get("flats")
    if side not in ("left", "right") or not isinstance(flats, int):
        return {}
    signed = flats if details.get("direction") == "raise" else -flats
    return {"left": signed if side == "left" else 0, "right": signed if side == "right" else 0}
