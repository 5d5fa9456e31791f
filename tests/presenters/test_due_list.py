"""What is due, by hours or by days, whichever comes first."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from kiosk.entities import HoursReading, JobType, ServiceRecord
from kiosk.presenters.due_list import due_of_unit, due_of_yard, due_text

TODAY = date(2026, 3, 2)


def done(yard, component, job, days_ago, hours):
    sheet = yard.records.component(component)
    yard.records.service_records.append(ServiceRecord(
        f"{component}-{job}-{days_ago}", component, sheet.position_id, "u4", sheet.sheet, 1, job, JobType.NOTE,
        yard.clock() - timedelta(days=days_ago), hours, "ana"))


def item(yard, component, job):
    items = due_of_unit(yard.records, yard.sheets, "u4", TODAY)
    return next(one for one in items if (one.component_id, one.job) == (component, job))


def test_daily_job_done_yesterday_is_due_today(yard):
    """Due, and not overdue."""
    done(yard, "c-bearing", "grease", 1, 1236.0)
    one = item(yard, "c-bearing", "grease")
    assert (one.due, one.overdue, one.driver) == (TODAY, False, "days")
    assert due_text(one, TODAY) == "due today"


def test_daily_job_done_today_is_due_tomorrow(yard):
    """Not due again today."""
    done(yard, "c-bearing", "grease", 0, 1236.0)
    assert due_text(item(yard, "c-bearing", "grease"), TODAY).startswith("due in 1 day")


def test_daily_job_done_two_days_ago_is_overdue(yard):
    """By one day."""
    done(yard, "c-bearing", "grease", 2, 1230.0)
    assert due_text(item(yard, "c-bearing", "grease"), TODAY) == "overdue by 1 day"


def test_job_by_hours_is_due_at_the_units_own_rate__hand(yard):
    """By hand: 50 h from 1,200 h, now 1,236.5 h, 4 h a day: 13.5 h left, three whole days."""
    done(yard, "c-chain", "sag", 9, 1200.0)
    one = item(yard, "c-chain", "sag")
    assert (one.due, one.driver, one.hours_left) == (date(2026, 3, 5), "hours", 13.5)
    assert due_text(one, TODAY) == "due in 3 days, Thu 5 Mar 2026, 14 h left"


def test_job_run_over_its_hours_is_overdue(yard):
    """Hours run over count, whatever the date."""
    done(yard, "c-chain", "sag", 1, 1180.0)
    assert due_text(item(yard, "c-chain", "sag"), TODAY) == "overdue by 6 h"


def test_hours_decide_before_days_when_they_come_first(yard):
    """200 h or 60 days: 1,100 h and 10 days ago, the hours come first."""
    done(yard, "c-bearing", "inspect", 10, 1100.0)
    assert item(yard, "c-bearing", "inspect").driver == "hours"


def test_job_by_hours_on_a_unit_that_stands_has_no_date(yard):
    """No rate, no date; the hours left are said."""
    yard.records.daily_hours = None
    done(yard, "c-chain", "sag", 9, 1200.0)
    assert due_text(item(yard, "c-chain", "sag"), TODAY) == "due in 13.5 hours of running"


def test_job_never_done_counts_from_the_day_the_part_was_fitted(yard):
    """A new bearing is not overdue on its first day."""
    part = yard.records.components["c-bearing"]
    yard.records.components["c-bearing"] = type(part)(**{**part.__dict__, "installed_at": yard.clock(),
                                                         "installed_hours": 1236.5})
    one = item(yard, "c-bearing", "grease")
    assert (one.last_at, one.overdue) == (None, False)


def test_unit_without_hours_counts_from_the_job(yard):
    """No hour meter read yet: nothing has run since."""
    yard.records.hour_readings.clear()
    done(yard, "c-chain", "sag", 1, 1200.0)
    assert item(yard, "c-chain", "sag").hours_left == 50


def test_meter_below_the_last_job_does_not_break_the_list(yard):
    """A record above the meter counts as just done."""
    yard.records.hour_readings["u4"] = HoursReading("u4", 1000.0, yard.clock())
    done(yard, "c-chain", "sag", 1, 1200.0)
    assert item(yard, "c-chain", "sag").hours_left == 50


def test_overdue_comes_first_then_by_date(yard):
    """The most urgent on top."""
    done(yard, "c-bearing", "grease", 3, 1236.0)
    done(yard, "c-chain", "sag", 9, 1230.0)
    items = due_of_yard(yard.records, yard.sheets, TODAY)
    keys = [(not one.overdue, one.due) for one in items]
    assert keys == sorted(keys)


@pytest.mark.parametrize("hour", [2, 5])
def test_work_of_a_night_counts_for_the_day_its_shift_began(yard, hour):
    """Greased at 02:00, due again on the working day that begins at 06:00."""
    at = yard.clock().replace(hour=hour)
    yard.records.service_records.append(ServiceRecord(
        "night", "c-bearing", "p-bearing", "u4", "bearing", 1, "grease", JobType.GREASE, at, 1236.0, "ana"))
    assert item(yard, "c-bearing", "grease").due == TODAY
