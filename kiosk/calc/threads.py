"""Screw threads by their designation: diameter, pitch and stress area, metric and inch.

Sources: ISO 898-1 and ISO 261 for metric threads, ASME B1.1 for the unified inch threads.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from kiosk.calc import guards
from kiosk.calc.constants import MM_PER_INCH
from kiosk.calc.tables import load
from kiosk.errors import NoTableRow

_METRIC = re.compile(r"M\s*(\d+(?:\.\d+)?)(?:\s*[x×*]\s*(\d+(?:\.\d+)?))?", re.IGNORECASE)
_INCH = re.compile(
    r"(\d+(?:\s*[ -]\s*\d+/[1-9]\d*)?|\d+/[1-9]\d*)\s*(?:in|\")?\s*-\s*(\d+)(?:\s*UN[CF]?S?)?", re.IGNORECASE)
_KNOWN = ("M10", "M10x1.25", "3/8-16")


@dataclass(frozen=True)
class Thread:
    """One screw thread.

    Args:
        designation: 'M10x1.5' or '3/8-16'.
        diameter_mm: Nominal diameter.
        pitch_mm: Pitch.
        is_metric: False for an inch thread.
    """

    designation: str
    diameter_mm: float
    pitch_mm: float
    is_metric: bool


def thread(designation: str) -> Thread:
    """Return the thread of a designation; a metric one without a pitch has the coarse pitch.

    Args:
        designation: 'M10', 'M10x1.25', '3/8-16', '1 1/4-7 UNC' …

    Raises:
        NoTableRow: not a thread, or a metric one whose coarse pitch is not in the table.
        OutOfRange: pitch or diameter that no bolt has.

    Source:
        ISO 261, coarse series, from memory; ASME B1.1 for the way inch threads are written.
    """
    text = designation.strip()
    if metric := _METRIC.fullmatch(text):
        return _metric(float(metric[1]), metric[2], designation)
    if inch := _INCH.fullmatch(text):
        return _inch(inch[1], inch[2])
    raise NoTableRow("threads", designation, _KNOWN)


def _metric(diameter_mm: float, pitch: str | None, designation: str) -> Thread:
    diameter = guards.number("diameter of the thread", diameter_mm, "mm", 1, 150)
    coarse = load("fasteners")["coarse_pitch_mm"]
    name = f"M{diameter:g}"
    if pitch is None and name not in coarse:
        raise NoTableRow("coarse pitches of metric threads", designation, tuple(coarse))
    pitch_mm = float(coarse[name] if pitch is None else pitch)
    guards.number("pitch of the thread", pitch_mm, "mm", 0.2, diameter / 2)
    return Thread(f"{name}x{pitch_mm:g}", diameter, pitch_mm, True)


def _inch(diameter: str, threads_per_inch: str) -> Thread:
    inches = float(sum(Fraction(part) for part in re.split(r"[ -]+", diameter.strip())))
    guards.number("diameter of the thread", inches, "in", 0.05, 6)
    count = guards.count("threads per inch", int(threads_per_inch), math.ceil(2 / inches), 100)
    name = f"{' '.join(re.split(r'[ -]+', diameter.strip()))}-{count}"
    return Thread(name, inches * MM_PER_INCH, MM_PER_INCH / count, False)


def stress_area_mm2(designation: str) -> float:
    """Return the tensile stress area of a thread.

    Args:
        designation: As `thread` reads it.

    Returns:
        Metric: pi/4 * (d - 0.9382 P)². Inch: pi/4 * (D - 0.9743/n)². [mm²] Printed tables round it: M10 is 57.99, in
        print 58.0.

    Raises:
        NoTableRow: not a thread.

    Source:
        ISO 898-1; ASME B1.1.
    """
    screw = thread(designation)
    depth = 0.9382 if screw.is_metric else 0.9743
    return math.pi / 4 * (screw.diameter_mm - depth * screw.pitch_mm) ** 2
