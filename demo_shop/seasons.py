"""When the yard's machines run and for how long: sweepers all year and most in autumn, spreaders in winter."""

from __future__ import annotations

import math
import random
from datetime import date

from demo_shop.yard import Machine

# Day of the year on which leaves fall thickest; a second, lower crest in spring brings the winter's grit.
_LEAVES, _GRIT = 305, 95
_WINTER_MONTHS = (11, 12, 1, 2, 3)


def is_in_season(machine: Machine, day: date) -> bool:
    """Return whether the machine is at work in that part of the year."""
    return not machine.is_spreader or day.month in _WINTER_MONTHS


def chance_of_running(machine: Machine, day: date) -> float:
    """Return how likely the machine runs on a day. [-]"""
    if not is_in_season(machine, day):
        return 0.0
    if machine.is_spreader:
        return 0.62 if day.month in (12, 1, 2) else 0.3
    weekend = 0.62 if day.weekday() == 6 else 1.0
    return weekend * (0.60 + 0.32 * _crest(day, _LEAVES, 50) + 0.24 * _crest(day, _GRIT, 40))


def hours_run(machine: Machine, day: date, chance: random.Random) -> float:
    """Return the hours run on a day when the machine is out, to a tenth as its meter counts. [h]"""
    mean = 5.5 if machine.is_spreader else 3.6 + 2.2 * _crest(day, _LEAVES, 50) + 1.2 * _crest(day, _GRIT, 40)
    return round(min(max(chance.gauss(mean, 1.1), 0.6), 11.0), 1)


def _crest(day: date, centre: int, width_days: float) -> float:
    """Return 1 on the crest's day, falling off to both sides, round the turn of the year."""
    away = abs(day.timetuple().tm_yday - centre)
    return math.exp(-(min(away, 365 - away) / width_days) ** 2)
