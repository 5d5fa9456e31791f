"""Tightening torque of bolts: only with strength grade and lubrication state, and never where a table of its own rules.

Cast housings and set screws have their own printed torques, a quarter to two fifths of what a grade would give; for
those, for plastic and for slotted castings nothing is worked out here. Set screws are in `insert_bearing`, the
tightening order in `tightening`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.constants import MM_PER_INCH, NEWTON_PER_POUND_FORCE
from kiosk.calc.tables import load
from kiosk.calc.threads import stress_area_mm2, thread
from kiosk.errors import CalcError, NoTableRow
from kiosk.language import N_, number, tr

FRACTION_OF_PROOF = 0.75
"""For joints that are opened again; textbook rule."""
PRELOAD_SPREAD_PERCENT = 30.0
"""Preload varies by 25 to 30 % even with a good wrench. Common practice; the larger figure is shown."""

MPA_PER_KSI = 1000 * NEWTON_PER_POUND_FORCE / MM_PER_INCH**2
STEEL_JOINT = "steel"
_OWN_TABLES = {
    "cast housing": N_("A cast housing takes a quarter to two fifths of the bolt's torque; use the housing's table."),
    "set screw": N_("A set screw has its own torque by the bearing's number; use the set screw table."),
    "plastic": N_("No torque is worked out for plastic; use the part maker's figure."),
    "slotted casting": N_("No torque is worked out for a slotted casting; use the part maker's figure."),
}


@dataclass(frozen=True)
class ProofStress:
    """Strength of a bolt's grade.

    Args:
        grade: '8.8', 'SAE 5' …
        proof_stress_mpa: Proof stress.
        yield_stress_mpa: Yield stress, None where the table prints none.
        valid_for: Diameters that it holds for, '' for all.
        source: Standard and edition.
    """

    grade: str
    proof_stress_mpa: float
    yield_stress_mpa: float | None
    valid_for: str
    source: str


@dataclass(frozen=True)
class NutFactor:
    """Nut factor of one lubrication state.

    Args:
        factor: K.
        source: Where it was printed.
    """

    factor: float
    source: str


@dataclass(frozen=True)
class Tightening:
    """Preload and torque of a bolt.

    Args:
        preload_newton: Clamping force aimed at.
        torque_newton_metre: Torque for it.
    """

    preload_newton: float
    torque_newton_metre: float


@dataclass(frozen=True)
class BoltTorque:
    """Torque of a bolt with all that it hangs on.

    Args:
        thread: Designation with pitch.
        grade: Strength grade.
        lubrication: State of thread and face.
        torque_newton_metre: Torque to set.
        preload_newton: Clamping force aimed at.
        preload_low_newton: Least that this torque may give.
        preload_high_newton: Most that this torque may give.
        nut_factor: K of the lubrication state.
        basis: What the preload is a share of.
        source: Standard, edition and origin of K.
        caution: What comes first.
    """

    thread: str
    grade: str
    lubrication: str
    torque_newton_metre: float
    preload_newton: float
    preload_low_newton: float
    preload_high_newton: float
    nut_factor: float
    basis: str
    source: str
    caution: str


@dataclass(frozen=True)
class TorqueRange:
    """Printed torque from a table of its own.

    Args:
        least_newton_metre: From.
        most_newton_metre: To.
        source: Whose table.
    """

    least_newton_metre: float
    most_newton_metre: float
    source: str


@dataclass(frozen=True)
class PreloadUncertainty:
    """How far a torque wrench's setting is from the bolt's preload.

    Args:
        torque_newton_metre: Standard uncertainty of the torque.
        preload_percent: Relative standard uncertainty of the preload.
        expanded_percent: The same for about 95 % coverage, k = 2.
    """

    torque_newton_metre: float
    preload_percent: float
    expanded_percent: float


def proof_stress(grade: str, diameter_mm: float) -> ProofStress:
    """Return the proof stress of a property class or SAE grade for a bolt's diameter.

    Class 8.8 has two: 580 MPa to 16 mm and 600 MPa above; one public table prints 0.9 of the nominal yield (576).

    Args:
        grade: '4.6' … '12.9', or 'SAE 2', 'SAE 5', 'SAE 8'.
        diameter_mm: Nominal diameter. [mm] above 0

    Raises:
        NoTableRow: the grade is not known, or not for this diameter.

    Source:
        ISO 898-1:1999; SAE J429 to 3/4 in (grade 2) and 1 in (grades 5 and 8).
    """
    diameter = guards.positive("diameter_mm", diameter_mm, "mm", 200)
    table = load("fasteners")
    for row in table["class"]:
        low, high = row.get("above_diameter_mm", 0), row.get("to_diameter_mm", math.inf)
        if row["name"] == grade and low < diameter <= high:
            return ProofStress(grade, float(row["proof_stress_mpa"]), None, _range(low, high),
                               table["source"]["class"])
    for row in table["grade"]:
        if row["name"] == grade and diameter <= row["to_diameter_inch"] * MM_PER_INCH + 1e-9:
            return ProofStress(grade, row["proof_stress_ksi"] * MPA_PER_KSI, row["yield_stress_ksi"] * MPA_PER_KSI,
                               tr("to {row} in").format(
                                   row=number(row["to_diameter_inch"], "g")), table["source"]["grade"])
    raise NoTableRow("bolt grades", f"{grade}, {diameter:g} mm", bolt_grades())


def _range(low_mm: float, high_mm: float) -> str:
    if low_mm:
        return tr("above {low_mm} mm").format(low_mm=number(low_mm, "g"))
    return "" if math.isinf(high_mm) else tr("to {high_mm} mm").format(high_mm=number(high_mm, "g"))


def bolt_grades() -> tuple[str, ...]:
    """Return every strength grade known, as a screen lists them."""
    table = load("fasteners")
    return tuple(dict.fromkeys(row["name"] for row in (*table["class"], *table["grade"])))


def lubrication_states() -> tuple[str, ...]:
    """Return every lubrication state known, as a screen lists them."""
    return tuple(row["state"] for row in load("fasteners")["lubrication"])


def nut_factor(lubrication: str) -> NutFactor:
    """Return the nut factor K of a lubrication state.

    Args:
        lubrication: One of `lubrication_states`.

    Raises:
        NoTableRow: the state is not known.

    Source:
        K 0.20 plain, 0.22 zinc, 0.10 waxed: a drag-conveyor safety guide; 0.15 oiled: common practice, no source.
    """
    for row in load("fasteners")["lubrication"]:
        if row["state"] == lubrication:
            return NutFactor(float(row["nut_factor"]), row["source"])
    raise NoTableRow("lubrication states", lubrication, lubrication_states())


def tightening(designation: str, stress_mpa: float, nut_factor: float) -> Tightening:
    """Return preload and torque of a bolt for a stress and a nut factor.

    Args:
        designation: Thread, as `threads.thread` reads it.
        stress_mpa: Tensile stress aimed at. [MPa] above 0
        nut_factor: K. [-] 0.05 to 0.40

    Raises:
        OutOfRange: an argument is not possible.
        NoTableRow: not a thread.

    Source:
        F = stress * A_s, T = K * d * F; short form of every torque table.
    """
    stress = guards.positive("stress_mpa", stress_mpa, "MPa", 2000)
    factor = guards.number("nut_factor", nut_factor, "", 0.05, 0.40)
    preload = stress * stress_area_mm2(designation)
    return Tightening(preload, factor * preload * thread(designation).diameter_mm / 1000)


def bolt_torque(designation: str, grade: str, lubrication: str, joint: str = STEEL_JOINT) -> BoltTorque:
    """Return the torque of a bolt in a steel joint; grade and lubrication state are both needed.

    Args:
        designation: Thread, 'M10', '3/8-16' …
        grade: Strength grade as stamped on the head: '8.8', 'SAE 5' …
        lubrication: State of thread and face: 'plain, dry', 'zinc plated, dry', 'waxed', 'oiled'.
        joint: 'steel'; any other joint is refused with the table to use.

    Raises:
        CalcError: grade or lubrication is missing, or the joint has a table of its own.
        NoTableRow: thread, grade or state is not known.

    Source:
        Metric: 0.75 of the proof stress of ISO 898-1:1999. Inch grades: 0.75 of the yield stress, as a drag-conveyor
        safety guide's torque table. K with that table; 'oiled' is common practice, no source.
    """
    if joint != STEEL_JOINT:
        if joint in _OWN_TABLES:
            raise CalcError(tr(_OWN_TABLES[joint]))
        raise CalcError(tr("No torque is worked out for a joint in {joint}.").format(joint=joint))
    if not grade.strip() or not lubrication.strip():
        raise CalcError(tr("A torque needs the bolt's grade and whether it is dry, plated, oiled or waxed; give both."))
    screw = thread(designation)
    strength, friction = proof_stress(grade, screw.diameter_mm), nut_factor(lubrication)
    by_yield = strength.yield_stress_mpa is not None
    full = strength.yield_stress_mpa if strength.yield_stress_mpa is not None else strength.proof_stress_mpa
    aimed = tightening(designation, FRACTION_OF_PROOF * full, friction.factor)
    spread = PRELOAD_SPREAD_PERCENT / 100
    return BoltTorque(
        thread=screw.designation,
        grade=grade,
        lubrication=lubrication,
        torque_newton_metre=aimed.torque_newton_metre,
        preload_newton=aimed.preload_newton,
        preload_low_newton=aimed.preload_newton * (1 - spread),
        preload_high_newton=aimed.preload_newton * (1 + spread),
        nut_factor=friction.factor,
        basis=tr("{share} of the {what} stress").format(
                  share=number(FRACTION_OF_PROOF, ".0%"), what=tr("yield") if by_yield else tr("proof")),
        source=tr("{source}; nut factor: {source_2}").format(source=strength.source, source_2=friction.source),
        caution=tr("The machine maker's torque comes first. The clamping force is known to about 30 % only."),
    )


def housing_bolt_torque(designation: str) -> TorqueRange:
    """Return the torque of the bolts that hold a cast-iron bearing housing.

    Args:
        designation: Thread of the bolt, 'M12'.

    Raises:
        NoTableRow: not in the table; nothing is worked out instead.

    Source:
        Mounted-unit catalogue, housing bolt torques; no bolt class is stated.
    """
    table = load("fasteners")
    size = f"M{thread(designation).diameter_mm:g}"
    rows = table["housing_newton_metre"]
    if not thread(designation).is_metric or size not in rows:
        raise NoTableRow("housing bolts", designation, tuple(rows))
    least, most = rows[size]
    return TorqueRange(float(least), float(most), table["source"]["housing"])


def preload_uncertainty(torque_newton_metre: float, tool_percent: float,
                        nut_factor_spread_percent: float) -> PreloadUncertainty:
    """Return how well a torque sets a bolt's preload.

    Args:
        torque_newton_metre: Torque set. [N·m] above 0
        tool_percent: Largest error of the wrench, by ISO 6789 4 % for hand tools and 6 % below 10 N·m, from memory.
            [%] 0 to 50
        nut_factor_spread_percent: Largest spread of K, 25 to 30 % in practice. [%] 0 to 100

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        Both limits as rectangular distributions, JCGM 100: u = sqrt((tool/sqrt 3)² + (K/sqrt 3)²)
    """
    torque = guards.positive("torque_newton_metre", torque_newton_metre, "N·m", 1e6)
    tool = guards.number("tool_percent", tool_percent, "%", 0, 50) / math.sqrt(3)
    spread = guards.number("nut_factor_spread_percent", nut_factor_spread_percent, "%", 0, 100) / math.sqrt(3)
    preload = math.hypot(tool, spread)
    return PreloadUncertainty(torque * tool / 100, preload, 2 * preload)
