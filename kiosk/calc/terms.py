"""The one table of terms: name, symbol, unit and meaning of every quantity the kiosk computes or shows.

Docstrings, service sheets, screens and reports draw from it. The key is the quantity's name without its unit suffix;
an argument or a result called `<key>_<suffix>` carries the unit named here. A test holds docstrings against it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Term:
    """One quantity.

    Args:
        name: The trade's words, as a screen prints them.
        symbol: The printed symbol of the source, '' where there is none.
        unit: Unit inside the code: 'mm', 'N', 'h' …; '' for a ratio, 'count' for a whole number.
        suffix: How an argument's name ends: 'mm', 'newton', 'hours' …; '' for ratios and counts.
        meaning: One sentence.
        source: Standard or book that names it so.
    """

    name: str
    symbol: str
    unit: str
    suffix: str
    meaning: str
    source: str = ""


TERMS: dict[str, Term] = {
    # --- reading and deciding ---
    # --- strands and chain ---
    # --- belt, splice, tracking ---
    # --- grease ---
    # --- bearings and bolts ---
    # --- trends, life data, hour meters ---
    # --- legibility ---
}
