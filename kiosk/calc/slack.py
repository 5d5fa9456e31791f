"""How much slack is right, by the printed rules, each with what it measures and its source.

The rules differ by a factor of two and mix hanging sag with movement by hand; a shop sets the figure and the
measure for each position, and this table is what it may start from. Sources stand in each row of
tables/slack.toml.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from kiosk.calc import guards, tables
from kiosk.errors import NoTableRow


@dataclass(frozen=True)
class SlackRule:
    """One printed rule.

    Args:
        name: The case it is for.
        low_percent: Least slack. [%] of `of`
        high_percent: Most slack, None where the source prints none. [%]
        of: What the per cent are taken of.
        measured: 'hanging' or 'movement'.
        provenance: Class of the figure: 'published' or 'common practice'.
        source: Where it is printed.
    """

    name: str
    low_percent: float
    high_percent: float | None
    of: str
    measured: str
    provenance: str
    source: str


@dataclass(frozen=True)
class SlackWindow:
    """A printed rule applied to one span.

    Args:
        lower_mm: Least slack. [mm]
        upper_mm: Most slack, None where the source prints none. [mm]
        rule: The rule, with what it measures and its source.
    """

    lower_mm: float
    upper_mm: float | None
    rule: SlackRule


@cache
def slack_rules() -> tuple[SlackRule, ...]:
    """Return all printed rules, in the table's order."""
    return tuple(SlackRule(**{"high_percent": None, **row}) for row in tables.load("slack")["row"])


def why_rules_differ() -> str:
    """Return the sentence for the mechanic's page: the sources disagree, and which one to take."""
    return str(tables.load("slack")["choice"])


def slack_window(centre_distance_mm: float, case: str) -> SlackWindow:
    """Return the right slack of a strand by a printed rule.

    Args:
        centre_distance_mm: Centre distance, or span of the free strand, as the rule says. [mm] above 0
        case: Name of the rule, as in `slack_rules`.

    Returns:
        Least and most slack, in the measure that the rule names.

    Raises:
        OutOfRange: not an ordinary number above zero.
        NoTableRow: no such case.

    Source:
        tables/slack.toml, a source in each row.

    Example, by hand: 4 to 6 % of 1000 mm:
        >>> window = slack_window(1000.0, "slow or medium speed, near horizontal")
        >>> window.lower_mm, window.upper_mm, window.rule.measured
        (40.0, 60.0, 'movement')
    """
    span = guards.positive("centre_distance_mm", centre_distance_mm, "mm")
    known = {rule.name: rule for rule in slack_rules()}
    if case not in known:
        raise NoTableRow("slack rules", case, tuple(known))
    rule = known[case]
    upper = None if rule.high_percent is None else span * rule.high_percent / 100.0
    return SlackWindow(span * rule.low_percent / 100.0, upper, rule)
