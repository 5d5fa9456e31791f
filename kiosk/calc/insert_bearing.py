"""Insert bearings of the series UC 2xx: their printed sizes, ratings, set screws and speed limits.

Everything here is a catalogue's figure, looked up and never worked out. Ratings of 'the same' bearing differ by up to
12 % between makers, so the maker's own sheet for the bearing that is fitted comes first. Greasing is in `grease`,
load and life in `bearing_load` and `bearing_life`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kiosk.calc.tables import load
from kiosk.errors import NoTableRow
from kiosk.language import tr

_TABLE = "insert_bearings"
# A housed unit is ordered with its housing's letters: UCP 205 is a pillow block with the insert UC 205.
_DESIGNATION = re.compile(r"UC(?:P|F|FL|FC|FB|T|PA|PH|C)?[ -]?2(\d\d)", re.IGNORECASE)


@dataclass(frozen=True)
class InsertBearing:
    """Sizes and ratings of one insert bearing as printed.

    Args:
        designation: 'UC205'.
        bore_mm: Bore d.
        outside_diameter_mm: Outside diameter D.
        inner_width_mm: Width of the inner ring B.
        outer_width_mm: Width of the outer ring C_w.
        dynamic_rating_newton: Basic dynamic load rating C.
        static_rating_newton: Basic static load rating C0.
        source: Whose catalogue.
    """

    designation: str
    bore_mm: float
    outside_diameter_mm: float
    inner_width_mm: float
    outer_width_mm: float
    dynamic_rating_newton: float
    static_rating_newton: float
    source: str


@dataclass(frozen=True)
class SetScrew:
    """The two set screws of an insert's inner ring.

    Args:
        thread: 'M6x0.75'.
        torque_newton_metre: Tightening torque of each.
        procedure: How they are tightened.
        source: Whose catalogue.
    """

    thread: str
    torque_newton_metre: float
    procedure: str
    source: str


def insert_designation(bearing: str) -> str:
    """Return the insert's designation, 'UC205', for what is stamped on the insert or its housing.

    Args:
        bearing: 'UC205', 'uc 205', 'UCP205', 'UCFL-208' …

    Raises:
        NoTableRow: not a set-screw insert of the series UC 2xx; other series have other tables.
    """
    match = _DESIGNATION.fullmatch(bearing.strip())
    if match is None:
        raise NoTableRow("insert bearings", bearing, tuple(load(_TABLE)["bearing"]))
    return f"UC2{match[1]}"


def insert_bearing(bearing: str) -> InsertBearing:
    """Return the printed sizes and ratings of an insert bearing.

    Args:
        bearing: Designation of the insert or of its housed unit.

    Raises:
        NoTableRow: the catalogue copy has no row for it.

    Source:
        A bearing maker's general catalogue; d, D and B as in ISO 9628. Allowed aligning angle 3°, 1° with covers.
    """
    table = load(_TABLE)
    designation = insert_designation(bearing)
    if designation not in table["bearing"]:
        raise NoTableRow("insert bearings", bearing, tuple(table["bearing"]))
    row = table["bearing"][designation]
    return InsertBearing(
        designation=designation,
        bore_mm=float(row["bore_mm"]),
        outside_diameter_mm=float(row["outside_diameter_mm"]),
        inner_width_mm=float(row["inner_width_mm"]),
        outer_width_mm=float(row["outer_width_mm"]),
        dynamic_rating_newton=1000.0 * row["dynamic_rating_kilonewton"],
        static_rating_newton=1000.0 * row["static_rating_kilonewton"],
        source=table["source"]["sizes"],
    )


def set_screw(bearing: str) -> SetScrew:
    """Return the set screws of an insert and their torque, which is never worked out from a bolt's grade.

    Args:
        bearing: Designation of the insert or of its housed unit.

    Raises:
        NoTableRow: outside UC201 to UC218.

    Source:
        Mounted-unit catalogue, appendix, set-screw torques.
    """
    table = load(_TABLE)
    number = int(insert_designation(bearing)[3:])
    for row in table["set_screw"]:
        if row["first"] <= number <= row["last"]:
            return SetScrew(
                thread=row["thread"],
                torque_newton_metre=row["torque_newton_metre"],
                procedure=tr("Both screws in turn, a little each time; again after the run-in."),
                source=table["source"]["set_screws"],
            )
    raise NoTableRow("set screws of insert bearings", bearing, ("UC201 to UC218",))


def speed_limit_rpm(bearing: str, shaft_tolerance: str, with_cover: bool = False) -> float:
    """Return the speed limit of an insert on a shaft of the given tolerance.

    A shaft worn to h9 or worse keeps a fifth of the speed: it explains why an insert walks on a worn shaft.

    Args:
        bearing: Designation of the insert or of its housed unit.
        shaft_tolerance: 'h6', 'h7', 'h8' or 'h9'.
        with_cover: True when the unit has end covers.

    Returns:
        The limit. [r/min]

    Raises:
        NoTableRow: bearing or shaft tolerance is not in the table.

    Source:
        Mounted-unit catalogue, tables 6.1 and 6.2, set-screw type; covers 80 %.
    """
    table = load(_TABLE)
    designation, tolerance = insert_designation(bearing), shaft_tolerance.strip().lower()
    if designation not in table["speed_limit_rpm"]:
        raise NoTableRow("speed limits of insert bearings", bearing, tuple(table["speed_limit_rpm"]))
    if tolerance not in table["speed_fit_factor"]:
        raise NoTableRow("shaft tolerances", shaft_tolerance, tuple(table["speed_fit_factor"]))
    limit: float = table["speed_limit_rpm"][designation] * table["speed_fit_factor"][tolerance]
    return limit * table["speed_cover_factor"]["with_cover"] if with_cover else limit
