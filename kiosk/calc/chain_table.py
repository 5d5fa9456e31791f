"""Roller chains by number: pitch, roller, width, pin, plate, loads and mass, each row with its source.

The rows keep the inches or millimetres that their source prints; here they come in millimetres, newtons and
kilograms. The same pitch does not make two chains interchangeable. Source: tables/chains.toml.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from kiosk.calc import tables
from kiosk.calc.conversion import convert
from kiosk.errors import NoTableRow
from kiosk.language import number, tr


@dataclass(frozen=True)
class Chain:
    """One size of roller chain; None where the source prints nothing.

    Args:
        name: As the table calls it.
        also: Other numbers of the same chain.
        pitch_mm: [mm]
        roller_mm: Diameter of the roller. [mm]
        inner_width_mm: Width between the inner plates. [mm]
        pin_mm: Diameter of the pin. [mm]
        plate_mm: Thickness of the plates. [mm]
        measuring_load_newton: Load under which its length is measured. [N]
        min_tensile_newton: Least breaking load. [N]
        new_length_tolerance_percent: How much longer a new chain may be. [%]
        mass_kg_per_m: [kg/m] Makers differ by 5 %.
        source: Where the row is printed.
    """

    name: str
    also: tuple[str, ...]
    pitch_mm: float
    roller_mm: float
    inner_width_mm: float
    pin_mm: float | None
    plate_mm: float | None
    measuring_load_newton: float | None
    min_tensile_newton: float | None
    new_length_tolerance_percent: float | None
    mass_kg_per_m: float | None
    source: str


def chain_named(name: str) -> Chain:
    """Return the chain of a number such as 'ANSI 60', '60', '12A', '12B' or 'C2060'.

    Args:
        name: Number of the chain.

    Returns:
        Its dimensions.

    Raises:
        NoTableRow: the table does not know it; nothing is worked out from the number.

    Source:
        ASME B29.1 and ISO 606 B series, from public copies; double-pitch chains from memory of ASME B29.4.

    Example:
        >>> chain_named("60").pitch_mm, chain_named("12B").pitch_mm
        (19.05, 19.05)
    """
    chains = _chains()
    if _key(name) not in chains:
        raise NoTableRow("roller chains", name, chain_names())
    return chains[_key(name)]


def chain_names() -> tuple[str, ...]:
    """Return the names of all chains in the table."""
    return tuple(dict.fromkeys(chain.name for chain in _chains().values()))


def mismatch_words(fitted: Chain, offered: Chain) -> str:
    """Return why one chain's links do not go into another, '' when they are the same size.

    Args:
        fitted: The chain on the machine.
        offered: The chain that the links come from.

    Returns:
        A sentence, or ''.

    Source:
        ISO 606: the A and B series share pitches, not rollers and widths.

    Example:
        >>> mismatch_words(chain_named("12A"), chain_named("12B"))
        'ANSI 60 and 12B differ: roller 11.91 and 12.07 mm, inner width 12.70 and 11.68 mm. Do not join them.'
    """
    sizes = (("pitch", fitted.pitch_mm, offered.pitch_mm), ("roller", fitted.roller_mm, offered.roller_mm),
             (tr("inner width"), fitted.inner_width_mm, offered.inner_width_mm))
    # 0.1 mm: rounding of printed inches, well below the step between sizes
    unlike = [
        tr("{what} {one} and {other} mm").format(what=what, one=number(one, ".2f"), other=number(other, ".2f"))
        for what, one, other in sizes
        if abs(one - other) > 0.1
    ]
    if not unlike:
        return ""
    return tr("{fitted} and {offered} differ: {unlike}. Do not join them.").format(
               fitted=fitted.name, offered=offered.name, unlike=", ".join(unlike))


def _key(name: str) -> str:
    """Return a chain's number without the words around it: 'no. 60', 'ANSI 60' and '#60' are one."""
    plain = name.upper()
    for word in ("ANSI", "ASME", "ISO", "606", "NO.", "NO", "CHAIN", "#", "-"):
        plain = plain.replace(word, " ")
    return "".join(plain.split())


@cache
def _chains() -> dict[str, Chain]:
    printed = tables.load("chains")
    rows = [_from_inches(row) for row in printed["inch"]] + [_from_millimetres(row) for row in printed["metric"]]
    return {_key(name): chain for chain in rows for name in (chain.name, *chain.also)}


def _from_inches(row: dict[str, Any]) -> Chain:
    def length(field: str) -> float:
        return convert(row[field], "in", "mm")

    def maybe(field: str, unit: str, wanted: str) -> float | None:
        return convert(row[field], unit, wanted) if field in row else None

    return Chain(
        name=row["name"], also=tuple(row["also"]), source=row["source"],
        pitch_mm=length("pitch_in"), roller_mm=length("roller_in"), inner_width_mm=length("inner_width_in"),
        pin_mm=maybe("pin_in", "in", "mm"), plate_mm=maybe("plate_in", "in", "mm"),
        measuring_load_newton=maybe("measuring_load_lbf", "lbf", "N"),
        min_tensile_newton=maybe("min_uts_lbf", "lbf", "N"),
        new_length_tolerance_percent=maybe("new_length_tol_in_per_ft", "in/ft", "%"),
        mass_kg_per_m=maybe("mass_lb_per_ft", "lb/ft", "kg/m"),
    )


def _from_millimetres(row: dict[str, Any]) -> Chain:
    return Chain(
        name=row["name"], also=(), source=row["source"],
        pitch_mm=row["pitch_mm"], roller_mm=row["roller_mm"], inner_width_mm=row["inner_width_mm"],
        pin_mm=None, plate_mm=None, measuring_load_newton=None, min_tensile_newton=None,
        new_length_tolerance_percent=None, mass_kg_per_m=None,
    )
