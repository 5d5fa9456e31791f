"""What is due on a unit or in the yard, by hours or by days, whichever comes first. Pure: queries in, items out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from kiosk.calc.due import next_due
from kiosk.entities import Component, DueItem, LastDone
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.label_health import due_labels
from kiosk.presenters.parts import Mark
from kiosk.presenters.ports import Records, Sheets
from kiosk.presenters.settings import FloorSettings
from kiosk.presenters.shifts import working_day
from kiosk.presenters.words import DUE_NOW, IS_OVERDUE, NOT_YET, counted, date_text
from kiosk.service_sheet import IntervalSpec, JobSpec

DEFAULT_SETTINGS = FloorSettings()
_DAY = timedelta(days=1)
NO_DATE = date.max
"""Stands for a job that only hours drive, on a unit that stands."""


@dataclass(frozen=True)
class UnitClock:
    """What the due dates of one unit count from: its hours now and how many it runs a day. [h]"""

    today: date
    hours_now: float | None
    hours_per_day: float


def unit_clock(records: Records, unit_id: str, today: date) -> UnitClock:
    """Return a unit's hours and rate; a unit whose rate is not known counts as standing."""
    reading = records.hours(unit_id)
    rate = records.hours_per_day(unit_id, today) or 0.0
    return UnitClock(today, reading.hours if reading else None, min(max(rate, 0.0), 24.0))


def due_of_unit(records: Records, sheets: Sheets, unit_id: str, today: date,
                settings: FloorSettings = DEFAULT_SETTINGS) -> tuple[DueItem, ...]:
    """Return every job with an interval on the parts that sit on a unit now and the worn labels, most urgent first.

    Args:
        records, sheets: What was done, and the sheets in force.
        unit_id: The unit.
        today: The yard's working day.
        settings: Shifts and time zone, so that a night's work counts for the day on which the shift began.
    """
    clock, last_done = unit_clock(records, unit_id, today), records.last_done(unit_id)
    items = [
        due_item(component, job, last_done.get((component.id, job.key)), clock, settings)
        for component in records.components_of_unit(unit_id)
        for job in sheets.sheet(component.sheet).jobs
        if job.interval is not None
    ]
    once = scheduled_items(records, sheets, unit_id, clock, settings)
    return most_urgent_first([*_whichever_first([*items, *once]), *due_labels(records, unit_id, today)])


def due_of_yard(records: Records, sheets: Sheets, today: date,
                settings: FloorSettings = DEFAULT_SETTINGS) -> tuple[DueItem, ...]:
    """Return every job with an interval in the yard, the most urgent first; see `due_of_unit`."""
    return most_urgent_first(
        item for unit in records.units() for item in due_of_unit(records, sheets, unit.id, today, settings))


def due_of_component(helpers: Helpers, component: Component) -> tuple[DueItem, ...]:
    """Return the jobs with an interval of one part, the most urgent first."""
    clock = unit_clock(helpers.records, component.unit_id, helpers.today())
    last_done = helpers.records.last_done(component.unit_id)
    jobs = [job for job in helpers.sheets.sheet(component.sheet).jobs if job.interval is not None]
    worn = due_labels(helpers.records, component.unit_id, helpers.today(), lambda other: other.id == component.id)
    items = [due_item(component, job, last_done.get((component.id, job.key)), clock, helpers.settings) for job in jobs]
    once = [item for item in scheduled_items(helpers.records, helpers.sheets, component.unit_id, clock,
                                             helpers.settings) if item.component_id == component.id]
    return most_urgent_first([*_whichever_first([*items, *once]), *worn])


def scheduled_items(records: Records, sheets: Sheets, unit_id: str, clock: UnitClock,
                    settings: FloorSettings) -> list[DueItem]:
    """Return the jobs that were put on the due list once, beside their intervals, and not done since."""
    items = []
    for scheduled in records.scheduled_jobs(unit_id):
        component = records.component(scheduled.component_id)
        job = next((job for job in sheets.sheet(component.sheet).jobs if job.key == scheduled.job), None)
        if job is None:  # the sheet has it no more
            continue
        once = replace(job, interval=IntervalSpec(scheduled.after_hours, scheduled.after_days, scheduled.reason))
        since = LastDone(scheduled.at, scheduled.hours, "", scheduled.id)
        item = due_item(component, once, since, clock, settings)
        items.append(replace(item, last_at=None, last_person_id=None))
    return items


