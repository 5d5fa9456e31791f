"""How much grease a bearing takes: the insert bearing's printed table first, a formula only where no table has it.

Too much grease lifts the seal, so every amount here is a most, not a least. How often is in `grease_interval`, strokes
of the gun in `grease_gun`, which greases may meet in `grease_kind`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.insert_bearing import insert_designation
from kiosk.calc.tables import load
from kiosk.errors import CalcError, NoTableRow
from kiosk.language import N_, tr

FACTOR_BESIDE = 0.005
"""Gram per mm² when the grease goes in beside the bearing; several general catalogues."""
FACTOR_THROUGH_RING = 0.002
"""Gram per mm² when it is fed through holes in the ring; several general catalogues."""

STEEL_GRAM_PER_CM3 = 7.8
GREASE_GRAM_PER_CM3 = 0.9
"""Density that the insert table was printed for."""
FIRST_FILL_MOST = 0.35
"""Largest first fill of an insert's free space; the table prints 30 to 35 %."""
SEVERE_FACTOR = 2.0
TRIPLE_LIP_FACTOR = 1.5

_FORMULA_SOURCE = N_("general catalogues, plain open bearings: 0.005·D·B beside the bearing, 0.002·D·B through the "
                     "ring")
_OVERDOSE = N_("The formula is for plain open bearings and gives an insert too much; the maker's sheet comes first.")

HEAT_AFTER_GREASING = (
    N_("A bearing runs warmer for some hours after greasing and then settles. If it keeps getting warmer, or grease "
       "comes past the seal, it has had too much.")
)
"""Published in general terms; figures such as 10 to 15 K for up to a day are common practice, no source."""


@dataclass(frozen=True)
class GreaseQuantity:
    """The grease that one regreasing puts in.

    Args:
        grams: The amount to put in.
        method: 'insert table' or 'formula'.
        source: Where the amount comes from.
        formula_grams: What the formula would give, None where sizes are missing; kept beside the table's amount.
        caution: What to mind with this amount, '' for nothing.
    """

    grams: float
    method: str
    source: str
    formula_grams: float | None
    caution: str


def insert_grease_grams(bearing: str) -> float:
    """Return the printed amount for one regreasing of an insert bearing.

    Args:
        bearing: Designation of the insert or of its housed unit.

    Returns:
        The amount. [g]

    Raises:
        NoTableRow: the table has no row for it.

    Source:
        Mounted-unit makers' catalogue, table 'recommended grease amount', grease of 0.9 g/ml.
    """
    table = load("insert_bearings")["grease_grams"]
    designation = insert_designation(bearing)
    if designation not in table:
        raise NoTableRow("grease for insert bearings", bearing, tuple(table))
    return float(table[designation])


def formula_grease_grams(outside_diameter_mm: float, width_mm: float, factor: float = FACTOR_BESIDE) -> float:
    """Return the amount for one regreasing of a plain open bearing.

    For an insert bearing it gives too much: 4.4 g for a UC205 against 1.8 g in the table, with the outer ring's width.

    Args:
        outside_diameter_mm: Outside diameter D. [mm] above 0
        width_mm: Width of the ring B, the outer one of an insert. [mm] above 0
        factor: 0.005 beside the bearing, 0.002 through holes in the ring. [g/mm²] 0.0005 to 0.01

    Returns:
        The amount. [g]

    Raises:
        OutOfRange: an argument is not a size.

    Source:
        General catalogues: G = factor * D * B

    Example, by hand: 0.005 * 80 * 21
        >>> round(formula_grease_grams(80, 21), 6)
        8.4
    """
    diameter = guards.positive("outside_diameter_mm", outside_diameter_mm, "mm", 2000)
    width = guards.positive("width_mm", width_mm, "mm", 1000)
    return guards.number("factor", factor, "g/mm²", 0.0005, 0.01, "general catalogues") * diameter * width


def free_space_cm3(bore_mm: float, outside_diameter_mm: float, width_mm: float, mass_kg: float) -> float:
    """Return the free space inside a steel bearing.

    Args:
        bore_mm: Bore d. [mm] above 0, below the outside diameter
        outside_diameter_mm: Outside diameter D. [mm] above 0
        width_mm: Width B. [mm] above 0
        mass_kg: Mass M of the bearing. [kg] above 0

    Returns:
        V = pi/4 * B * (D² - d²) / 1000 - M / 0.0078. [cm³]

    Raises:
        OutOfRange: an argument is not a size.
        CalcError: the mass is more than solid steel of that size.

    Source:
        Rolling-bearing handbook. First fill a third to a half of it, 70 to 100 % for very slow bearings sealed
        against dirt.
    """
    outside = guards.positive("outside_diameter_mm", outside_diameter_mm, "mm", 2000)
    bore = guards.positive("bore_mm", bore_mm, "mm", outside)
    width = guards.positive("width_mm", width_mm, "mm", 1000)
    mass = guards.positive("mass_kg", mass_kg, "kg", 10_000)
    space = math.pi / 4 * width * (outside**2 - bore**2) * 1e-3 - 1000 * mass / STEEL_GRAM_PER_CM3
    if space <= 0:
        raise CalcError(tr("The bearing's mass is more than solid steel of that size; check mass and sizes."))
    return space


