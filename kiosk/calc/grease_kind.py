"""What a grease is: its consistency number, and which thickeners must not meet in one bearing.

Sources: ASTM D217 for the consistency numbers, a rolling-bearing handbook for the thickeners. How much and how often
are in `grease` and `grease_interval`.
"""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.tables import load
from kiosk.errors import NoTableRow
from kiosk.language import N_, tr

_TABLE = "grease_kinds"
_VERDICTS = {"+": "compatible", "o": "test", "-": "incompatible"}
_ADVICE = {
    "compatible": N_("These two thickeners may meet."),
    "test": N_("Makers disagree about these two: ask the grease maker, or have the mixture tested, before they meet."),
    "incompatible": N_("Never mix these two: the mixture runs out or hardens. Clean it out first, or keep to the "
                       "old one."),
}


@dataclass(frozen=True)
class Mixing:
    """Whether a new grease may follow the one that is in the bearing.

    Args:
        verdict: 'compatible', 'test' or 'incompatible'.
        advice: One sentence for the mechanic.
        source: Where the verdict comes from.
    """

    verdict: str
    advice: str
    source: str


def consistency_number(worked_penetration_tenth_mm: float) -> str:
    """Return the NLGI consistency number of a grease, or between which two it lies.

    Args:
        worked_penetration_tenth_mm: Worked penetration at 25 °C. [0.1 mm] 1 to 1000

    Returns:
        '2', 'between 2 and 3', 'softer than 000' or 'firmer than 6'; the gaps between grades are no grade.

    Raises:
        OutOfRange: not a penetration.

    Source:
        ASTM D217, scope, note 1; the same cone as ISO 2137.

    Example, from the printed ranges 265 to 295 and 220 to 250:
        >>> consistency_number(280), consistency_number(257)
        ('2', 'between 2 and 3')
    """
    penetration = guards.number("worked_penetration_tenth_mm", worked_penetration_tenth_mm, "0.1 mm", 1, 1000)
    softer = None
    for row in load(_TABLE)["consistency"]:
        if penetration > row["high"]:
            return (
                tr("between {softer} and {row}").format(softer=softer, row=row["grade"])
                if softer
                else tr("softer than {row}").format(row=row["grade"])
            )
        if penetration >= row["low"]:
            return str(row["grade"])
        softer = row["grade"]
    return tr("firmer than {softer}").format(softer=softer)


def thickeners() -> tuple[str, ...]:
    """Return every thickener that `mixing` answers for, as a screen lists them."""
    table = load(_TABLE)
    return (*table["mixing"]["thickeners"], *table["not_in_table"]["thickeners"])


def mixing(in_bearing: str, new: str) -> Mixing:
    """Return whether grease of one thickener may follow another in the same bearing.

    Args:
        in_bearing: Thickener of the grease that is in the bearing: 'lithium complex', 'polyurea' …
        new: Thickener of the grease in the gun.

    Raises:
        NoTableRow: a thickener is not known.

    Source:
        Rolling-bearing handbook, thickener compatibility table; doubtful pairs by ASTM D6185. A thickener newer than
        the table is to be tested with everything, which is our rule.

    Example, from the table:
        >>> mixing("lithium complex", "polyurea").verdict
        'incompatible'
    """
    old_name, new_name = _thickener(in_bearing), _thickener(new)
    table = load(_TABLE)
    columns = table["mixing"]["thickeners"]
    if old_name not in columns or new_name not in columns:
        return Mixing("test", tr(_ADVICE["test"]), tr("our rule: newer than the table, so to be tested"))
    verdict = _VERDICTS[table["mixing"][old_name].split()[columns.index(new_name)]]
    return Mixing(verdict, tr(_ADVICE[verdict]), table["source"]["thickeners"])


def _thickener(name: str) -> str:
    typed = " ".join(name.casefold().split())
    plain: str = load(_TABLE)["other_spellings"].get(typed, typed)
    if plain not in thickeners():
        raise NoTableRow("thickeners", name, thickeners())
    return plain
