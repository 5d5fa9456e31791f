"""Advice on plain settings: flight over the pan, the lower roller's offset, the height stops."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc.takeup import FLATS_PER_TURN, in_turns_and_flats
from kiosk.calc.trend import clearance_rate
from kiosk.entities import Phase, ServiceRecord
from kiosk.language import N_, number, tr
from kiosk.presenters.advice.core import (
    CHECK,
    DO,
    WHY,
    Advice,
    AdviceContext,
    Readings,
    line,
    nothing_yet,
    side_word,
    value,
    values,
)
from kiosk.presenters.parts import AdviceLine
from kiosk.presenters.readings import Judged, standard_uncertainty
from kiosk.presenters.words import side_text

FLIGHT_SOURCE = (N_("Set at the bearing mounts with a gauge strip under a flight that stands straight, the same at "
                    "upper and lower shaft: common practice, no source."))
OFFSET_SOURCE = (N_("The lower roller's left end goes lower where the edge cannot be had at the top: common "
                    "practice, no source."))
STOP_SOURCE = N_("Low stops for sand and gravel, high ones for leaves and litter: common practice, no source.")
OFFSET, STOP_HEIGHT = "roller-offset", "stop-height"
_COVERAGE = 2.0


def flight_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return how far each bearing mount goes to bring the flight's gap to the gauge strip, both sides alike."""
    if not readings:
        return nothing_yet(tr("Measure the gap under a flight that stands straight, left and right."))
    strip_mm = float(parameters["gauge_strip_mm"])
    moves = {reading.key: value(reading) - strip_mm for reading in readings}
    lines = [_mount_line(reading, moves[reading.key], context) for reading in readings]
    lines.append(line(WHY, tr("The gauge strip is {strip_mm}.").format(strip_mm=context.length(strip_mm))))
    lines += _wear_lines(readings, context)
    lines.append(line(CHECK, tr("Turn the shaft by hand a whole round: no flight may touch. Set both sides alike.")))
    return Advice(tuple(lines), {"mount_down_mm": moves}, tr(FLIGHT_SOURCE))


def _wear_lines(readings: Readings, context: AdviceContext) -> list[AdviceLine]:
    """Return how fast each gap grows since it was last set, from that one reading and the one now."""
    lines = []
    for reading in readings:
        before = next((found for record in context.history if (found := _left_at(record, reading)) is not None), None)
        if before is None or reading.spec.upper is None or context.hours_now is None:
            continue
        hours = context.hours_now - before[0]
        if hours <= 0:
            continue
        rate = clearance_rate(max(before[1], 0.0), max(value(reading), 0.0), hours, reading.spec.upper)
        if rate.rate_mm_per_100_hours > 0 and (rate.hours_to_limit or 0.0) > 0:
            lines.append(line(WHY, tr("{row_name} grows by {rate_mm_per_100_hours} in 100 h: about {hours_to_limit} "
                                      "h to its limit if nothing is done.").format(
                                       row_name=_row_name(reading),
                                       rate_mm_per_100_hours=context.length(rate.rate_mm_per_100_hours),
                                       hours_to_limit=number(rate.hours_to_limit, ".0f"))))
    return lines


def _left_at(record: ServiceRecord, reading: Judged) -> tuple[float, float] | None:
    """Return the hours and value at which a record left a reading's gap, None if it did not set it."""
    return next(((record.hours, one.value) for one in record.readings
                 if one.quantity == reading.spec.key and one.side == reading.side and one.phase == Phase.AS_LEFT), None)


def _row_name(reading: Judged) -> str:
    return " ".join(part for part in (reading.spec.title, side_text(reading.side)) if part)


def _mount_line(reading: Judged, down_mm: float, context: AdviceContext) -> AdviceLine:
    name = _row_name(reading)
    if abs(down_mm) <= _COVERAGE * standard_uncertainty(reading.spec):
        return line(DO, tr("{name}: leave the mount as it is.").format(name=name))
    way = tr("down") if down_mm > 0 else tr("up")
    return line(DO, tr("{name}: move the bearing mount {way} by {down_mm}.").format(
                        name=name, way=way, down_mm=context.length(abs(down_mm))))


def offset_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return how far the lower roller's left end goes, from how much lower it stands than the right end."""
    found = values(readings, OFFSET)
    if not found:
        return nothing_yet(tr("Measure how much lower the roller's left end stands than its right end."))
    offset_mm, target_mm = next(iter(found.values())), float(parameters["target_mm"])
    lower_mm = target_mm - offset_mm
    flats = round(lower_mm / float(parameters["takeup_thread_pitch_mm"]) * FLATS_PER_TURN)
    if flats == 0:
        first = line(DO, tr("Leave the roller as it is."))
    else:
        first = line(DO, tr("Bring the roller's left end {what} by {lower_mm}: {in_turns_and_flats}.").format(
                             what=tr("lower") if flats > 0 else tr("higher"), lower_mm=context.length(abs(lower_mm)),
                             in_turns_and_flats=in_turns_and_flats(abs(flats))))
    why = line(WHY, tr("It stands {offset_mm} lower than the right end; {target_mm} is wanted.").format(
                        offset_mm=context.length(offset_mm), target_mm=context.length(target_mm)))
    check = line(CHECK, tr("The belt must not touch the frame anywhere: a hard touch at the bottom tears it."))
    return Advice((first, why, check), {"lower_left_mm": lower_mm, "flats": flats}, tr(OFFSET_SOURCE))


def stop_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return which material the stops suit, and how far they go for the other."""
    sand_mm, leaves_mm = float(parameters["sand_and_gravel_mm"]), float(parameters["leaves_and_litter_mm"])
    rule = line(
        WHY,
        tr("{sand_mm} over the ground for sand and gravel, up to {leaves_mm} for leaves and litter.").format(
            sand_mm=context.length(sand_mm), leaves_mm=context.length(leaves_mm)
        ),
    )
    found = values(readings, STOP_HEIGHT)
    if not found:
        measure = line(CHECK, tr("Measure the stops over the ground, left and right."))
        return Advice((measure, rule), {}, tr(STOP_SOURCE))
    lines = [line(DO, f"{_name(side)}{_suits(height, sand_mm, leaves_mm, context)}") for side, height in found.items()]
    alike = [line(CHECK, tr("Both stops alike, or the machine runs on one of them."))] if len(found) > 1 else []
    details = {side.value: height for side, height in found.items()}
    return Advice((*lines, rule, *alike), {"stop_height_mm": details}, tr(STOP_SOURCE))


def _name(side: Any) -> str:
    return "" if not side_text(side) else f"{side_word(side)}: "


def _suits(height_mm: float, sand_mm: float, leaves_mm: float, context: AdviceContext) -> str:
    if height_mm < sand_mm:
        return tr("too low even for sand and gravel; raise it by {sand_mm}.").format(
                   sand_mm=context.length(sand_mm - height_mm))
    if height_mm > leaves_mm:
        return tr("too high even for leaves and litter; lower it by {height_mm}.").format(
                   height_mm=context.length(height_mm - leaves_mm))
    if height_mm - sand_mm <= leaves_mm - height_mm:
        return (tr("suits sand and gravel; for leaves and litter it may go up by {leaves_mm}.").format(
                    leaves_mm=context.length(leaves_mm - height_mm)))
    return tr("suits leaves and litter; for sand and gravel lower it by {height_mm}.").format(
               height_mm=context.length(height_mm - sand_mm))
