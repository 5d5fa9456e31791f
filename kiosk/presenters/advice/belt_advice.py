"""Advice on the height of a cleated belt over its pan; where it runs is in `tracking_advice`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc import belt
from kiosk.calc.takeup import FLATS_PER_TURN, in_turns_and_flats
from kiosk.entities import Side
from kiosk.language import N_, tr
from kiosk.presenters.advice.core import (
    CHECK,
    DO,
    STOP,
    WHY,
    Advice,
    AdviceContext,
    Readings,
    line,
    mean,
    nothing_yet,
    values,
)

SOURCE = (N_("A cleat that touches the pan is lifted by raising both take-ups evenly: common practice, no source. "
             "Travel by trigonometry."))

HEIGHT = "cleat-height"


def height_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return how far both take-ups go up to bring the cleats to their height over the pan."""
    heights = values(readings, HEIGHT)
    if not heights:
        return nothing_yet(tr("Measure from the cleat's edge to the pan, left and right."))
    left = heights.get(Side.LEFT, mean(heights))
    right = heights.get(Side.RIGHT, mean(heights))
    target_mm, pitch_mm = float(parameters["target_mm"]), float(parameters["takeup_thread_pitch_mm"])
    found = belt.takeup_travel_for_cleat_height(left, right, target_mm, pitch_mm,
                                                float(parameters.get("takeup_angle_degrees", 90.0)))
    flats = round(found.travel_mm / pitch_mm * FLATS_PER_TURN)
    lines = [line(DO, _evenly(flats)),
             line(WHY, tr("Height now {height_mm}, wanted {target_mm}; both take-ups travel {travel_mm}.").format(
                           height_mm=context.length(found.height_mm), target_mm=context.length(target_mm),
                           travel_mm=context.length(abs(found.travel_mm))))]
    if min(left, right) <= 0:
        lines.insert(0, line(STOP, tr("A cleat touches the pan: raise the belt before it runs again.")))
    if flats:
        lines.append(line(CHECK, tr("Where the belt sags it rises faster than this: measure again after half of it.")))
    details = {"travel_mm": found.travel_mm, "flats": flats, "side_difference_mm": found.side_difference_mm}
    return Advice(tuple(lines), details, tr(SOURCE))


def _evenly(flats: int) -> str:
    if flats == 0:
        return tr("Leave both take-ups as they are: less than half a flat is missing.")
    return tr("{what} both take-ups evenly by {in_turns_and_flats}.").format(
               what=tr("Raise") if flats > 0 else tr("Lower"), in_turns_and_flats=in_turns_and_flats(abs(flats)))