def _whichever_first(items: Iterable[DueItem]) -> tuple[DueItem, ...]:
    """Return one item for each job of a part: the one that is due first."""
    first: dict[tuple[str, str], DueItem] = {}
    for item in items:
        key = (item.component_id, item.job)
        known = first.get(key)
        if known is None or (not item.overdue, item.due) < (not known.overdue, known.due):
            first[key] = item if known is None else replace(
                item, last_at=known.last_at, last_person_id=known.last_person_id)
    return tuple(first.values())


def most_urgent_first(items: Iterable[DueItem]) -> tuple[DueItem, ...]:
    """Return due items, overdue ones first, then by date; items of one date keep their order."""
    return tuple(sorted(items, key=lambda item: (not item.overdue, item.due)))


def due_item(component: Component, job: JobSpec, last: LastDone | None, clock: UnitClock,
             settings: FloorSettings) -> DueItem:
    """Return when one job of one part is due; a part that never had it counts from the day it was fitted."""
    if job.interval is None:
        raise ValueError(f"job {job.key} has no interval")
    last_at = last.at if last else component.installed_at
    last_hours = last.hours if last else component.installed_hours
    last_day = working_day(last_at, settings)
    if last and last_day > clock.today + _DAY:
        return _dated_ahead(component, job, last, clock.today)
    hours_now = last_hours if clock.hours_now is None else max(clock.hours_now, last_hours)
    due = next_due(
        last_hours, min(last_day, clock.today), job.interval.hours, job.interval.days, hours_now, clock.today,
        clock.hours_per_day,
    )
    return DueItem(
        unit_id=component.unit_id, position_id=component.position_id, component_id=component.id, job=job.key,
        job_title=job.title, due=due.due or NO_DATE, driver=due.driver, overdue=due.overdue,
        hours_left=due.hours_left, days_left=due.days_left, last_at=last.at if last else None,
        last_person_id=last.person_id if last else None,
    )


def _dated_ahead(component: Component, job: JobSpec, last: LastDone, today: date) -> DueItem:
    """Return a job as due today that was last done in days to come, by a clock that was wrong: the safe side."""
    return DueItem(component.unit_id, component.position_id, component.id, job.key, job.title, today, "days", False,
                   None, 0, last.at, last.person_id)


def is_due(item: DueItem, today: date) -> bool:
    """Say whether a job is due on the working day, or overdue."""
    return item.overdue or item.due <= today


def due_mark(item: DueItem, today: date) -> Mark:
    """Return a due item's state."""
    if item.overdue:
        return IS_OVERDUE
    return DUE_NOW if item.due <= today else NOT_YET


def due_text(item: DueItem, today: date) -> str:
    """Return when a job is due: 'due today', 'overdue by 12 h', 'in 3 days, Thu 5 Mar 2026'."""
    if item.overdue:
        return tr("overdue by {overdue_by}").format(overdue_by=_overdue_by(item, today))
    if item.due <= today:
        return tr("due today")
    if item.due == NO_DATE:
        return tr("due in {value} of running").format(value=counted(round(item.hours_left or 0.0, 1), "hour"))
    by_hours = f", {item.hours_left:.0f} h left" if item.driver == "hours" and item.hours_left is not None else ""
    return tr("due in {days}, {due}{by_hours}").format(
               days=counted((item.due - today).days, "day"), due=date_text(item.due), by_hours=by_hours)


def _overdue_by(item: DueItem, today: date) -> str:
    if item.driver == "hours" and item.hours_left is not None and item.hours_left < 0:
        return f"{-item.hours_left:.0f} h"
    return counted(max((today - item.due).days, 1), "day")
