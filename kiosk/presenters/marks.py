"""The worst state of a position or a unit: overdue, open finding, due, fine."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from kiosk.entities import DueItem, Finding
from kiosk.presenters.due_list import due_mark
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.parts import Mark
from kiosk.presenters.words import DUE_NOW, FINE, IS_OVERDUE, OPEN_FINDING

# The worst first. An open finding comes before 'due': daily jobs are due every day and would hide it.
_ORDER = (IS_OVERDUE, OPEN_FINDING, DUE_NOW)


def worst_mark(marks: Iterable[Mark]) -> Mark:
    """Return the worst of several states; nothing due and nothing found is 'fine'."""
    present = set(marks)
    return next((mark for mark in _ORDER if mark in present), FINE)


def marks_of_positions(helpers: Helpers, due: Iterable[DueItem], findings: Iterable[Finding]) -> Mapping[str, Mark]:
    """Return {position id: worst state} for the positions that have something due or found."""
    today, marks = helpers.today(), dict[str, list[Mark]]()
    for item in due:
        marks.setdefault(item.position_id, []).append(due_mark(item, today))
    for finding in findings:
        marks.setdefault(finding.position_id, []).append(OPEN_FINDING)
    return {position_id: worst_mark(found) for position_id, found in marks.items()}
