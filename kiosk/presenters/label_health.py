"""Which labels are wearing and should be printed again before they stop being readable. Pure.

A read is hard when the camera needed several pictures or had to mend the label, or when the number was typed by hand
though it could have been scanned. A label of whose last reads too many were hard is wearing. How many are too many is
learned from the yard's own labels that were printed again or given another number because they were worn or torn; until
enough of them are known a plain default holds. Scans by a hand scanner tell only that they worked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from datetime import time as time_of_day
from typing import Protocol

from kiosk.entities import Component, DueItem, LabelSighting, ScanSource
from kiosk.language import N_, tr

KEY = "label"
TITLE = N_("Renew the label")
# Whose labels failed; see `label_life`.
FAILED_BECAUSE = (N_("hard to read"), N_("torn or gone"))
# Reads looked back on, and how many there must be to judge by (common practice, no source).
LOOK_BACK = 5
LEAST_SIGHTINGS = 3
LOOK_BACK_DAYS = 90
HARD_TRIES = 8
# A print graded lower reads by luck: D and F of ISO/IEC 15416, as far as a camera can judge.
POOR_GRADE = 1.5
DEFAULT_SHARE = 0.6
LEAST_FAILURES = 8
# What is learned stays between these, so that a few odd labels cannot make every label due or none.
_LOWEST_SHARE, _HIGHEST_SHARE = 0.4, 0.8


@dataclass(frozen=True)
class WearRule:
    """From which share of hard reads on a label is wearing; `learned_from`: labels that failed, 0 for the default."""

    share: float = DEFAULT_SHARE
    learned_from: int = 0


class SightingRecords(Protocol):
    """What is asked of the records."""

    def components_of_unit(self, unit_id: str) -> tuple[Component, ...]: ...
    def label_sightings_of_unit(self, unit_id: str, since: datetime) -> Mapping[str, tuple[LabelSighting, ...]]:
        """Return {component id: how its label read since it was last printed, newest first}."""
        ...

    def sightings_before_failures(self, reasons: Sequence[str]) -> tuple[tuple[LabelSighting, ...], ...]:
        """Return how labels read, newest first, before they were printed again or replaced for these reasons."""
        ...


def is_hard(sighting: LabelSighting) -> bool:
    """Return whether a read took more than an ordinary one."""
    mended = sighting.how not in ("plain", "")
    return mended or sighting.tries >= HARD_TRIES or sighting.source is ScanSource.KEYPAD or is_poor(sighting.grade)


def is_poor(grade: float | None) -> bool:
    """Return whether a print was graded and found too bad to be used."""
    return grade is not None and grade < POOR_GRADE


def hard_share(sightings: Sequence[LabelSighting]) -> float | None:
    """Return which share of a label's last reads was hard, None with too few to judge by.

    Args:
        sightings: Newest first.
    """
    last = sightings[:LOOK_BACK]
    return sum(map(is_hard, last)) / len(last) if len(last) >= LEAST_SIGHTINGS else None


def wear_rule(failures: Sequence[Sequence[LabelSighting]]) -> WearRule:
    """Return from which share on a label is wearing, learned from those that failed.

    The lower quartile of their shares: three of four would have been told in time.

    Args:
        failures: How each failed label read before it failed, newest first.
    """
    shares = sorted(share for share in map(hard_share, failures) if share is not None)
    if len(shares) < LEAST_FAILURES:
        return WearRule()
    quartile = shares[len(shares) // 4]
    return WearRule(min(max(quartile, _LOWEST_SHARE), _HIGHEST_SHARE), len(shares))


def worn_labels(records: SightingRecords, unit_id: str, today: date) -> frozenset[str]:
    """Return the ids of the parts on a unit whose label is wearing."""
    since = datetime.combine(today - timedelta(days=LOOK_BACK_DAYS), time_of_day(), UTC)
    shares = {component_id: hard_share(seen)
              for component_id, seen in records.label_sightings_of_unit(unit_id, since).items()}
    doubtful = {component_id: share for component_id, share in shares.items()
                if share is not None and share >= _LOWEST_SHARE}
    if not doubtful:  # the usual case: nothing is learned for nothing
        return frozenset()
    rule = wear_rule(records.sightings_before_failures(FAILED_BECAUSE))
    return frozenset(component_id for component_id, share in doubtful.items() if share >= rule.share)


def due_labels(records: SightingRecords, unit_id: str, today: date, is_wanted: Callable[[Component], bool] = bool
               ) -> tuple[DueItem, ...]:
    """Return 'renew the label' for the wearing labels of a unit, due today."""
    worn = worn_labels(records, unit_id, today)
    if not worn:
        return ()
    return tuple(_item(component, today) for component in records.components_of_unit(unit_id)
                 if component.id in worn and is_wanted(component))


def _item(component: Component, today: date) -> DueItem:
    return DueItem(
        unit_id=component.unit_id, position_id=component.position_id, component_id=component.id, job=KEY,
        job_title=tr(TITLE), due=today, driver=tr("reads badly"), overdue=False, hours_left=None, days_left=0,
        last_at=component.installed_at, last_person_id=None,
    )
