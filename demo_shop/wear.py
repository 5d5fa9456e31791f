"""How the invented yard's parts wear: what a measured quantity starts at, how it drifts with running hours, when parts
fail. Made up so that the history looks like a yard's; nothing in the kiosk takes a number from here.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass


@dataclass(frozen=True)
class Drift:
    """How one quantity of one kind of part goes.

    Args:
        new: Value of a new part, or as the adjustment leaves it. [unit of the reading]
        per_100_hours: Mean drift. [unit per 100 h]
        scatter: Of a reading about the drift. [unit]
        setting: Spread of what fitting or adjusting leaves. [unit]
        is_set: True when the adjustment brings it back; wear that no adjustment restores is False.
        wanders: True when each part drifts its own way, up or down.
        mirror_sum: The right side is this minus the left (a belt between two frame sides), None for two own sides.
        rise_to_failure: Added on top, slowly and then fast, until the part fails (heat and play of a bearing).
    """

    new: float
    per_100_hours: float
    scatter: float
    setting: float
    is_set: bool = False
    wanders: bool = False
    mirror_sum: float | None = None
    rise_to_failure: float = 0.0


BEARING = {
    "housing-temperature": Drift(38.0, 0.0, 2.5, 2.0, rise_to_failure=34.0),
    "shaft-play": Drift(0.05, 0.003, 0.01, 0.015, rise_to_failure=0.45),
}
DRIFTS: dict[str, dict[str, Drift]] = {
    "shaft-bearing": BEARING,
    "spreader-bearing": BEARING,
    "flight-chain": {
        "strand-sag": Drift(42.0, 13.0, 0.8, 1.2, is_set=True),
        "length-over-pitches": Drift(457.3, 0.40, 0.25, 0.2),
    },
    "drag-chain": {
        "strand-sag": Drift(60.0, 15.0, 1.0, 1.5, is_set=True),
        "length-over-pitches": Drift(500.1, 0.62, 0.25, 0.2),
    },
    "drive-chain": {
        "strand-sag": Drift(11.0, 3.6, 0.4, 0.5, is_set=True),
        "length-over-pitches": Drift(304.9, 0.28, 0.2, 0.15),
    },
    "chain-sprocket": {"hook-depth": Drift(0.2, 0.085, 0.06, 0.05), "out-of-line": Drift(0.9, 0.02, 0.25, 0.4)},
    "flight": {"rubber-height": Drift(65.0, -1.15, 0.8, 1.0)},
    "flight-set": {
        "flight-clearance-upper": Drift(11.1, 2.3, 0.35, 0.4, is_set=True),
        "flight-clearance-lower": Drift(11.1, 2.8, 0.35, 0.4, is_set=True),
    },
    "floor-pan": {"plate-thickness": Drift(5.0, -0.055, 0.05, 0.05)},
    "wear-pad": {"pad-thickness": Drift(19.0, -0.62, 0.3, 0.2)},
    "chain-shaft": {"shaft-run-out": Drift(0.16, 0.009, 0.03, 0.05)},
    "take-up": {"thread-left": Drift(88.0, -1.9, 0.6, 4.0)},
    "height-stop": {"stop-height": Drift(50.0, -2.6, 0.8, 1.5, is_set=True, wanders=True)},
    "scraper": {"scraper-gap": Drift(1.9, 1.5, 0.15, 0.25, is_set=True)},
    "cleated-belt": {
        "cleat-height": Drift(57.2, -11.0, 1.0, 1.5, is_set=True),
        "belt-edge-top": Drift(11.1, 7.5, 0.8, 1.0, is_set=True, wanders=True, mirror_sum=22.2),
        "belt-edge-bottom": Drift(11.1, 2.0, 0.7, 0.9, is_set=True, wanders=True, mirror_sum=22.2),
    },
    "belt-splice": {"loose-bolts": Drift(0.0, 2.2, 0.5, 0.1, is_set=True), "joint-gap": Drift(0.9, 0.06, 0.1, 0.15)},
    "upper-roller": {
        "lagging-thickness": Drift(8.0, -0.16, 0.15, 0.2),
        "roller-run-out": Drift(0.35, 0.015, 0.05, 0.1),
    },
    "lower-roller": {"roller-offset": Drift(15.9, -1.7, 0.7, 0.7, is_set=True, wanders=True)},
    "side-skirt": {"skirt-gap": Drift(2.6, 2.4, 0.3, 0.4, is_set=True)},
    "drag-bar": {"bar-height": Drift(38.0, -0.9, 0.5, 0.5)},
    "spreading-disc": {"vane-height": Drift(50.0, -2.6, 0.8, 0.8)},
    "feed-gate": {"gate-opening": Drift(50.8, 1.1, 0.3, 0.4, is_set=True, wanders=True)},
}


@dataclass(frozen=True)
class Life:
    """Weibull life of a kind of part: shape and characteristic life. [h]"""

    shape: float
    scale_hours: float

    def draw(self, chance: random.Random, times: float = 1.0) -> float:
        """Return a life drawn at random. [h]"""
        hazard = -math.log(1.0 - chance.random())
        return times * self.scale_hours * math.pow(hazard, 1.0 / self.shape)


LIVES: dict[str, Life] = {
    "shaft-bearing": Life(1.9, 2900.0), "spreader-bearing": Life(1.9, 1900.0), "flight-chain": Life(3.0, 2300.0),
    "drag-chain": Life(3.0, 1500.0), "drive-chain": Life(2.6, 2200.0), "chain-sprocket": Life(3.0, 3600.0),
    "flight": Life(2.2, 1900.0), "floor-pan": Life(4.0, 9000.0), "wear-pad": Life(3.2, 2100.0),
    "chain-shaft": Life(2.0, 14000.0), "take-up": Life(1.5, 15000.0), "height-stop": Life(1.2, 9000.0),
    "scraper": Life(2.0, 1500.0), "safety-support": Life(1.1, 60000.0), "cleated-belt": Life(2.6, 2600.0),
    "belt-splice": Life(1.8, 1900.0), "upper-roller": Life(2.0, 9500.0), "lower-roller": Life(1.8, 4800.0),
    "return-roller": Life(1.6, 3200.0), "side-skirt": Life(1.8, 1900.0), "drag-bar": Life(2.0, 2300.0),
    "spreading-disc": Life(2.0, 1700.0), "feed-gate": Life(2.0, 6000.0),
}

# Positions that eat parts, by unit and place: their parts live this share of the usual life.
EATERS: dict[tuple[str, str], float] = {
    ("unit-03", "Lower shaft bearing, right"): 0.22,
    ("unit-05", "Flight 3"): 0.25,
    ("unit-08", "Lower roller bearing, left"): 0.24,
    ("unit-09", "Upper roller scraper"): 0.3,
    ("unit-11", "Rear shaft bearing, right"): 0.3,
}