def first_fill_grams(free_space_cm3: float, filled: float = FIRST_FILL_MOST,
                     density_gram_per_cm3: float = GREASE_GRAM_PER_CM3) -> float:
    """Return the grease of a first fill, which no regreasing may exceed.

    Args:
        free_space_cm3: Free space of the bearing. [cm³] above 0
        filled: Share of the free space that is filled. [-] above 0, at most 1
        density_gram_per_cm3: Density of the grease. [g/cm³] above 0

    Returns:
        The first fill. [g]

    Source:
        Mounted-unit makers' catalogue: 30 to 35 % of an insert's free space.
    """
    space = guards.positive("free_space_cm3", free_space_cm3, "cm³")
    share = guards.positive("filled", filled, "", 1.0)
    return space * share * guards.positive("density_gram_per_cm3", density_gram_per_cm3, "g/cm³", 3.0)


def grease_quantity(bearing: str = "", outside_diameter_mm: float | None = None, width_mm: float | None = None,
                    factor: float = FACTOR_BESIDE) -> GreaseQuantity:
    """Return the grease for one regreasing: by the insert table where it has the bearing, by formula otherwise.

    Args:
        bearing: Designation, '' when there is none.
        outside_diameter_mm: Outside diameter D for the formula. [mm] above 0
        width_mm: Ring width B for the formula. [mm] above 0
        factor: Of the formula, see `formula_grease_grams`. [g/mm²]

    Raises:
        NoTableRow: the bearing is in no table and no sizes are given.
        OutOfRange: a size is not possible.

    Source:
        Insert table and formula are both in print and disagree; the table wins, the formula's amount is kept beside.
    """
    by_formula = _formula_or_none(bearing, outside_diameter_mm, width_mm, factor)
    try:
        grams = insert_grease_grams(bearing)
    except NoTableRow:
        if by_formula is None:
            raise
        return GreaseQuantity(by_formula, "formula", tr(_FORMULA_SOURCE), by_formula, tr(_OVERDOSE))
    return GreaseQuantity(grams, N_("insert table"), load("insert_bearings")["source"]["grease"], by_formula, "")


def _formula_or_none(bearing: str, outside_diameter_mm: float | None, width_mm: float | None,
                     factor: float) -> float | None:
    if outside_diameter_mm is not None and width_mm is not None:
        return formula_grease_grams(outside_diameter_mm, width_mm, factor)
    rows = load("insert_bearings")["bearing"]
    try:
        row = rows.get(insert_designation(bearing))
    except NoTableRow:
        return None
    return None if row is None else formula_grease_grams(row["outside_diameter_mm"], row["outer_width_mm"], factor)


def quantity_for_service(quantity: GreaseQuantity, severe_at_low_speed: bool = False, triple_lip_seals: bool = False,
                         free_space_cm3: float | None = None) -> GreaseQuantity:
    """Return a table's amount raised for dirt and wet or for triple-lip seals, never beyond the first fill.

    Args:
        quantity: Amount from `grease_quantity`.
        severe_at_low_speed: Severe dust or wet, and slow; allows twice the amount.
        triple_lip_seals: The insert has triple-lip seals; one and a half times the amount.
        free_space_cm3: Free space of the bearing, None where unknown. [cm³]

    Raises:
        CalcError: the amount comes from the formula, which gives too much already.

    Source:
        Mounted-unit makers' catalogue, beside the table. That the two factors are not multiplied is our reading.
    """
    if quantity.method != "insert table":
        raise CalcError(tr("Only an amount from the insert table may be raised; the formula gives too much already."))
    raised = max(SEVERE_FACTOR if severe_at_low_speed else 1.0, TRIPLE_LIP_FACTOR if triple_lip_seals else 1.0)
    grams, caution = quantity.grams * raised, quantity.caution
    if free_space_cm3 is not None and grams > first_fill_grams(free_space_cm3):
        grams, caution = first_fill_grams(free_space_cm3), tr("Held at the first fill: more lifts the seal.")
    return GreaseQuantity(grams, quantity.method, quantity.source, quantity.formula_grams, caution)
