"""Shifts and working days."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from kiosk.presenters.settings import FloorSettings
from kiosk.presenters.shifts import shift_at, working_day

YARD = FloorSettings()


@pytest.mark.parametrize(("hour", "minute", "key"), [
    (6, 0, "2026-03-02 early"), (13, 59, "2026-03-02 early"), (14, 0, "2026-03-02 late"),
    (22, 0, "2026-03-02 night"), (5, 59, "2026-03-01 night"), (0, 10, "2026-03-01 night"),
])
def test_shift_key_by_the_clock(hour, minute, key):
    """A night shift keeps the day on which it began."""
    assert shift_at(datetime(2026, 3, 2, hour, minute, tzinfo=UTC), YARD).key == key


def test_shift_start_is_the_moment_it_began():
    """After midnight the night shift began yesterday evening."""
    start = shift_at(datetime(2026, 3, 2, 3, 0, tzinfo=UTC), YARD).start
    assert start == datetime(2026, 3, 1, 22, 0, tzinfo=UTC)


def test_shift_follows_the_yards_time_zone():
    """06:30 in the yard is what counts, not UTC."""
    yard = FloorSettings(time_zone="America/New_York")
    assert shift_at(datetime(2026, 3, 2, 11, 30, tzinfo=UTC), yard).key == "2026-03-02 early"
    assert shift_at(datetime(2026, 3, 2, 10, 30, tzinfo=UTC), yard).key == "2026-03-01 night"


def test_shift_over_the_change_to_summer_time():
    """On the night of the change the shift still begins at 22:00 by the wall clock."""
    yard = FloorSettings(time_zone="America/New_York")
    start = shift_at(datetime(2026, 3, 8, 9, 0, tzinfo=UTC), yard).start
    assert start == datetime(2026, 3, 8, 3, 0, tzinfo=UTC)


def test_working_day_begins_with_the_first_shift():
    """Work at 02:00 belongs to the day before."""
    assert working_day(datetime(2026, 3, 2, 2, 0, tzinfo=UTC), YARD) == date(2026, 3, 1)


def test_settings_from_texts():
    """A shop's texts become settings."""
    yard = FloorSettings.from_texts("UTC", ("05:30", "13:30"), ("a", "b"), 60, "mm")
    assert shift_at(datetime(2026, 3, 2, 13, 0, tzinfo=UTC), yard).name == "a"
