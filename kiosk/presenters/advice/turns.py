"""What was turned at the take-ups: as a record keeps it, and as the advice said it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

TURNS_MADE = "turns_made_flats"
"""Key of the record's details under which the flats really turned are kept, {'left': …, 'right': …}, up positive."""

CYCLES = "cycles"
"""Key of the record's details under which a session keeps its cycles: what was turned, the run, before and after."""

STORY = "story"
"""Key of the record's details under which a session is told in words, for paper."""


def advised_flats(details: Mapping[str, Any]) -> dict[str, int]:
    """Return what an advice said to turn, flats up positive, {'left': …, 'right': …}; {} if it said nothing."""
    side, flats = details.get("side"), details.get("flats")
    if side not in ("left", "right") or not isinstance(flats, int):
        return {}
    signed = flats if details.get("direction") == "raise" else -flats
    return {"left": signed if side == "left" else 0, "right": signed if side == "right" else 0}


def advised_turning(details: Mapping[str, Any], items: Sequence[str]) -> dict[str, float]:
    """Return what an advice said to turn or move, for the items of a session; 0 where it said nothing.

    Args:
        details: Of the advice.
        items: 'left' and 'right', or the keys of readings that are each set by a mount of their own ('sag|left').

    Returns:
        {item: flats or mm}, above zero in the direction that the sheet calls `plus`.
    """
    flats, down_mm = details.get("flats"), details.get("mount_down_mm")
    if isinstance(down_mm, Mapping):
        moves = {str(key).partition("|")[2]: float(value) for key, value in down_mm.items()}
        return {item: moves.get(item, 0.0) for item in items}
    if isinstance(flats, Mapping):
        return {item: float(flats.get(item, flats.get("both", 0))) for item in items}
    if "side" in details:
        by_side = advised_flats(details)
        return {item: float(by_side.get(item, 0)) for item in items}
    return {item: float(flats or 0) for item in items}
