"""What a new part of each kind is: its description and the properties that its computations need."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from demo_shop.yard import Machine


@dataclass(frozen=True)
class Part:
    """A part as it comes from the shelf."""

    description: str
    properties: dict[str, Any]


_DESCRIPTIONS = {
    "flight-elevator": "Flight elevator, complete",
    "belt-conveyor": "Belt conveyor, complete",
    "drag-floor": "Drag-chain floor, complete",
    "chain-sprocket": "Chain sprocket with keyed hub",
    "chain-shaft": "Shaft, bright steel",
    "take-up": "Screw take-up",
    "height-stop": "Pair of height stops",
    "wear-pad": "Wear pad, 3/4 in plastic",
    "flight-set": "Flights as they hang over the pan",
    "flight": "Rubber flight with clamp bar",
    "floor-pan": "Floor pan, 5 mm steel",
    "scraper": "Scraper blade, plastic",
    "safety-support": "Hopper safety support with pin",
    "belt-splice": "Bolted plate splice, 11 bolts",
    "upper-roller": "Upper roller, lagged, with spiral strap",
    "lower-roller": "Lower roller, open drum",
    "return-roller": "Return roller",
    "side-skirt": "Rubber side skirt",
    "drag-bar": "Drag bar with two lugs",
    "spreading-disc": "Spreading disc with six vanes",
    "feed-gate": "Feed gate with two rods",
}
GREASE = "lithium complex"
# Outer ring, balls and the inner ring between the seals; from memory and rounded.
SEALED_KG = {"UC207": 0.33, "UC208": 0.45, "UC209": 0.50}
BELT_PITCHES, BELT_PITCH_MM = 30, 150


def new_part(machine: Machine, sheet: str) -> Part:
    """Return a new part of the kind that a sheet serves, as it fits the machine."""
    if sheet in ("shaft-bearing", "spreader-bearing"):
        properties = {"bearing": machine.bearing, "thickener": GREASE, "mass_kg": SEALED_KG[machine.bearing]}
        return Part(f"Insert bearing {machine.bearing} in its housing", properties)
    if sheet == "chain-shaft":
        return Part(_DESCRIPTIONS[sheet], _shaft_spans(machine))
    if sheet == "flight-chain":
        links = 12 * machine.size
        return Part(f"Pair of conveyor chains, {links} links each",
                    {"links": links, **_elevator_spans(links)})
    if sheet == "drag-chain":
        return Part("Pair of drag chains, 104 links each", {"links": 104})
    if sheet == "drive-chain":
        return Part("Drive chain, 74 links", {"links": 74})
    if sheet == "cleated-belt":
        return Part(f"Cleated belt, {BELT_PITCHES} cleats", {
            "belt_length_mm": BELT_PITCHES * BELT_PITCH_MM, "cleat_pitch_mm": BELT_PITCH_MM, "cleat_phase_mm": 75,
            "splices_mm": [0]})
    return Part(_DESCRIPTIONS[sheet], {})


def _shaft_spans(machine: Machine) -> dict[str, Any]:
    """Return span and wanted sag of the strand that the shaft carries, as its chain's sheet has them."""
    if machine.is_spreader:
        return {"span_mm": 2375, "sag_wanted_mm": 60}
    return {"span_mm": _elevator_spans(12 * machine.size)["span_mm"], "sag_wanted_mm": 42}


def _elevator_spans(links: int) -> dict[str, Any]:
    """Return centre distance and span for so many links of 38.1 mm on 12-tooth sprockets, with the sheet's sag."""
    centre_mm = round((links - 12) * 38.1 / 2 - 1.3, 1)
    return {"centre_distance_mm": centre_mm, "span_mm": round(centre_mm)}
