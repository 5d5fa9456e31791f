"""What is coming in the yard: overdue, due this shift or week, unit by unit; and whose records to look through."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

from kiosk.entities import DueItem
from kiosk.language import N_, tr
from kiosk.presenters.due_list import due_mark, due_text
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import PageRow
from kiosk.presenters.words import DUE_NOW, FINE, IS_OVERDUE, NOT_YET, NOTHING

OVERDUE, SHIFT, WEEK = "overdue", "shift", "week"
SPANS = ((OVERDUE, N_("Overdue")), (SHIFT, N_("Due this shift")), (WEEK, N_("Due this week")))
_WEEK_DAYS = 7
_MARKS = {OVERDUE: IS_OVERDUE, SHIFT: DUE_NOW, WEEK: NOT_YET}


def in_span(item: DueItem, span: str, today: date) -> bool:
    """Say whether a job belongs to a span; each belongs to one at most."""
    if item.overdue:
        return span == OVERDUE
    if item.due <= today:
        return span == SHIFT
    return span == WEEK and item.due < today + timedelta(days=_WEEK_DAYS)


class ComingPage(PagePresenter):
    """How much is overdue, due this shift and due this week in the whole yard, then by unit."""

    title = N_("What is coming")
    empty_text = N_("Nothing is due this week.")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the three spans, then the units by what is overdue on them."""
        today = self.helpers.today()
        items = self.desk.due.of_yard(today)
        counts = {span: Counter(item.unit_id for item in items if in_span(item, span, today)) for span, _ in SPANS}
        spans = [PageRow(span, f"{tr(title)}: {counts[span].total()}", (tr("in the whole yard"),),
                         _MARKS[span] if counts[span] else FINE) for span, title in SPANS]
        units = sorted(self.helpers.records.units(),
                       key=lambda unit: tuple(-counts[span][unit.id] for span, _ in SPANS))
        return (*spans, *(self._unit_row(unit.id, unit.name, counts) for unit in units
                          if any(counts[span][unit.id] for span, _ in SPANS)))

    def _unit_row(self, unit_id: str, name: str, counts: dict[str, Counter[str]]) -> PageRow:
        line = tr("{overdue} overdue · {shift} this shift · {week} this week").format(
            **{span: counts[span][unit_id] for span, _ in SPANS})
        worst = next(span for span, _ in SPANS if counts[span][unit_id])
        return PageRow(f"unit {unit_id}", name, (line,), _MARKS[worst])

    def pressed(self, key: str) -> None:
        """Open a span, or a unit's."""
        unit_id = key.removeprefix("unit ") if key.startswith("unit ") else ""
        self.desk.open_page(DueJobsPage(self.desk, "" if unit_id else key, unit_id))


class DueJobsPage(PagePresenter):
    """The jobs of one span in the yard, or of one unit within the week, the most urgent first.

    Args:
        span: 'overdue', 'shift', 'week' or '' for all of them. `unit_id`: '' for the whole yard.
    """

    empty_text = N_("Nothing is due.")

    def __init__(self, desk: Navigation, span: str, unit_id: str) -> None:
        super().__init__(desk)
        self._span, self._unit_id = span, unit_id
        titles = dict(SPANS)
        self.title = tr(titles[span]) if span else self.helpers.records.unit(unit_id).name

    def rows(self) -> tuple[PageRow, ...]:
        """Return the jobs; pressing one opens its part."""
        today, records = self.helpers.today(), self.helpers.records
        items = [item for item in self.desk.due.of_yard(today) if self._is_wanted(item, today)]
        names = {unit.id: unit.name for unit in records.units()}
        places = {position.id: position.name for unit_id in {item.unit_id for item in items}
                  for position in records.positions(unit_id)}
        return tuple(self._row(item, names[item.unit_id], places[item.position_id], today) for item in items)

    def _is_wanted(self, item: DueItem, today: date) -> bool:
        spans = (self._span,) if self._span else (OVERDUE, SHIFT, WEEK)
        return self._unit_id in ("", item.unit_id) and any(in_span(item, span, today) for span in spans)

    def _row(self, item: DueItem, unit: str, place: str, today: date) -> PageRow:
        where = place if self._unit_id else f"{unit}, {place}"
        return PageRow(f"{item.component_id} {item.job}", item.job_title, (where, due_text(item, today)),
                       due_mark(item, today))

    def pressed(self, key: str) -> None:
        """Open the part."""
        self.desk.open_component(key.partition(" ")[0])


class RecordsPage(PagePresenter):
    """Whose records to look through: a unit's or one of the crew's."""

    title = N_("Histories")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the crew, then the units."""
        records = self.helpers.records
        crew = [PageRow(f"person {person.id}", person.name, (tr(person.role.value),), NOTHING)
                for person in records.people()]
        return (*crew, *(PageRow(f"unit {unit.id}", unit.name, (unit.description,), NOTHING)
                         for unit in records.units()))

    def pressed(self, key: str) -> None:
        """Open a history."""
        kind, _, subject_id = key.partition(" ")
        if kind == "unit":
            self.desk.open_unit_history(subject_id)
        else:
            self.desk.open_person_history(subject_id)
